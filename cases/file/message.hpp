#pragma once

#include <string>
#include <vector>

namespace plenair::file {

/// Where an entry stands. Line 0: it came from the command line (--set).
struct Place {
    int line = 0;
    int column = 0;
};

/// Errors and warnings of one run, each with its place; handed out in file order.
class Messages final {
public:
    explicit Messages(std::string path) : path_(std::move(path)) {}

    void error(Place place, const std::string& text);
    void warning(Place place, const std::string& text);
    [[nodiscard]] bool any_error() const { return !errors_.empty(); }
    [[nodiscard]] std::vector<std::string> errors() const;
    /// The same without places.
    [[nodiscard]] std::vector<std::string> error_texts() const;
    [[nodiscard]] std::vector<std::string> warnings() const;

private:
    struct Message {
        Place place;
        std::string text;
    };
    [[nodiscard]] std::vector<std::string> in_order(std::vector<Message> messages) const;

    std::string path_;
    std::vector<Message> errors_;
    std::vector<Message> warnings_;
};

}  // namespace plenair::file

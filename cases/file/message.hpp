#pragma once

#include "geometry/output_units.hpp"

#include <cstddef>
#include <string>
#include <tuple>
#include <vector>

namespace plenair::file {

/// Where an entry stands. Line 0: it came from the command line (--set).
struct Place {
    int line = 0;
    int column = 0;
};

/// Errors and warnings of one run, each with its place; handed out in file order. Of very many the
/// first in the file are kept and the others counted.
class Messages final {
public:
    /// Nobody mends more at a time.
    static constexpr std::size_t most_shown = 20;

    explicit Messages(std::string path) : path_(std::move(path)) {}

    void error(Place place, const std::string& text) { errors_.add(place, text); }
    void warning(Place place, const std::string& text) { warnings_.add(place, text); }
    /// An error whose text is only made where it will be shown.
    template <class MakeText>
    void error_of(Place place, const MakeText& make_text) {
        if (errors_.takes(place)) {
            errors_.add(place, make_text());
        } else {
            errors_.count(place);
        }
    }
    /// In which lengths, pressures and temperatures are shown.
    void show_in(const geometry::OutputUnits& units) { units_ = units; }
    [[nodiscard]] const geometry::OutputUnits& units() const { return units_; }
    /// A length as messages show it: "400 mm"; with one decimal of a millimetre "420.0 mm"; either
    /// without its unit, for the first of a range.
    [[nodiscard]] std::string length(double value) const;
    [[nodiscard]] std::string length1(double value) const;
    [[nodiscard]] std::string bare_length(double value) const;
    [[nodiscard]] bool any_error() const { return errors_.counted() > 0; }
    [[nodiscard]] std::vector<std::string> errors() const { return lines(errors_); }
    /// The same without places.
    [[nodiscard]] std::vector<std::string> error_texts() const;
    [[nodiscard]] std::vector<std::string> warnings() const { return lines(warnings_); }

private:
    struct Message {
        Place place;
        std::size_t number = 0;  ///< in the order in which they came
        std::string text;
        /// Entries of the command line stand behind those of the file.
        [[nodiscard]] std::tuple<bool, int, int, std::size_t> rank() const {
            return {place.line <= 0, place.line, place.column, number};
        }
    };

    /// The first messages by rank, as a heap with the last of them on top.
    class First final {
    public:
        [[nodiscard]] bool takes(Place place) const;
        void add(Place place, const std::string& text);
        void count(Place place);
        [[nodiscard]] std::size_t counted() const { return counted_; }
        [[nodiscard]] bool any_of_file() const { return of_file_ > 0; }
        [[nodiscard]] std::vector<Message> in_order() const;

    private:
        std::vector<Message> heap_;
        std::size_t counted_ = 0;
        std::size_t of_file_ = 0;  ///< of these, not of the command line
    };

    [[nodiscard]] std::vector<std::string> lines(const First& messages) const;

    std::string path_;
    geometry::OutputUnits units_;
    First errors_;
    First warnings_;
};

}  // namespace plenair::file

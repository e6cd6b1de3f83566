#pragma once

#include "cases/file/document.hpp"

#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

/// A case file as it is being written: sections of entries, each given or assumed.
namespace plenair::file {

/// On what an assumed value rests; `within` is the half width of its band, empty without one.
struct Basis {
    std::string text;
    std::string within = {};
};

/// Values by key, as they stand in TOML behind the equals sign.
using TomlValues = std::map<std::string, std::string, std::less<>>;

class Draft final {
public:
    explicit Draft(bool inches) : inches_(inches) {}

    /// What stands where nothing was assumed: answers first, then those of a shipped case.
    TomlValues given;
    TomlValues liked;
    std::string like;  ///< name of the shipped case

    void remark(const std::string& text);  ///< a line of comment
    /// Header of the section that the following entries of `key`'s section stand in.
    void section(const std::string& header, const std::string& remark);
    /// A line that is neither given nor assumed.
    void plain(const std::string& line);

    /// Writes an entry; where it was not given, with the assumed value. Returns its numbers in SI.
    Value entry(const std::string& key,
                const std::string& assumed_toml,
                const Basis& basis,
                const std::string& remark = {});
    /// The same for a length, rounded to what a drawing would say.
    double length(const std::string& key,
                  double assumed,
                  const Basis& basis,
                  const std::string& remark = {});
    double area(const std::string& key, double assumed, const Basis& basis);
    double number(const std::string& key,
                  const std::string& assumed_toml,
                  const Basis& basis,
                  const std::string& remark = {});
    /// Entries of a section that were given or liked and that no rule has asked for.
    void rest_of(const std::string& section);
    /// Begins a section anew: the next point has entries of its own.
    void forget(const std::string& section);
    /// Sections of which no entry was asked for.
    [[nodiscard]] std::vector<std::string> sections_left() const;

    /// "6.5 mm" in the units of the file.
    [[nodiscard]] std::string length_text(double metres) const;
    /// A length as it will be written, rounded [m].
    [[nodiscard]] double drawn_length(double metres) const;
    /// "54.5, 151.5 mm" in quotes.
    [[nodiscard]] std::string lengths_toml(const std::vector<double>& metres) const;
    /// The file with its list of what is assumed.
    [[nodiscard]] std::string text() const;
    /// Counts an entry as stated that came by another way than `given`.
    void count_stated(const std::string& key) { given_written_.insert(key); }
    [[nodiscard]] std::size_t given_count() const { return given_written_.size(); }
    [[nodiscard]] std::size_t assumed_count() const { return assumed_.size(); }
    /// Value of an entry that was written, without quotes; empty where it was not.
    [[nodiscard]] std::string written(std::string_view key) const;

private:
    struct Line {
        std::string text;
        std::string remark;
    };
    [[nodiscard]] std::string number_text(double metres) const;
    [[nodiscard]] std::string in_units(const Key& key, const std::string& toml) const;

    bool inches_;
    std::vector<Line> lines_;
    TomlValues written_;
    std::map<std::string, Basis, std::less<>> bases_;
    std::vector<std::string> assumed_;  ///< keys in the order of the file
    std::set<std::string, std::less<>> given_written_;
    std::map<std::string, std::vector<std::string>, std::less<>> rests_;  ///< keys by section
};

/// Reads a value by the rules of its key, pressures in gauge against the standard atmosphere.
[[nodiscard]] Value read_toml_value(const std::string& key,
                                    const std::string& shown,
                                    const std::string& toml,
                                    Messages& messages);

}  // namespace plenair::file

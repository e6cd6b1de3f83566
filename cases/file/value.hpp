#pragma once

#include "cases/file/key.hpp"
#include "cases/file/message.hpp"
#include "cases/file/toml_names.hpp"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace plenair::file {

/// How the numbers of an entry are meant.
enum class Form { plain, stations, taper };

/// One entry of the file, in SI units.
struct Value {
    const Key* key = nullptr;
    std::string shown;  ///< as a person names it: "point.A4.speed"
    std::string text;  ///< as written
    Place place;  ///< of the value
    Form form = Form::plain;
    std::vector<double> numbers;  ///< values; for a taper those at the start
    std::vector<double> x;  ///< stations or abscissa
    std::vector<double> ends;  ///< for a taper the values at the end
    std::vector<std::string> words;
    bool good = true;  ///< false: an error has been reported

    [[nodiscard]] double number() const { return numbers.empty() ? 0 : numbers.front(); }
    [[nodiscard]] std::string word() const { return words.empty() ? std::string{} : words.front(); }
};

/// Turns nodes into checked values; reports what is wrong with place, key, text, rule and remedy.
class ValueReader final {
public:
    ValueReader(Messages& messages, geometry::PressureContext context)
        : messages_(messages), context_(context) {}

    /// The density to which the mass flow lb/h of one key refers [kg/m3].
    void state_density(const std::string& key, double density) { densities_[key] = density; }

    [[nodiscard]] Value read(const Key& key, const std::string& shown, const toml::node& node);
    /// "key = text: rule" at the value's place; marks it bad.
    void fail(Value& value, const std::string& rule);

private:
    void read_words(Value& value, const toml::node& node);
    void read_flag(Value& value, const toml::node& node);
    void read_whole(Value& value, const toml::node& node);
    void read_numbers(Value& value, const toml::node& node);
    void read_quantity(Value& value, const toml::node& node);
    void read_shape(Value& value, const toml::node& node);
    void read_over_speed(Value& value, const toml::node& node);
    void read_table(Value& value, const toml::node& node);
    [[nodiscard]] bool too_long(Value& value, std::size_t items);
    /// The remedy of a refused quantity, once it has been tried: where what it says to write would
    /// be refused as well, the reason and the key's example.
    [[nodiscard]] std::string tried(const Key& key,
                                    const std::string& problem,
                                    const std::string& remedy,
                                    Dimension dimension) const;
    [[nodiscard]] bool add_number(Value& value, const toml::node& node);
    [[nodiscard]] std::vector<double> list(Value& value,
                                           const toml::node& node,
                                           Dimension dimension);
    [[nodiscard]] std::vector<double> column(Value& value,
                                             const toml::table& table,
                                             const std::string& name,
                                             Dimension dimension);
    [[nodiscard]] bool only_columns(Value& value,
                                    const toml::table& table,
                                    const std::vector<std::string>& names);
    void check_stations(Value& value,
                        const std::string& x_name,
                        const std::string& value_name,
                        std::string_view unit);
    void check_limits(Value& value);
    [[nodiscard]] std::optional<std::string> limit_fault(const Key& key,
                                                         const std::string& written,
                                                         double number) const;
    [[nodiscard]] std::string shown_bound(const Key& key, std::string_view text) const;
    [[nodiscard]] geometry::PressureContext context_for(const Key& key) const;

    Messages& messages_;
    geometry::PressureContext context_;
    std::map<std::string, double, std::less<>> densities_;
};

/// The node as it is written in TOML, on one line.
[[nodiscard]] std::string toml_text(const toml::node& node);
/// The same without quotes and cut where it is long.
[[nodiscard]] std::string short_text(const toml::node& node);
[[nodiscard]] Place place_of(const toml::source_region& source);
/// An example of the key table with its lengths and areas as people of the case write them:
/// "\"0.236 in\"" for "\"6.0 mm\"".
[[nodiscard]] std::string example_in(std::string_view example, const geometry::OutputUnits& units);
/// "; write e.g. ..." from the key's example.
[[nodiscard]] std::string example_of(const Key& key, const geometry::OutputUnits& units);

}  // namespace plenair::file

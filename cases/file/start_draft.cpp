#include "cases/file/start_draft.hpp"

#include "cases/file/toml.hpp"
#include "cases/file/toml_write.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair::file {
namespace {

constexpr double standard_atmosphere = 101325;  // ISO 2533 [Pa]
constexpr std::size_t remark_column = 42;

/// Rounded as a drawing would be: to about a hundredth of itself.
double drawn(double number, bool inches) {
    struct Step {
        double from, step;
    };
    constexpr std::array millimetres{Step{100, 1}, Step{20, 0.5}, Step{2, 0.1}, Step{0, 0.05}};
    constexpr std::array inch{Step{4, 0.05}, Step{0.8, 0.02}, Step{0.08, 0.005}, Step{0, 0.002}};
    const auto round_by = [number](const auto& steps) {
        const auto found = std::find_if(
            steps.begin(), steps.end(), [number](const Step& s) { return number >= s.from; });
        const double step = found == steps.end() ? steps.back().step : found->step;
        return std::max(std::round(number / step), 1.0) * step;
    };
    return inches ? round_by(inch) : round_by(millimetres);
}

std::string section_of(std::string_view key) {
    const auto dot = key.rfind('.');
    return dot == std::string_view::npos ? std::string{} : std::string(key.substr(0, dot));
}

std::string last_of(std::string_view key) {
    return std::string(key.substr(key.rfind('.') + 1));
}

std::string unquoted(std::string text) {
    if (text.size() > 1 && text.front() == '"' && text.back() == '"') {
        text = text.substr(1, text.size() - 2);
    }
    return text;
}

}  // namespace

Value read_toml_value(const std::string& key,
                      const std::string& shown,
                      const std::string& toml,
                      Messages& messages) {
    geometry::PressureContext context;
    context.barometer = standard_atmosphere;
    ValueReader reader(messages, context);
    const Key& known = *find_key(key);
    try {
        const auto table = toml::parse("v = " + toml);
        return reader.read(known, shown, *table.get("v"));
    } catch (const toml::parse_error&) {
        messages.error(
            {}, fmt::format("{} = {}: cannot be read{}", shown, toml, example_of(known, {})));
    } catch (const ParserFault&) {
        messages.error(
            {}, fmt::format("{} = {}: cannot be read{}", shown, toml, example_of(known, {})));
    }
    Value bad;
    bad.key = &known;
    bad.good = false;
    return bad;
}

void Draft::remark(const std::string& text) {
    lines_.push_back({"# " + text, {}});
}

void Draft::section(const std::string& header, const std::string& remark) {
    lines_.push_back({"", {}});
    if (!remark.empty()) {
        lines_.push_back({"# " + remark, {}});
    }
    lines_.push_back({header, {}});
}

void Draft::plain(const std::string& line) {
    lines_.push_back({line, {}});
}

std::string Draft::number_text(double metres) const {
    const std::string_view unit = inches_ ? "in" : "mm";
    return geometry::format_number(drawn(geometry::to_unit(metres, unit), inches_));
}

std::string Draft::length_text(double metres) const {
    return number_text(metres) + (inches_ ? " in" : " mm");
}

double Draft::drawn_length(double metres) const {
    const std::string_view unit = inches_ ? "in" : "mm";
    return geometry::from_unit(drawn(geometry::to_unit(metres, unit), inches_), unit);
}

std::string Draft::lengths_toml(const std::vector<double>& metres) const {
    std::vector<std::string> numbers;
    numbers.reserve(metres.size());
    const std::string_view unit = inches_ ? "in" : "mm";
    for (const double length : metres) {
        // Places are added up: rounding each would let them drift against their pitch.
        numbers.push_back(
            geometry::format_number(std::round(geometry::to_unit(length, unit) * 1000) / 1000, 7));
    }
    return fmt::format("\"{} {}\"", fmt::join(numbers, ", "), unit);
}

std::string Draft::in_units(const Key& key, const std::string& toml) const {
    const bool area = key.dimension == Dimension::area;
    if (!inches_ || (key.dimension != Dimension::length && !area) || key.kind == Kind::table) {
        return toml;
    }
    Messages ignored("");
    const Value value = read_toml_value(std::string(key.name), "", toml, ignored);
    if (!value.good) {
        return toml;
    }
    const std::string_view unit = area ? "in2" : "in";
    const auto list = [](const std::vector<double>& numbers, std::string_view in) {
        std::vector<std::string> shown;
        for (const double number : numbers) {
            shown.push_back(geometry::format_in(number, in, 6));
        }
        return fmt::format("\"{} {}\"", fmt::join(shown, ", "), in);
    };
    switch (value.form) {
        case Form::taper:
            return fmt::format(
                "{{ start = {}, end = {} }}", list(value.numbers, unit), list(value.ends, unit));
        case Form::stations:
            return fmt::format(
                "{{ x = {}, value = {} }}", list(value.x, "in"), list(value.numbers, unit));
        case Form::plain:
            break;
    }
    return list(value.numbers, unit);
}

Value Draft::entry(const std::string& key,
                   const std::string& assumed_toml,
                   const Basis& basis,
                   const std::string& remark) {
    std::string toml = assumed_toml;
    Basis because = basis;
    bool assumed = !basis.text.empty();
    if (const auto answer = given.find(key); answer != given.end()) {
        toml = answer->second;
        assumed = false;
        given_written_.insert(key);
    } else if (const auto found = liked.find(key); found != liked.end()) {
        toml = in_units(*find_key(key), found->second);
        because = {fmt::format("as in the shipped case {}", like), {}};
        assumed = true;
    }
    if (assumed && bases_.emplace(key, because).second) {
        assumed_.push_back(key);
    }
    written_[key] = toml;
    std::string note = assumed ? "assumed" : "";
    if (!remark.empty()) {
        note += (note.empty() ? "" : "; ") + remark;
    }
    lines_.push_back({fmt::format("{} = {}", last_of(key), toml), note});
    Messages ignored("");
    return read_toml_value(key, key, toml, ignored);
}

double Draft::length(const std::string& key,
                     double assumed,
                     const Basis& basis,
                     const std::string& remark) {
    return entry(key, "\"" + length_text(assumed) + "\"", basis, remark).number();
}

double Draft::area(const std::string& key, double assumed, const Basis& basis) {
    const std::string_view unit = inches_ ? "in2" : "mm2";
    const double step = inches_ ? 0.05 : 50;
    const double rounded =
        std::max(std::round(geometry::to_unit(assumed, unit) / step), 1.0) * step;
    return entry(key, fmt::format("\"{} {}\"", geometry::format_number(rounded, 7), unit), basis)
        .number();
}

double Draft::number(const std::string& key,
                     const std::string& assumed_toml,
                     const Basis& basis,
                     const std::string& remark) {
    return entry(key, assumed_toml, basis, remark).number();
}

void Draft::rest_of(const std::string& section) {
    auto [rest, fresh] = rests_.try_emplace(section);
    for (const auto* values : {&given, &liked}) {
        for (const auto& [key, toml] : *values) {
            if (fresh && section_of(key) == section && !written_.contains(key)) {
                rest->second.push_back(key);
                written_[key] = toml;
            }
        }
    }
    for (const auto& key : rest->second) {
        (void)entry(key, "", {});
    }
}

void Draft::forget(const std::string& section) {
    rests_.erase(section);
    std::erase_if(written_, [&](const auto& entry) { return section_of(entry.first) == section; });
}

std::vector<std::string> Draft::sections_left() const {
    std::vector<std::string> left;
    for (const auto* values : {&given, &liked}) {
        for (const auto& [key, toml] : *values) {
            const auto section = section_of(key);
            if (!written_.contains(key) &&
                std::find(left.begin(), left.end(), section) == left.end()) {
                left.push_back(section);
            }
        }
    }
    return left;
}

std::string Draft::written(std::string_view key) const {
    const auto found = written_.find(key);
    return found == written_.end() ? std::string{} : unquoted(found->second);
}

std::string Draft::text() const {
    std::string all;
    for (const auto& line : lines_) {
        if (line.remark.empty()) {
            all += line.text + "\n";
        } else if (line.text.size() < remark_column) {
            all += fmt::format("{:<{}}# {}\n", line.text, remark_column, line.remark);
        } else {
            all += fmt::format("{}  # {}\n", line.text, line.remark);
        }
    }
    if (assumed_.empty()) {
        return all;
    }
    all +=
        "\n# Nobody has confirmed these entries. Measure or decide each, correct it above, and "
        "delete "
        "its line here;\n# \"within\" is the half width of its band, which goes into the band of "
        "every share.\n[assumed]\n";
    for (const auto& key : assumed_) {
        const Basis& basis = bases_.at(key);
        all += basis.within.empty() ? fmt::format("{} = {}\n", key, toml_string(basis.text))
                                    : fmt::format("{} = {{ basis = {}, within = {} }}\n",
                                                  key,
                                                  toml_string(basis.text),
                                                  toml_string(basis.within));
    }
    return all;
}

}  // namespace plenair::file

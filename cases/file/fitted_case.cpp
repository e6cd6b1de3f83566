#include "cases/file/fitted_case.hpp"

#include "cases/file/document.hpp"
#include "cases/file/key.hpp"
#include "cases/file/toml.hpp"
#include "cases/study/entry.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair {
namespace {

/// Edits of a TOML text that leave everything else as it stands.
class Edits final {
public:
    explicit Edits(std::string text) : text_(std::move(text)) {}

    /// Sets section.key; added below the section's header where it is missing.
    void set(const std::string& section, const std::string& key, const std::string& value) {
        file::Messages ignored("");
        const auto table = file::parse_toml(text_, {}, ignored);
        const auto* node = table ? table->at_path(section + "." + key).node() : nullptr;
        if (node != nullptr) {
            const auto& source = node->source();
            const auto begin = offset(source.begin.line, source.begin.column);
            const auto end = offset(source.end.line, source.end.column);
            text_.replace(begin, end - begin, value);
            return;
        }
        const std::string header = "[" + section + "]";
        std::size_t at = text_.starts_with(header) ? 0 : text_.find("\n" + header);
        if (at == std::string::npos) {
            text_ += "\n" + header + "\n";
            at = text_.size() - 1;
        } else {
            at = text_.find('\n', at + 1);
        }
        text_.insert(at == std::string::npos ? text_.size() : at, "\n" + key + " = " + value);
    }

    [[nodiscard]] const std::string& text() const { return text_; }

private:
    [[nodiscard]] std::size_t offset(std::uint32_t line, std::uint32_t column) const {
        std::size_t at = 0;
        for (std::uint32_t i = 1; i < line; ++i) {
            at = text_.find('\n', at) + 1;
        }
        return at + column - 1;
    }
    std::string text_;
};

std::string length(double metres, std::string_view unit) {
    return fmt::format("\"{} {}\"", geometry::format_in(metres, unit, 5), unit);
}

/// Stations as the case file counts them, from the start of the slot, its ends covered.
std::string stations(const GaugeReading& gauge,
                     const geometry::SlotPiece& piece,
                     std::string_view unit) {
    std::vector<std::string> x{"0"};
    std::vector<std::string> value{geometry::format_in(gauge.value.front(), unit, 5)};
    for (std::size_t i = 0; i < gauge.x.size(); ++i) {
        const double from_start = gauge.x[i] - piece.x;
        if (from_start > 1e-6 && from_start < piece.length - 1e-6) {
            x.push_back(geometry::format_in(from_start, unit, 6));
            value.push_back(geometry::format_in(gauge.value[i], unit, 5));
        }
    }
    x.push_back(geometry::format_in(piece.length, unit, 6));
    value.push_back(geometry::format_in(gauge.value.back(), unit, 5));
    return fmt::format("{{ x = \"{0} {2}\", value = \"{1} {2}\" }}",
                       fmt::join(x, ", "),
                       fmt::join(value, ", "),
                       unit);
}

/// Whether the readings said something of an entry: it moved, or its band narrowed, by 5 %.
bool learned(const FittedEntry& entry) {
    return entry.gauged || entry.before_half <= 0 ||
           std::abs(entry.after - entry.before) > 0.05 * entry.before_half ||
           entry.after_half < 0.95 * entry.before_half;
}

const std::string learned_head =
    "\n# What the readings taught of the coefficients; every band is then theirs.\n";

/// [[learned]] tables, and of which entry of the fit each is.
struct LearnedBlocks {
    std::vector<std::size_t> entries;
    std::string text;
};

/// @param stands  the case says its value itself
void add_learned(const FitResult& result,
                 const std::string& key,
                 bool stands,
                 LearnedBlocks& blocks) {
    const auto& joint = result.joint;
    const auto found = std::find(joint.entries.begin(), joint.entries.end(), key);
    if (found == joint.entries.end()) {
        return;
    }
    const auto at = static_cast<std::size_t>(found - joint.entries.begin());
    blocks.text += fmt::format("\n[[learned]]\nentry = \"{}\"\n", key);
    if (!stands && may_be_moved(key)) {
        const auto entry = std::find_if(result.entries.begin(),
                                        result.entries.end(),
                                        [&key](const auto& e) { return e.key == key; });
        blocks.text += fmt::format("value = {}\n", geometry::format_number(entry->after, 6));
    }
    blocks.text += fmt::format("deviation = {}\n", geometry::format_number(joint.deviation[at], 4));
    std::vector<std::string> correlation;
    for (const std::size_t other : blocks.entries) {
        const auto [low, high] = std::minmax(at, other);
        // Row by row below the diagonal.
        const double r = joint.correlation[high * (high - 1) / 2 + low];
        constexpr double printed = 1e4;
        correlation.push_back(geometry::format_number(std::round(r * printed) / printed + 0.0, 4));
    }
    if (!correlation.empty()) {
        blocks.text += fmt::format("correlation = [{}]\n", fmt::join(correlation, ", "));
    }
    blocks.entries.push_back(at);
}

}  // namespace

std::string fitted_case(const Case& c, const Measured& measured, const FitResult& result) {
    Edits edits(c.text);
    const auto unit = c.units.in_place_of("mm");
    const geometry::Slot* slot = nullptr;
    for (const auto& bank : c.intake.banks) {
        slot = bank.slot && slot == nullptr ? &*bank.slot : slot;
    }
    const bool one_bank = c.intake.banks.size() == 1;
    std::vector<std::string> written;
    std::vector<std::string> left;
    LearnedBlocks blocks;
    for (const auto& entry : result.entries) {
        if (!learned(entry)) {
            continue;
        }
        const auto dot = entry.key.find('.');
        const auto section = entry.key.substr(0, dot);
        const auto key = entry.key.substr(dot + 1);
        const bool slot_entry = section == "slot" && one_bank && slot != nullptr;
        if (section == "model") {
            edits.set(section, key, geometry::format_number(entry.after, 5));
        } else if (slot_entry && entry.key == "slot.width" && slot->pieces.size() == 1) {
            const auto gauge = std::find_if(measured.gauges.begin(),
                                            measured.gauges.end(),
                                            [](const auto& g) { return g.entry == "slot.width"; });
            const bool along = gauge != measured.gauges.end() && gauge->x.size() > 1;
            edits.set(
                section,
                key,
                along ? stations(*gauge, slot->pieces.front(), unit) : length(entry.after, unit));
        } else if (slot_entry && (key == "edge_radius" || key == "land")) {
            edits.set(section, key, length(entry.after, unit));
        } else if (slot_entry && key == "coefficient" && result.slot_cd > 0) {
            // Edge and land stay for the sheet; the measured coefficient takes their place.
            edits.set(section, "cd", geometry::format_number(result.slot_cd, 4));
        } else if (section == "throttle" && one_bank &&
                   c.intake.banks.front().throttles.size() == 1 &&
                   !c.intake.banks.front().throttles.front().cd_table) {
            const double cd = c.intake.banks.front().throttles.front().cd * entry.after;
            edits.set(section, "cd", geometry::format_number(std::min(cd, 1.0), 4));
        } else {
            left.push_back(entry.key);
            continue;
        }
        written.push_back(entry.key);
    }
    for (const auto& entry : coefficients(c)) {
        const bool stands = std::find(left.begin(), left.end(), entry.key) == left.end();
        add_learned(result, entry.key, stands, blocks);
    }
    std::string head =
        fmt::format("# Fitted by plenair fit to: {}. Written here: {}.\n",
                    measured.title.empty() ? measured.path : measured.title,
                    written.empty() ? "nothing" : fmt::format("{}", fmt::join(written, ", ")));
    if (!left.empty()) {
        head +=
            fmt::format("# Learned, but without an entry of its own: {}.\n", fmt::join(left, ", "));
    }
    std::string text = edits.text();
    text.resize(std::min(text.find(learned_head), text.size()));
    return head + text + (blocks.entries.empty() ? "" : learned_head + blocks.text);
}

}  // namespace plenair

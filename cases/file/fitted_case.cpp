#include "cases/file/fitted_case.hpp"

#include "cases/file/document.hpp"
#include "cases/file/gauged_value.hpp"
#include "cases/file/key.hpp"
#include "cases/file/toml.hpp"
#include "cases/study/entry.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair {
namespace {

/// Edits of a TOML text that leave everything else as it stands.
class Edits final {
public:
    explicit Edits(std::string text) : text_(std::move(text)) {}

    /// Sets section.key, section being a path as "slot" or "bank[1].slot"; added where it is
    /// missing, behind the head of its table. @param header  of the table, where that is missing
    /// too
    void set(std::string section,
             const std::string& key,
             const std::string& value,
             const std::string& header) {
        file::Messages ignored("");
        const auto table = file::parse_toml(text_, {}, ignored);
        if (table && table->at_path(section).is_array()) {
            section += "[0]";  // a list of one
        }
        const auto* node = table ? table->at_path(section + "." + key).node() : nullptr;
        if (node != nullptr) {
            const auto& source = node->source();
            const auto begin = offset(source.begin.line, source.begin.column);
            const auto end = offset(source.end.line, source.end.column);
            text_.replace(begin, end - begin, value);
            return;
        }
        const auto* parent = table ? table->at_path(section).as_table() : nullptr;
        if (parent == nullptr) {
            text_ += fmt::format("\n[{}]\n{} = {}\n", header, key, value);
            return;
        }
        const auto& source = parent->source();
        const auto head = offset(source.begin.line, source.begin.column);
        if (parent->is_inline()) {
            text_.insert(head + 1, fmt::format(" {} = {},", key, value));
            return;
        }
        const auto line_end = std::min(text_.find('\n', head), text_.size());
        text_.insert(line_end, fmt::format("\n{} = {}", key, value));
    }

    /// Takes the word "assumed" from behind section.key: it was measured.
    void unmark(std::string section, const std::string& key) {
        file::Messages ignored("");
        const auto table = file::parse_toml(text_, {}, ignored);
        if (table && table->at_path(section).is_array()) {
            section += "[0]";  // a list of one
        }
        const auto* entry = table ? table->at_path(section + "." + key).node() : nullptr;
        if (entry == nullptr) {
            return;
        }
        const auto end = offset(entry->source().end.line, entry->source().end.column);
        const auto line_end = std::min(text_.find('\n', end), text_.size());
        constexpr std::string_view mark = "# assumed";
        constexpr std::string_view more = "; ";
        const auto note = text_.find(mark, end);
        if (note < line_end) {
            const auto behind = note + mark.size();
            const bool says_more = text_.compare(behind, more.size(), more) == 0;
            const auto from = says_more ? note + 2 : end;
            text_.erase(from, (says_more ? behind + more.size() : line_end) - from);
        }
    }

    /// Takes an entry out of [assumed].
    void drop_assumption(const std::string& key) {
        file::Messages ignored("");
        const auto table = file::parse_toml(text_, {}, ignored);
        const auto dot = "assumed." + key;
        const auto* line = table ? table->at_path(dot).node() : nullptr;
        if (line == nullptr) {
            return;
        }
        // A line of its own, as this program writes it; what somebody wrote otherwise stays.
        const auto& source = line->source();
        const auto begin = offset(source.begin.line, 1);
        const auto end = text_.find('\n', offset(source.end.line, source.end.column));
        if (text_.compare(begin, key.size(), key) == 0) {
            text_.erase(begin, end == std::string::npos ? end : end - begin + 1);
        }
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

/// Writes what was fitted where the case has a place for it, in every bank.
class CaseWriter final {
public:
    CaseWriter(const Case& c, const Measured& measured, const FitResult& result)
        : edits(c.text), c_(c), measured_(measured), result_(result) {}

    /// @returns whether the case has a place for it
    bool write(const FittedEntry& entry) {
        const auto dot = entry.key.find('.');
        const auto section = entry.key.substr(0, dot);
        if (section == "model") {
            edits.set(section,
                      entry.key.substr(dot + 1),
                      geometry::format_number(entry.after, 5),
                      section);
            return true;
        }
        bool any = false;
        for (std::size_t b = 0; b < c_.intake.banks.size(); ++b) {
            const auto value = section == "slot"       ? of_slot(entry, b)
                               : section == "throttle" ? of_throttle(entry, b)
                                                       : std::optional<std::string>{};
            if (value && value->empty()) {
                return false;
            }
            any = any || value;
        }
        for (std::size_t b = 0; any && b < c_.intake.banks.size(); ++b) {
            const auto value = section == "slot" ? of_slot(entry, b) : of_throttle(entry, b);
            if (!value) {
                continue;
            }
            const bool coefficient = entry.key.ends_with(".coefficient");
            set(b, section, coefficient ? "cd" : entry.key.substr(dot + 1), *value);
        }
        return any;
    }

    /// Writes what was gauged of throttles and runners, which no fit changes.
    /// @returns whether the case has a place for it in every bank that it is of
    bool write(const GaugeReading& gauge) {
        const auto dot = gauge.entry.find('.');
        bool all = true;
        for (std::size_t b = 0; b < c_.intake.banks.size(); ++b) {
            const auto value = file::gauged_value(c_, gauge, b);
            if (value) {
                set(b, gauge.entry.substr(0, dot), gauge.entry.substr(dot + 1), *value);
            }
            all = all && (value || !gauge.of_bank(b));
        }
        return all;
    }

    /// Says no longer that an entry is assumed, in the banks that `gauge` is of.
    /// @param gauge  none: the entry was learned, for all banks
    void confirm(const std::string& key, const GaugeReading* gauge = nullptr) {
        const auto dot = key.find('.');
        bool everywhere = true;
        for (std::size_t b = 0; b < c_.intake.banks.size(); ++b) {
            if (gauge == nullptr || gauge->of_bank(b)) {
                edits.unmark(bank_path(b) + key.substr(0, dot), key.substr(dot + 1));
            } else {
                everywhere = everywhere && gauge_of(key, b) != nullptr;
            }
        }
        if (everywhere) {  // [assumed] knows no banks
            edits.drop_assumption(key);
        }
    }

    Edits edits;

private:
    [[nodiscard]] std::string bank_path(std::size_t b) const {
        return c_.intake.banks.size() > 1 ? fmt::format("bank[{}].", b) : std::string{};
    }

    void set(std::size_t b,
             const std::string& section,
             const std::string& key,
             const std::string& value) {
        const std::string bank = bank_path(b);
        edits.set(bank + section, key, value, (bank.empty() ? "" : "bank.") + section);
    }

    [[nodiscard]] const GaugeReading* gauge_of(const std::string& entry, std::size_t bank) const {
        const auto found =
            std::find_if(measured_.gauges.begin(), measured_.gauges.end(), [&](const auto& g) {
                return g.entry == entry && g.of_bank(bank);
            });
        return found == measured_.gauges.end() ? nullptr : &*found;
    }

    /// Text of the value; empty where the case has no place for it, nothing where no such part.
    [[nodiscard]] std::optional<std::string> of_slot(const FittedEntry& entry,
                                                     std::size_t b) const {
        const auto& slot = c_.intake.banks[b].slot;
        if (!slot) {
            return std::nullopt;
        }
        const auto unit = c_.units.in_place_of("mm");
        const auto* gauge = gauge_of(entry.key, b);
        const double moved = entry.after - entry.before;
        if (entry.key == "slot.width") {
            if (slot->pieces.size() != 1) {
                return "";
            }
            const auto& piece = slot->pieces.front();
            if (gauge != nullptr && gauge->x.size() > 1) {
                return stations(*gauge, piece, unit);
            }
            if (gauge == nullptr && piece.width.x().size() > 1) {
                GaugeReading along;
                along.x = piece.width.x();
                along.value = piece.width.value();
                for (double& w : along.value) {
                    w += moved;
                }
                return stations(along, piece, unit);
            }
            const double drawn = gauge ? gauge->mean() : piece.area() / piece.length;
            return length(drawn + moved, unit);
        }
        if (entry.key == "slot.edge_radius" || entry.key == "slot.land") {
            const double drawn = gauge                             ? gauge->mean()
                                 : entry.key == "slot.edge_radius" ? slot->edge_radius
                                                                   : slot->land;
            return length(drawn + moved, unit);
        }
        // Edge and land stay for the sheet; the measured coefficient takes their place.
        const bool known = b < result_.slot_cd.size() && result_.slot_cd[b] > 0;
        return known ? geometry::format_number(result_.slot_cd[b], 4) : std::string{};
    }

    [[nodiscard]] std::optional<std::string> of_throttle(const FittedEntry& entry,
                                                         std::size_t b) const {
        const auto& throttles = c_.intake.banks[b].throttles;
        if (throttles.empty()) {
            return std::nullopt;
        }
        if (throttles.size() > 1 || throttles.front().cd_table) {
            return "";
        }
        return geometry::format_number(std::min(throttles.front().cd * entry.after, 1.0), 4);
    }

    const Case& c_;
    const Measured& measured_;
    const FitResult& result_;
};

}  // namespace

std::string fitted_case(const Case& c, const Measured& measured, const FitResult& result) {
    CaseWriter writer(c, measured, result);
    std::vector<std::string> written;
    std::vector<std::string> left;
    LearnedBlocks blocks;
    for (const auto& entry : result.entries) {
        if (learned(entry)) {
            const bool has_place = writer.write(entry);
            (has_place ? written : left).push_back(entry.key);
            if (has_place) {
                writer.confirm(entry.key);
            }
        }
    }
    for (const auto& gauge : measured.gauges) {
        if (!gauge.entry.starts_with("slot.")) {
            const bool has_place = writer.write(gauge);
            (has_place ? written : left).push_back(gauge.entry);
            if (has_place) {
                writer.confirm(gauge.entry, &gauge);
            }
        }
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
    std::string text = writer.edits.text();
    text.resize(std::min(text.find(learned_head), text.size()));
    return head + text + (blocks.entries.empty() ? "" : learned_head + blocks.text);
}

}  // namespace plenair

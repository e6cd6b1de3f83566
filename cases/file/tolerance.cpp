#include "cases/file/tolerance.hpp"

#include "cases/file/build.hpp"
#include "cases/file/reading.hpp"
#include "cases/file/text.hpp"
#include "geometry/error.hpp"
#include "geometry/places.hpp"
#include "geometry/runner_metal.hpp"
#include "geometry/slot_holes.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include <fmt/format.h>
#include <fmt/ranges.h>

/// [tolerance]: how far each dimension of the metal may be off.
namespace plenair {
namespace {

using namespace file;

struct GeneralLimit {
    double up_to, fine, medium;  ///< [mm]
};

// ISO 2768-1:1989, table 1: permissible deviations of linear dimensions (from memory).
constexpr std::array<GeneralLimit, 7> lengths = {{{3, 0.05, 0.1},
                                                  {6, 0.05, 0.1},
                                                  {30, 0.1, 0.2},
                                                  {120, 0.15, 0.3},
                                                  {400, 0.2, 0.5},
                                                  {1000, 0.3, 0.8},
                                                  {2000, 0.5, 1.2}}};
// Table 2: external radii and chamfer heights, the same for f and m (from memory).
constexpr std::array<GeneralLimit, 3> radii = {{{3, 0.2, 0.2}, {6, 0.5, 0.5}, {2000, 1, 1}}};

/// Collects the dimensions of a case.
class Dimensions final {
public:
    Dimensions(const Scope& root, Messages& messages)
        : root_(root), messages_(messages), process_(root.word("tolerance.process")) {}

    void add(const Case& c);
    std::vector<ToleratedDimension> take() { return std::move(made_); }
    [[nodiscard]] std::string left_out() const {
        return without_.empty() ? ""
                                : fmt::format("No tolerance was given for {}: taken as exact.",
                                              fmt::join(without_, ", "));
    }

private:
    using Move = std::function<void(Case&, double)>;
    void add_slot(std::size_t bank, const std::string& prefix, const geometry::Slot& slot);
    void add_runners(std::size_t bank, const geometry::Bank& parts);
    void add_chambers(std::size_t bank, const std::string& prefix, const geometry::Bank& parts);
    /// @param name  as in [tolerance], "slot.width"; @param own  limit of the drawing, if it has
    /// one
    void add_one(const std::string& name,
                 const std::string& shown,
                 double size,
                 std::optional<std::pair<double, std::string>> own,
                 bool radius,
                 Move move);
    [[nodiscard]] std::optional<std::pair<double, std::string>> general(double size,
                                                                        bool radius) const;

    struct At {
        std::size_t bank = 0, part = 0;
    };

    const Scope& root_;
    Messages& messages_;
    std::string process_;
    At at_;  ///< whose dimensions are being added
    std::vector<ToleratedDimension> made_;
    std::vector<std::string> without_;
};

std::optional<std::pair<double, std::string>> Dimensions::general(double size, bool radius) const {
    const auto find = [&](const auto& table) -> std::optional<std::pair<double, std::string>> {
        for (const auto& row : table) {
            if (size <= geometry::from_unit(row.up_to, "mm")) {
                const double limit = process_ == "ISO 2768-f" ? row.fine : row.medium;
                return std::pair(geometry::from_unit(limit, "mm"), process_);
            }
        }
        return std::nullopt;
    };
    if (process_ == "none") {
        return std::nullopt;
    }
    return radius ? find(radii) : find(lengths);
}

void Dimensions::add_one(const std::string& name,
                         const std::string& shown,
                         double size,
                         std::optional<std::pair<double, std::string>> own,
                         bool radius,
                         Move move) {
    if (const Value* given = root_.good("tolerance." + name)) {
        own = std::pair(given->number(), std::string("tolerance." + name));
        if (size > 0 && given->number() >= size) {
            refuse(messages_,
                   *given,
                   fmt::format("is not smaller than the dimension itself ({}); write a smaller "
                               "tolerance",
                               messages_.length(size)));
            return;
        }
    } else if (!own) {
        own = general(size, radius);
    }
    if (!own) {
        if (std::find(without_.begin(), without_.end(), name) == without_.end()) {
            without_.push_back(name);
        }
        return;
    }
    made_.push_back({shown,
                     own->second,
                     std::min(own->first, 0.9 * size),
                     std::move(move),
                     at_.bank,
                     at_.part,
                     name});
}

geometry::Slot& slot_of(Case& c, std::size_t bank) {
    return *c.intake.banks[bank].slot;
}

/// Adds to each width: `level`, and `tilt` from one end of the slot to the other.
void widen(geometry::Slot& slot, double level, double tilt) {
    double from = 1e9, to = -1e9;
    for (const auto& piece : slot.pieces) {
        from = std::min(from, piece.x);
        to = std::max(to, piece.x + piece.length);
    }
    for (auto& piece : slot.pieces) {
        auto x = piece.width.x();
        auto width = piece.width.value();
        if (tilt != 0.0 && x.size() == 1) {
            x = {piece.x, piece.x + piece.length};
            width = {width.front(), width.front()};
        }
        for (std::size_t i = 0; i < x.size(); ++i) {
            width[i] += level + tilt * ((x[i] - from) / (to - from) - 0.5);
        }
        piece.width = geometry::Profile::stations(x, width);
    }
}

void Dimensions::add_slot(std::size_t bank, const std::string& prefix, const geometry::Slot& slot) {
    using Own = std::pair<double, std::string>;
    if (!slot.pieces.empty()) {
        const double width = slot.pieces.front().width.smallest();
        add_one("slot.width",
                prefix + "slot.width",
                width,
                Own(slot.limits.width, "slot.width_tolerance"),
                false,
                [bank](Case& c, double d) { widen(slot_of(c, bank), d, 0); });
        add_one("slot.taper",
                prefix + "slot.width end to end",
                width,
                Own(slot.limits.taper, "slot.taper_tolerance"),
                false,
                [bank](Case& c, double d) { widen(slot_of(c, bank), 0, d); });
        add_one("slot.length",
                prefix + "slot.length",
                slot.pieces.back().length,
                Own(slot.limits.length, "slot.length_tolerance"),
                false,
                [bank](Case& c, double d) { slot_of(c, bank).pieces.back().length += d; });
    }
    if (!slot.holes.empty()) {
        add_one("slot.width",
                prefix + (geometry::is_round(slot.holes.front()) ? "slot.holes.diameter"
                                                                 : "slot.holes.width"),
                geometry::hole_width(slot.holes.front()),
                Own(slot.limits.width, "slot.width_tolerance"),
                false,
                [bank](Case& c, double d) {
                    for (auto& hole : slot_of(c, bank).holes) {
                        hole = geometry::widened(hole, d);
                    }
                });
    }
    if (slot.cd) {
        return;  // imposed: neither edge nor land matters
    }
    if (slot.edge_radius > 0) {
        add_one("slot.edge_radius",
                prefix + "slot.edge_radius",
                slot.edge_radius,
                Own(slot.limits.edge_radius, "slot.edge_radius_tolerance"),
                true,
                [bank](Case& c, double d) { slot_of(c, bank).edge_radius += d; });
    }
    if (slot.land > 0) {
        add_one("slot.land",
                prefix + "slot.land",
                slot.land,
                Own(slot.limits.land, "slot.land_tolerance"),
                false,
                [bank](Case& c, double d) { slot_of(c, bank).land += d; });
    }
}

void Dimensions::add_runners(std::size_t bank, const geometry::Bank& parts) {
    for (std::size_t r = 0; r < parts.runners.size(); ++r) {
        const auto& runner = parts.runners[r];
        at_ = {bank, r};
        const std::string of = r < parts.cylinders.size()
                                   ? fmt::format(" of cylinder {}", parts.cylinders[r])
                                   : fmt::format(" of runner {}", r + 1);
        const auto at = [bank, r](Case& c) -> geometry::Runner& {
            return c.intake.banks[bank].runners[r];
        };
        add_one("runner.length",
                "runner.length" + of,
                geometry::flange_length(runner),
                {},
                false,
                [at](Case& c, double d) { change_length(at(c), d); });
        add_one(
            "runner.diameter",
            "runner.diameter" + of,
            runner.mouth_diameter(),
            {},
            false,
            [at](Case& c, double d) { change_bore(at(c), [d](double bore) { return bore + d; }); });
        if (runner.bell_radius > 0 && !runner.entry_loss) {
            add_one("runner.bell_radius",
                    "runner.bell_radius" + of,
                    runner.bell_radius,
                    {},
                    true,
                    [at](Case& c, double d) { at(c).bell_radius += d; });
        }
    }
}

void Dimensions::add_chambers(std::size_t bank,
                              const std::string& prefix,
                              const geometry::Bank& parts) {
    const auto scale = [](geometry::Chamber& chamber, double d) {
        auto area = chamber.area.value();
        for (double& value : area) {
            value *= 1 + d / *chamber.height;
        }
        chamber.area = geometry::Profile::stations(chamber.area.x(), area);
    };
    const auto add =
        [&](const char* name, const std::optional<geometry::Chamber>& chamber, auto at) {
            if (!chamber) {
                return;
            }
            if (!chamber->height) {
                without_.push_back(prefix + name + " (no height is stated)");
                return;
            }
            add_one(name, prefix + name, *chamber->height, {}, false, [=](Case& c, double d) {
                scale(at(c), d);
            });
        };
    add("pre_chamber.height", parts.pre_chamber, [bank](Case& c) -> geometry::Chamber& {
        return *c.intake.banks[bank].pre_chamber;
    });
    add("plenum.height", parts.plenum, [bank](Case& c) -> geometry::Chamber& {
        return *c.intake.banks[bank].plenum;
    });
}

void Dimensions::add(const Case& c) {
    for (std::size_t b = 0; b < c.intake.banks.size(); ++b) {
        const auto& bank = c.intake.banks[b];
        const std::string name = geometry::bank_name(c.intake, b);
        const std::string prefix = geometry::bank_prefix(name);
        at_ = {b, 0};
        if (bank.slot) {
            add_slot(b, prefix, *bank.slot);
        }
        for (std::size_t t = 0; t < bank.throttles.size(); ++t) {
            at_ = {b, t};
            add_one("throttle.bore",
                    fmt::format("{}throttle.bore{}",
                                prefix,
                                bank.throttles.size() > 1 ? fmt::format(" {}", t + 1) : ""),
                    bank.throttles[t].bore,
                    {},
                    false,
                    [b, t](Case& changed, double d) {
                        changed.intake.banks[b].throttles[t].bore += d;
                    });
        }
        at_ = {b, 0};
        add_chambers(b, prefix, bank);
        add_runners(b, bank);
    }
}

}  // namespace

TolerancePlan file::tolerance_of(const CaseReading& reading) {
    TolerancePlan plan;
    plan.base = reading.c;
    Messages messages = reading.messages();
    const Scope& root = reading.root;
    if (!plan.base.has_engine) {
        messages.error({1, 1}, "no [engine]: tolerance needs one");
    } else if (plan.base.engine.cylinder_count() == 1) {
        messages.error({1, 1},
                       "tolerance: one cylinder gets all the air, so that there is no spread to "
                       "keep; what a size costs in air and loss says compare --vary "
                       "\"slot.width=5.9, 6, 6.1 mm\", or choose with make_best = \"air\" or "
                       "\"total_loss\"");
    } else if (plan.base.points.empty()) {
        messages.error({1, 1}, "no [[point]] and no [[curve]]: tolerance needs at least one");
    }
    Dimensions dimensions(root, messages);
    dimensions.add(plan.base);
    if (messages.any_error()) {
        throw InputError(messages.errors());
    }
    plan.dimensions = dimensions.take();
    plan.left_out = dimensions.left_out();
    plan.target = root.number("tolerance.target");
    plan.parts = static_cast<std::size_t>(root.number("tolerance.parts"));
    plan.seed = static_cast<std::uint64_t>(root.number("tolerance.seed"));
    plan.direct = root.word("tolerance.method") == "direct";
    plan.coefficients = root.flag("tolerance.coefficients");
    return plan;
}

TolerancePlan parse_tolerance(std::string_view text,
                              std::string path,
                              const std::vector<std::string>& sets) {
    return file::tolerance_of(file::read_once(text, std::move(path), sets));
}

std::vector<ToleratedDimension> read_limits(const std::string& path,
                                            const std::vector<std::string>& sets) {
    const auto reading = file::read_once(read_text(path), shown_path(path), sets);
    Messages messages = reading.messages();
    Dimensions dimensions(reading.root, messages);
    dimensions.add(reading.c);
    if (messages.any_error()) {
        throw InputError(messages.errors());
    }
    return dimensions.take();
}

TolerancePlan read_tolerance(const std::string& path, const std::vector<std::string>& sets) {
    return parse_tolerance(read_text(path), shown_path(path), sets);
}

}  // namespace plenair

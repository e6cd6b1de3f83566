#include "cases/study/derived.hpp"
#include "solver/laws/slot_edge.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>

namespace plenair::study {

namespace {

/// Stretches into which a slot of varying width is cut for its mean coefficient.
constexpr int stretches = 64;

double coefficient(const geometry::Slot& slot, const Model& model, double hydraulic_diameter) {
    if (slot.cd) {
        return *slot.cd;
    }
    if (model.slot_edge == SlotEdge::sharp_exact) {
        return std::numbers::pi / (std::numbers::pi + 2);
    }
    return laws::mcgreehan_schotsch(slot.land / hydraulic_diameter,
                                    slot.edge_radius / hydraulic_diameter,
                                    laws::ThinLimit::slit)(slot_reynolds);
}

double hole_coefficient(const geometry::Slot& slot, double hydraulic_diameter) {
    if (slot.cd) {
        return *slot.cd;
    }
    return laws::mcgreehan_schotsch(slot.land / hydraulic_diameter,
                                    slot.edge_radius / hydraulic_diameter)(slot_reynolds);
}

/// Effective area of what lies between two stations; a hole counts where its centre lies.
double effective_between(const geometry::Slot& slot, const Model& model, double from, double to) {
    double sum = 0;
    for (const auto& piece : slot.pieces) {
        const double start = std::max(piece.x, from);
        const double end = std::min(piece.x + piece.length, to);
        if (end <= start) {
            continue;
        }
        const double step = (end - start) / stretches;
        for (int i = 0; i < stretches; ++i) {
            const double left = start + i * step;
            const double width = piece.width.mean(left, left + step);
            if (width > 0) {
                sum += coefficient(slot, model, 2 * width) * width * step;
            }
        }
    }
    for (const auto& hole : slot.holes) {
        if (hole.x >= from && hole.x < to) {
            sum += hole_coefficient(slot, hole.hydraulic_diameter) * hole.area;
        }
    }
    return sum;
}

/// One stretch of header with its feeds at one end.
struct Arm {
    double from = 0, to = 0;  ///< [m]
    double feed_area = 0;  ///< [m2]
    int feeds = 0;  ///< that share one place
};

/// The stretches that each place of feeds loads; `feeds`: of all places.
std::vector<Arm> arms_of(const geometry::Bank& bank, int& feeds) {
    const auto& room = *bank.pre_chamber;
    int at_start = room.open_start ? 1 : 0;
    int at_end = room.open_end ? 1 : 0;
    std::map<double, int> at_side;
    for (const auto& throttle : bank.throttles) {
        if (throttle.feeds == geometry::FeedTarget::pre_chamber) {
            ++(throttle.position == geometry::FeedPosition::side    ? at_side[throttle.x]
               : throttle.position == geometry::FeedPosition::start ? at_start
                                                                    : at_end);
        }
    }
    if (at_start + at_end == 0 && at_side.empty()) {
        at_start = 1;
    }
    feeds = at_start + at_end;
    std::vector<Arm> arms{{0, room.length, room.area.at(0), at_start},
                          {0, room.length, room.area.at(room.length), at_end}};
    for (const auto& [x, count] : at_side) {
        arms.push_back({0, x, room.area.at(x), count});
        arms.push_back({x, room.length, room.area.at(x), count});
        feeds += count;
    }
    std::erase_if(arms, [](const Arm& arm) { return arm.feeds == 0; });
    return arms;
}

}  // namespace

double slot_effective_area(const geometry::Slot& slot, const Model& model) {
    constexpr double anywhere = std::numeric_limits<double>::infinity();
    return effective_between(slot, model, -anywhere, anywhere);
}

Header header(const geometry::Bank& bank, const Model& model) {
    Header result;
    const auto& room = *bank.pre_chamber;
    // Half-open stretches: the last one must hold a hole at the end wall.
    const double past = std::nextafter(room.length, 2 * room.length);
    result.effective_area = effective_between(*bank.slot, model, 0, past);
    result.cd = result.effective_area / bank.slot->area();
    int feeds = 0;
    double loading = -1;
    for (const auto& arm : arms_of(bank, feeds)) {
        const double end = arm.to == room.length ? past : arm.to;
        const double share =
            effective_between(*bank.slot, model, arm.from, end) * arm.feeds / feeds;
        if (share / arm.feed_area > loading) {
            loading = share / arm.feed_area;
            result.feed_area = arm.feed_area;
        }
    }
    result.number = std::sqrt(model.regain) * loading;
    result.dynamic_heads = 1 / (loading * loading);
    result.uniform = room.area.smallest() == room.area.largest() && bank.slot->holes.empty();
    if (result.number < 0.5 * std::numbers::pi) {
        result.spread = result.number * std::tan(0.5 * result.number);
    }
    return result;
}

}  // namespace plenair::study

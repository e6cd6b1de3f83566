#include "cases/study/no_slot.hpp"

#include <algorithm>
#include <vector>

namespace plenair::study {

namespace {

// Where the shorter chamber ends the section drops over this length, for a profile has no steps.
constexpr double step_length = 1e-4;

std::vector<double> stations_of(const geometry::Chamber& a, const geometry::Chamber& b) {
    std::vector<double> x{0.0, std::max(a.length, b.length)};
    if (a.length < b.length || b.length < a.length) {
        const double end = std::min(a.length, b.length);
        x.push_back(end);
        x.push_back(std::min(end + step_length, x[1]));
    }
    for (const auto* chamber : {&a, &b}) {
        for (const double station : chamber->area.x()) {
            if (station > 0 && station < chamber->length) {
                x.push_back(station);
            }
        }
    }
    std::sort(x.begin(), x.end());
    x.erase(std::unique(x.begin(), x.end()), x.end());
    return x;
}

geometry::Chamber joined(const geometry::Chamber& plenum, const geometry::Chamber& pre_chamber) {
    geometry::Chamber whole = plenum;
    whole.length = std::max(plenum.length, pre_chamber.length);
    const std::vector<double> x = stations_of(plenum, pre_chamber);
    std::vector<double> area;
    area.reserve(x.size());
    for (const double at : x) {
        area.push_back((at <= plenum.length ? plenum.area.at(at) : 0.0) +
                       (at <= pre_chamber.length ? pre_chamber.area.at(at) : 0.0));
    }
    whole.area = geometry::Profile::stations(x, area);
    whole.height.reset();
    whole.perimeter.reset();
    if (!whole.roughness) {
        whole.roughness = pre_chamber.roughness;
    }
    if (!whole.wall_temperature) {
        whole.wall_temperature = pre_chamber.wall_temperature;
    }
    whole.open_start = plenum.open_start || pre_chamber.open_start;
    whole.open_end = plenum.open_end || pre_chamber.open_end;
    return whole;
}

bool is_two_chamber(const geometry::Bank& bank) {
    return bank.pre_chamber && bank.plenum && bank.slot;
}

}  // namespace

bool has_slot(const geometry::Intake& intake) {
    return std::any_of(intake.banks.begin(), intake.banks.end(), is_two_chamber);
}

geometry::Intake without_slot(const geometry::Intake& intake) {
    geometry::Intake result = intake;
    for (auto& bank : result.banks) {
        if (!is_two_chamber(bank)) {
            continue;
        }
        bank.plenum = joined(*bank.plenum, *bank.pre_chamber);
        bank.pre_chamber.reset();
        bank.slot.reset();
        for (auto& throttle : bank.throttles) {
            throttle.feeds = geometry::FeedTarget::plenum;
        }
    }
    return result;
}

}  // namespace plenair::study

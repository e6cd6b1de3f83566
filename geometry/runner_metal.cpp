#include "geometry/runner_metal.hpp"

#include <utility>
#include <vector>

namespace plenair::geometry {

namespace {

/// Stations this near the flange [m] are at it.
constexpr double beside = 1e-9;

}  // namespace

double flange_length(const Runner& runner) {
    return runner.length - runner.port_length;
}

void change_bore(Runner& runner, const std::function<double(double)>& change) {
    const Profile old = runner.diameter;
    const double flange = flange_length(runner);
    const bool head = runner.port_bore && runner.port_length > bore_step;
    std::vector<double> x;
    std::vector<double> bore;
    const auto add = [&](double at, double diameter) {
        x.push_back(at);
        bore.push_back(diameter);
    };
    for (std::size_t i = 0; i < old.x().size(); ++i) {
        if (!head || old.x()[i] <= flange + beside) {
            add(old.x()[i], change(old.value()[i]));
        }
    }
    if (head) {
        if (x.empty() || x.back() < flange - beside) {
            add(flange, change(old.at(flange)));
        }
        add(x.back() + bore_step, old.at(x.back() + bore_step));
        const double begin = x.back();
        for (std::size_t i = 0; i < old.x().size(); ++i) {
            if (old.x()[i] > begin + beside) {
                add(old.x()[i], old.value()[i]);
            }
        }
    }
    runner.diameter = Profile::stations(std::move(x), std::move(bore));
}

void change_length(Runner& runner, double longer) {
    const double flange = flange_length(runner);
    auto x = runner.diameter.x();
    for (double& at : x) {
        at += flange > 0 && at < flange ? longer * at / flange : longer;
    }
    if (x.size() > 1) {
        runner.diameter = Profile::stations(std::move(x), runner.diameter.value());
    }
    runner.length += longer;
}

}  // namespace plenair::geometry

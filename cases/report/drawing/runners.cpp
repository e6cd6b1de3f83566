#include <algorithm>
#include <cmath>
#include <string>

#include "cases/report/drawing/drawing.hpp"
#include "geometry/places.hpp"

/// The runners in the section along x, with their centres, bores and lengths.
namespace plenair::drawing {

namespace {

/// Runners closer than this along x stand side by side [m].
constexpr double same_place = 1e-6;

class RunnerDrawer final {
public:
    RunnerDrawer(View& view, const geometry::Bank& bank, const geometry::OutputUnits& units)
        : view_(view), bank_(bank), units_(units), text_(view.text) {}

    void draw() {
        for (std::size_t i = 0; i < bank_.runners.size(); ++i) {
            add_runner(i);
        }
        add_runner_dimensions();
    }

private:
    void add_runner(std::size_t index) {
        const auto& runner = bank_.runners[index];
        const double x = in_mm(runner.x);
        const double bottom = floor_height(bank_, in_mm(runner.x));
        const double mouth = bottom + in_mm(runner.protrusion.value_or(0));
        const double end = bottom - in_mm(runner.length);
        const double bell = in_mm(runner.bell_radius);
        const double bore = in_mm(runner.mouth_diameter()) / 2;
        for (const double side : {-1.0, 1.0}) {
            std::vector<Point> wall{{x + side * bore, mouth - bell}};
            for (const double s : profile_stations(runner.diameter, runner.length)) {
                const double y = bottom - in_mm(s);
                if (y < mouth - bell) {
                    wall.push_back({x + side * in_mm(runner.diameter.at(s)) / 2, y});
                }
            }
            view_.polylines.push_back({Layer::runner, wall});
            if (bell > 0) {
                view_.arcs.push_back({Layer::runner,
                                      {x + side * (bore + bell), mouth - bell},
                                      bell,
                                      side < 0 ? 0.0 : 90.0,
                                      side < 0 ? 90.0 : 180.0});
            }
            const double lip =
                runner.bell_outer_diameter ? in_mm(*runner.bell_outer_diameter) / 2 : bore + bell;
            if (lip > bore + bell) {
                view_.line(
                    Layer::runner, {x + side * (bore + bell), mouth}, {x + side * lip, mouth});
            }
        }
        if (runner.port_length > 0) {
            const double flange = end + in_mm(runner.port_length);
            const double half = in_mm(runner.diameter.at(runner.length - runner.port_length)) / 2;
            view_.line(Layer::runner, {x - half, flange}, {x + half, flange});
        }
        view_.line(Layer::centre, {x, mouth + 1.5 * text_}, {x, end - 1.5 * text_});
        const std::string numbers = numbers_at(index);
        if (!numbers.empty()) {
            view_.note({x + 0.5 * text_, bottom - 3.6 * text_ - bell}, numbers);
        }
    }

    /// Numbers of all runners that stand where this one does, side by side; empty where an earlier
    /// one has said them.
    [[nodiscard]] std::string numbers_at(std::size_t index) const {
        std::string text;
        for (std::size_t i = 0; i < bank_.runners.size(); ++i) {
            if (std::abs(bank_.runners[i].x - bank_.runners[index].x) > same_place) {
                continue;
            }
            if (i < index) {
                return {};
            }
            text += (text.empty() ? "" : ", ") + std::to_string(geometry::cylinder_of(bank_, i));
        }
        return text;
    }

    void add_runner_dimensions() {
        if (bank_.runners.empty()) {
            return;
        }
        double lowest = 0;
        std::vector<double> centres;
        for (const auto& runner : bank_.runners) {
            lowest = std::min(lowest, floor_height(bank_, in_mm(runner.x)) - in_mm(runner.length));
            centres.push_back(in_mm(runner.x));
        }
        std::sort(centres.begin(), centres.end());
        centres.erase(std::unique(centres.begin(),
                                  centres.end(),
                                  [](double a, double b) { return b - a < in_mm(same_place); }),
                      centres.end());
        // Pitches, and running dimensions from the wall: no sum of tolerances.
        std::vector<double> chain{0};
        chain.insert(chain.end(), centres.begin(), centres.end());
        if (bank_.plenum) {
            chain.push_back(in_mm(bank_.plenum->length));
        }
        add_chain(view_, chain, lowest - 1.5 * text_, lowest - 3.6 * text_, units_);
        const double feature = lowest - 4.2 * text_;
        const double line = lowest - 6.6 * text_;
        const auto at = spread_apart(centres, 1.3 * text_);
        view_.dimensions.push_back({Measure::ordinate_x, {0, 0}, {0, feature}, line, {}, false, 0});
        for (std::size_t i = 0; i < centres.size(); ++i) {
            view_.dimensions.push_back(
                {Measure::ordinate_x, {0, 0}, {centres[i], feature}, line, {}, false, at[i]});
        }
        const bool equal = std::all_of(
            bank_.runners.begin(), bank_.runners.end(), [&](const geometry::Runner& each) {
                return each.length == bank_.runners.back().length &&
                       each.port_length == bank_.runners.back().port_length;
            });
        for (std::size_t i = 0; i < bank_.runners.size(); ++i) {
            const auto& runner = bank_.runners[i];
            if (i == 0 || !alike(runner, bank_.runners[i - 1])) {
                add_bores(runner);
            }
            if (!equal) {
                const double half = in_mm(runner.mouth_diameter()) / 2;
                add_runner_lengths(runner, in_mm(runner.x) + half, in_mm(runner.x) + half);
            }
        }
        if (equal) {
            const auto& last = bank_.runners.back();
            add_runner_lengths(last,
                               in_mm(bank_.plenum ? bank_.plenum->length : last.x),
                               drawn_length(bank_) + 0.5 * text_);
        }
    }

    static bool alike(const geometry::Runner& a, const geometry::Runner& b) {
        return a.diameter.x() == b.diameter.x() && a.diameter.value() == b.diameter.value() &&
               a.bell_outer_diameter == b.bell_outer_diameter && a.length == b.length;
    }

    /// Bores of a runner: mouth, head flange, valve.
    void add_bores(const geometry::Runner& runner) {
        const double bottom = floor_height(bank_, in_mm(runner.x));
        const double x = in_mm(runner.x);
        const auto bore = [&](double s, double y) {
            const double half = in_mm(runner.diameter.at(s)) / 2;
            view_.dimensions.push_back(
                {Measure::along_x, {x - half, y}, {x + half, y}, y, {}, true, 0, true});
        };
        const double bell = in_mm(runner.bell_radius);
        bore(0, bottom - std::max(bell, 0.0) - 0.8 * text_);
        if (runner.port_length > 0) {
            const double flange = runner.length - runner.port_length;
            bore(flange, bottom - in_mm(flange));
        }
        bore(runner.length, bottom - in_mm(runner.length));
        if (runner.bell_outer_diameter) {
            const double half = in_mm(*runner.bell_outer_diameter) / 2;
            const double mouth = bottom + in_mm(runner.protrusion.value_or(0));
            view_.dimensions.push_back({Measure::along_x,
                                        {x - half, mouth},
                                        {x + half, mouth},
                                        mouth + 2.6 * text_,
                                        {},
                                        true,
                                        0,
                                        true});
        }
    }

    /// From the floor to flange and valve, right of `right`; `start` is where the floor is met.
    void add_runner_lengths(const geometry::Runner& runner, double start, double right) {
        const double bottom = floor_height(bank_, in_mm(runner.x));
        const double half = in_mm(runner.diameter.at(runner.length)) / 2;
        const double end = bottom - in_mm(runner.length);
        const Point floor{start, bottom};
        double line = right + 2 * text_;
        if (runner.port_length > 0) {
            const double flange = end + in_mm(runner.port_length);
            view_.dimensions.push_back(
                {Measure::along_y, floor, {in_mm(runner.x) + half, flange}, line});
            line += 2.5 * text_;
        }
        view_.dimensions.push_back({Measure::along_y, floor, {in_mm(runner.x) + half, end}, line});
    }

    View& view_;
    const geometry::Bank& bank_;
    const geometry::OutputUnits& units_;
    double text_;
};

}  // namespace

void add_runners(View& view, const geometry::Bank& bank, const geometry::OutputUnits& units) {
    RunnerDrawer(view, bank, units).draw();
}

}  // namespace plenair::drawing

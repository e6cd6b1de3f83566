#pragma once

#include "cases/report/html.hpp"
#include "cases/report/html_tools.hpp"

#include <cstddef>
#include <string>
#include <vector>

/// The sections of a report, one file a subject.
namespace plenair::html {

using Sources = std::vector<ReportSource>;

/// One result of a report and its place in it.
struct Place {
    const ReportSource& source;
    std::size_t index = 0;
    bool alone = true;  ///< the only result: ids need no number
    bool scripted = true;

    [[nodiscard]] const SolveResult& result() const { return source.result; }
    /// Id of a section: "losses", with several results "losses-2".
    [[nodiscard]] std::string id(const std::string& name) const {
        return alone ? name : name + "-" + std::to_string(index + 1);
    }
};

[[nodiscard]] std::string verdict_section(const Place& place, const ReportOptions& options);
/// The place of the working model and the sentence that stands where it does not run; empty without
/// one.
[[nodiscard]] std::string model_section(const Place& place);
/// Causes of the largest spread and what each drawn dimension does to it; empty where nobody asked.
[[nodiscard]] std::string reasons_section(const Place& place);
[[nodiscard]] std::string air_section(const Place& place, double target);
[[nodiscard]] std::string losses_section(const Place& place);
[[nodiscard]] std::string pressure_section(const Place& place);
[[nodiscard]] std::string slot_section(const Place& place);
[[nodiscard]] std::string crank_section(const Place& place);
/// Trims, lambda and injector duty; empty without the case.
[[nodiscard]] std::string fuel_section(const Place& place);
/// The intake to scale, with its dimensions; empty without the case.
[[nodiscard]] std::string drawing_section(const Place& place);
/// The slot as it is to be made, one page; empty without a slot whose edges are stated.
[[nodiscard]] std::string machinist_section(const Place& place);
/// What readings of the metal said; empty without them.
[[nodiscard]] std::string learned_section(const Place& place);
[[nodiscard]] std::string bench_section(const Place& place);
[[nodiscard]] std::string limits_section(const Place& place);
[[nodiscard]] std::string convergence_section(const Place& place);
/// What differs between the first result and each other one, in what went in and what came out.
[[nodiscard]] std::string comparison_section(const Sources& sources, bool scripted);
/// Cautions of all results; part of every report.
[[nodiscard]] std::string cautions_section(const Sources& sources);

/// Numbers of the charts as JSON.
[[nodiscard]] std::string chart_data(const Sources& sources);

/// A figure that the script fills; without script nothing. `caption` is HTML.
[[nodiscard]] std::string chart(const Place& place,
                                const std::string& kind,
                                const std::string& label,
                                const std::string& caption);

/// Trims, lambda and injector duty without their section.
/// @param alone  the result is one point taken from several
[[nodiscard]] std::string fuel_text(const Case& design, const SolveResult& result, bool alone);
/// What is unusual in the result and in its case, an item each.
[[nodiscard]] std::vector<std::string> watch_items(const SolveResult& result, const Case* design);
/// Losses of each converged point in numbers.
[[nodiscard]] std::string loss_table(const SolveResult& result);
/// Every number of every point, a row each, folded away.
[[nodiscard]] std::string every_figure(const SolveResult& result);
/// A tile: a term, its value, and where it stands.
[[nodiscard]] std::string tile(const std::string& term,
                               const std::string& value,
                               const std::string& where);

/// Bias of each cylinder at each point as small column charts, static SVG; points whose spread is
/// above the target [-] are marked.
[[nodiscard]] std::string bias_panels(const SolveResult& result, double target);
/// Bias of each cylinder and spread over the speeds of each curve, with band, target [-], worst
/// speed and reversals, static SVG; empty without curves.
[[nodiscard]] std::string curve_charts(const SolveResult& result, double target);
/// One such chart, its scale in steps so that it rarely changes while entries move.
[[nodiscard]] std::string bias_panel(const PointResult& point);
/// Losses of each point as stacked bars, static SVG.
[[nodiscard]] std::string loss_bars(const SolveResult& result);

/// Bias in percent with a true minus sign: "+0.5", "&minus;1.4".
[[nodiscard]] std::string bias_text(double bias);
/// A number with a true minus sign.
[[nodiscard]] std::string number_text(double value, int decimals);
/// Class of a cell by its bias: "even" below `uncertainty`, else "more-1" to "more-3" or "less-1"
/// to "less-3".
[[nodiscard]] std::string bias_class(double bias, double uncertainty);
/// Crank speed as "8600".
[[nodiscard]] std::string rpm_text(double speed);
/// "A4, 8600 rpm, 250 kPa"; escaped.
[[nodiscard]] std::string point_text(const PointResult& point);
/// "3.8"; of a spread that misses the target by less than that shows, as many digits as tell:
/// "2.04".
[[nodiscard]] std::string spread_text(const PointResult& point, double target);
/// Cylinder numbers of a result, ascending.
[[nodiscard]] std::vector<int> cylinder_numbers(const SolveResult& result);
/// Banks of a result, those of the first point that has them; empty where none converged.
[[nodiscard]] const std::vector<BankResult>& banks_of(const SolveResult& result);
/// "End bias: cylinder 5 at the far end minus cylinder 1 at x = 0.", bank by bank; empty where no
/// row has two ends.
[[nodiscard]] std::string end_bias_note(const SolveResult& result);
/// From where x counts and where the air comes in; empty without the case.
[[nodiscard]] std::string x_note(const Place& place);
/// Cylinder of a point by its number, null where there is none.
[[nodiscard]] const CylinderResult* find_cylinder(const PointResult& point, int number);

}  // namespace plenair::html

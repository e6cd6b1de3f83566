#pragma once

#include "cases/report/html.hpp"
#include "cases/report/markup/markup.hpp"
#include "cases/report/markup/result_words.hpp"
#include "cases/report/svg/svg.hpp"

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

/// From where x counts and where the air comes in; empty without the case.
[[nodiscard]] std::string x_note(const Place& place);

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

}  // namespace plenair::html

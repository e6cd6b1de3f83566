#include "cases/report/difference.hpp"
#include "cases/report/terminal/paint.hpp"
#include "cases/report/words/caution.hpp"
#include "cases/report/words/numbers.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace plenair {

namespace {

/// In the unit for people, with four digits; a share or bias with two decimals of a percent.
std::string shown(const OutputChange& output, double value) {
    if (output.unit == "%") return fixed(percent(value), 2);
    const double number = for_people(value, output.unit);
    return std::isfinite(number) ? geometry::format_number(number, 4) : "-";
}

std::string change_text(const OutputChange& output) {
    const auto text = fmt::format("{:+.1f} %", percent(output.change));
    return output.kind == ChangeKind::of_mean_air ? text + " of mean air" : text;
}

std::string remark(const OutputChange& output) {
    if (output.band <= 0) return "";
    return fmt::format("{} the band of +/-{} %",
                       output.inside_band() ? "inside" : "outside",
                       fixed(percent(output.band), 1));
}

std::string input_lines(const DifferenceResult& result) {
    if (result.inputs.empty()) return "  none\n";
    std::string text;
    for (const auto& input : result.inputs) {
        text += fmt::format("  {}: {} -> {}\n",
                            input.key,
                            input.before.empty() ? "not there" : input.before,
                            input.after.empty() ? "not there" : input.after);
    }
    return text;
}

std::string output_lines(const DifferenceResult& result, const Paint& paint) {
    std::string text, point;
    for (const auto& output : result.outputs) {
        if (output.point != point) {
            point = output.point;
            text += paint.heading(point) + "\n";
        }
        const auto name = output.cylinder > 0
                              ? fmt::format("{}, cylinder {}", output.text, output.cylinder)
                              : output.text;
        auto line = fmt::format("  {:<32}  {:>8} -> {:>8} {:<4} {:>20}  {}",
                                name,
                                shown(output, output.before),
                                shown(output, output.after),
                                output.unit == "1" ? "" : output.unit,
                                change_text(output),
                                remark(output));
        line.erase(line.find_last_not_of(' ') + 1);
        text += (output.inside_band() ? paint.faint(line) : line) + "\n";
    }
    return text.empty() ? "  nothing moved by more than 0.1 %\n" : text;
}

}  // namespace

std::string terminal_text(const DifferenceResult& result, bool colour) {
    const Paint paint(colour);
    std::string text;
    const auto side = [&](const char* name,
                          const std::string& path,
                          const std::string& title,
                          const std::string& digest,
                          const std::string& by) {
        text += fmt::format("{} {}: {}\n", name, path, paint.heading(title));
        text += paint.faint(fmt::format("       plenair {}, case {}", by, digest)) + "\n";
    };
    side("before",
         result.before_path,
         result.before_title,
         result.before_digest,
         result.before_version);
    side(
        "after ", result.after_path, result.after_title, result.after_digest, result.after_version);
    for (const auto& warning : result.warnings) {
        text += paint.caution("warning: " + warning) + "\n";
    }
    text += "\n" + paint.heading("changed in") + "\n" + input_lines(result);
    text += "\n" + paint.heading("changed out, beyond 0.1 %") + "\n" + output_lines(result, paint);
    text += "\n" + paint.heading(result.summary) + "\n";
    text +=
        "A bias, end bias or spread inside its band cannot be told from no change. The band is "
        "that\n"
        "of solve --bands on where both sides have it, else +/-0.5 % between variants.\n";
    return text + model_limits() + "\n" + cautions();
}

}  // namespace plenair

#include "cases/report/compare.hpp"
#include "cases/report/csv/cell.hpp"
#include "cases/report/words/numbers.hpp"
#include "cases/study/version.hpp"

namespace plenair {

namespace {

struct Row {
    std::string value;  ///< empty: no slot
    std::string digest;
    const CompareCurve& curve;
    const CompareMark& mark;
    std::string failure;
    bool knee = false;
};

const std::vector<std::string>& columns() {
    static const std::vector<std::string> names{"key",
                                                "value",
                                                "slot_0_1",
                                                "point",
                                                "converged_0_1",
                                                "failure_text",
                                                "spread_percent",
                                                "worst_point",
                                                "slot_loss_kpa",
                                                "weighed_loss_kpa",
                                                "air_flow_g_s",
                                                "air_lost_percent",
                                                "knee_distance_ratio",
                                                "knee_0_1",
                                                "best_0_1",
                                                "case_digest",
                                                "version"};
    return names;
}

std::string flag(bool value) {
    return value ? "1" : "0";
}

std::string row_text(const CompareResult& result, const Row& row) {
    const CompareMark& m = row.mark;
    const auto number = [&m](double value) { return m.converged ? csv_cell(value) : ""; };
    const auto known = [&](const std::optional<double>& value) {
        return value ? number(*value) : "";
    };
    return csv_line({csv_cell(result.key),
                     csv_cell(row.value),
                     flag(!row.value.empty()),
                     csv_cell(row.curve.point),
                     flag(m.converged),
                     csv_cell(row.failure),
                     number(percent(m.spread)),
                     csv_cell(m.worst_point),
                     number(converted(m.slot_loss, "kPa")),
                     number(converted(m.loss, "kPa")),
                     number(converted(m.air_flow, "g/s")),
                     m.air_lost ? number(percent(*m.air_lost)) : "",
                     known(m.knee_distance),
                     flag(row.knee),
                     flag(m.best),
                     csv_cell(row.digest),
                     csv_cell(version())});
}

/// Rows of one curve; `p` is the place of its point, none for the one over the points.
std::string curve_rows(const CompareResult& result, const CompareCurve& curve, bool of_point) {
    const auto failure = [&](const std::vector<PointResult>& points) {
        if (of_point) {
            for (const auto& point : points) {
                if (point.name == curve.point) return point.failure;
            }
        }
        return std::string();
    };
    std::string text;
    for (std::size_t v = 0; v < result.values.size(); ++v) {
        text += row_text(result,
                         {result.values[v],
                          result.digests[v],
                          curve,
                          curve.marks[v],
                          failure(result.results[v]),
                          curve.knee == v});
    }
    if (curve.no_slot) {
        text += row_text(
            result,
            {"", result.case_digest, curve, *curve.no_slot, failure(result.no_slot), false});
    }
    return text;
}

}  // namespace

std::string csv_text(const CompareResult& result) {
    std::string text = csv_line(columns());
    for (std::size_t p = 1; p < result.curves.size(); ++p) {
        text += curve_rows(result, result.curves[p], true);
    }
    return text + curve_rows(result, result.curves.front(), false);
}

}  // namespace plenair

#include "cases/study/fit_expansion.hpp"
#include "cases/file/read.hpp"
#include "cases/study/entry.hpp"
#include "tests/support/near.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

/// The expansion on which fits run, against functions that are known.
namespace {

using plenair::study::Answer;
using plenair::study::Expansion;

/// Parabolas in two entries, without a mixed part.
Answer answer_at(const Eigen::VectorXd& x) {
    Answer a;
    a.bench = {1 + 2 * x[0] - 3 * x[0] * x[0] + x[1]};
    a.points[4].bias = {0.5 * x[1] * x[1], -x[0]};
    a.points[4].air_flow = 3 + x[1];
    a.points[4].plenum_pressure = 10 * x[0] * x[0];
    return a;
}

/// Centre at (1, 2); steps of 0.5 down and 0.25 up, 1 down and 1 up.
Eigen::MatrixXd places() {
    Eigen::MatrixXd trials(2, 5);
    trials << 1, 0.5, 1.25, 1, 1,  //
        2, 2, 2, 1, 3;
    return trials;
}

std::vector<Answer> answers() {
    std::vector<Answer> list;
    for (Eigen::Index k = 0; k < 5; ++k) {
        list.push_back(answer_at(places().col(k)));
    }
    return list;
}

}  // namespace

TEST_CASE("expansion: parabolas are met wherever, their slopes too, from steps unevenly apart") {
    const Expansion expansion(places(), answers(), {});
    const Eigen::Vector2d x(2.5, -1);
    CHECK((expansion.at(x, {}).numbers() - answer_at(x).numbers()).norm() == near(0.0, 0.0, 1e-12));
    const auto slopes = expansion.slopes(x);
    CHECK(slopes[0].bench[0] == near(2 - 6 * x[0], 1e-12));
    CHECK(slopes[1].points.at(4).bias[0] == near(x[1], 1e-12));
    CHECK(slopes[0].points.at(4).plenum_pressure == near(20 * x[0], 1e-12));
}

TEST_CASE("expansion: it passes through the answer that corrects it") {
    const Expansion expansion(places(), answers(), {});
    const Eigen::Vector2d x(1.3, 2.2);
    Answer solved = answer_at(x);
    solved.bench[0] += 0.1;
    solved.points.at(4).bias[1] -= 0.02;
    const auto correction = expansion.correction(x, solved);
    CHECK(expansion.at(x, correction).bench[0] == near(solved.bench[0], 1e-12));
    CHECK(expansion.at(x, correction).points.at(4).bias[1] ==
          near(solved.points.at(4).bias[1], 1e-12));
    // A point that was not solved there stays as it was expanded.
    solved.points.clear();
    const auto bench_alone = expansion.correction(x, solved);
    CHECK(expansion.at(x, bench_alone).points.at(4).bias[1] == near(-x[0], 1e-12));
}

TEST_CASE(
    "expansion: where one side of an entry is missing the other counts, else the point goes") {
    auto list = answers();
    list[1].points.clear();
    list[1].failures[4] = "A5: no periodic state";
    list[3].bench[0] = std::numeric_limits<double>::quiet_NaN();
    const Expansion one_sided(places(), list, {});
    const Eigen::Vector2d centre(1, 2);
    CHECK(one_sided.at(centre, {}).missing({4}).empty());
    CHECK(one_sided.slopes(centre)[0].points.at(4).bias[1] == near(-1.0, 1e-12));
    CHECK(one_sided.slopes(centre)[1].bench[0] == near(1.0, 1e-12));
    list[2].points.clear();
    const Expansion without(places(), list, {});
    CHECK(without.at(centre, {}).missing({4}) == "A5: no periodic state");
    CHECK(without.at(centre, {}).missing({}).empty());
}

TEST_CASE("entries: a throttle's coefficient ends at 1, and so does its band") {
    for (const double cd : {0.95, 0.7, 1.0}) {
        auto c = plenair::read_case("cases/shipped/hill-climb-four/case.toml", {});
        for (auto& throttle : c.intake.banks[0].throttles) {
            throttle.cd = cd;
            throttle.cd_table.reset();
        }
        const auto list = plenair::coefficients(c);
        const auto entry = std::find_if(list.begin(), list.end(), [](const auto& e) {
            return e.key == "throttle.coefficient";
        });
        REQUIRE(entry != list.end());
        CAPTURE(cd);
        CHECK(entry->high == near(std::min(1.1, 1 / cd), 1e-12));
        CHECK(entry->most == near(std::min(1.3, 1 / cd), 1e-12));
        CHECK(entry->low == near(0.9, 1e-12));
    }
}

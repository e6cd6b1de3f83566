// How far random engines on certified cells are from the same engines on six times finer ones, and
// what the difference to cells of twice the length, which plenair prints, says of it. Prints one
// row an engine, then the rows of a Markdown table. Measures, does not judge: run by
// scripts/random-engines.

#include "tests/support/quantile.hpp"
#include "tests/support/random_engine.hpp"

#include "cases/file/read.hpp"
#include "cases/study/case.hpp"
#include "solver/march/cycle.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <iostream>
#include <optional>
#include <vector>

namespace {

constexpr double finer = 6.0;
constexpr double coarser = 0.5;
constexpr double bias_goal = 1e-3;
constexpr double air_goal = 2e-3;

struct Difference {
    double bias = 0, air = 0;
};

/// Largest change of a bias, and relative change of the air, from one grid to another.
Difference between(const plenair::PointResult& a, const plenair::PointResult& b) {
    Difference d{0.0, std::abs(a.air_flow / b.air_flow - 1.0)};
    for (std::size_t i = 0; i < a.cylinders.size(); ++i) {
        d.bias = std::max(d.bias, std::abs(a.cylinders[i].bias - b.cylinders[i].bias));
    }
    return d;
}

bool runs(const plenair::PointResult& point) {
    return point.converged &&
           std::none_of(point.notes.begin(), point.notes.end(), [](const std::string& note) {
               return note.rfind("not a running engine", 0) == 0;
           });
}

struct Row {
    std::uint64_t seed = 0;
    Difference error, printed;
};

plenair::PointResult solved(const plenair::Case& c, double refinement) {
    plenair::Model model = c.model;
    model.refinement = refinement;
    return plenair::solve_point(c.intake, c.engine, c.points.front(), model, {});
}

std::optional<Row> measured(std::uint64_t seed) {
    const auto engine = plenair::test::random_engine(plenair::test::EngineRange::ordinary, seed);
    const plenair::Case c = plenair::parse_case(engine.text, "random.toml", {});
    const plenair::PointResult usual = solved(c, 1.0);
    if (!runs(usual)) {
        return std::nullopt;
    }
    const plenair::PointResult fine = solved(c, finer);
    const plenair::PointResult coarse = solved(c, coarser);
    if (!fine.converged || !coarse.converged) {
        return std::nullopt;
    }
    return Row{seed, between(usual, fine), between(coarse, usual)};
}

template <class Value>
void row(const char* what, const std::vector<Row>& rows, const Value& value) {
    std::vector<double> values;
    for (const Row& r : rows) {
        values.push_back(100.0 * value(r));
    }
    std::cout << fmt::format("| {} | {:.3f} | {:.3f} | {:.3f} | {:.3f} |\n",
                             what,
                             plenair::test::quantile(values, 0.5),
                             plenair::test::quantile(values, 0.9),
                             plenair::test::quantile(values, 0.99),
                             plenair::test::quantile(values, 1.0));
}

}  // namespace

int main(int count, char** values) {
    if (count != 3) {
        std::cerr << "cell_errors ENGINES FIRST_SEED\n";
        return 2;
    }
    const auto engines = std::strtoull(values[1], nullptr, 10);
    const auto first = std::strtoull(values[2], nullptr, 10);
    std::vector<Row> rows;
    for (std::uint64_t seed = first; seed < first + engines; ++seed) {
        if (const auto r = measured(seed)) {
            rows.push_back(*r);
            std::cerr << fmt::format("{} bias {:.4f} air {:.4f} printed {:.4f} {:.4f}\n",
                                     seed,
                                     100.0 * r->error.bias,
                                     100.0 * r->error.air,
                                     100.0 * r->printed.bias,
                                     100.0 * r->printed.air);
        }
    }
    if (rows.empty()) {
        std::cerr << "cell_errors: no engine has a result\n";
        return 1;
    }
    std::cout << "| % | median | 90 % | 99 % | most |\n| --- | --- | --- | --- | --- |\n";
    row("error of a bias", rows, [](const Row& r) { return r.error.bias; });
    row("error of the air", rows, [](const Row& r) { return r.error.air; });
    row("printed for a bias", rows, [](const Row& r) { return r.printed.bias; });
    row("printed for the air", rows, [](const Row& r) { return r.printed.air; });
    const auto within = [](const Difference& d) { return d.bias < bias_goal && d.air < air_goal; };
    const auto good =
        std::count_if(rows.begin(), rows.end(), [&](const Row& r) { return within(r.error); });
    const auto silent = std::count_if(rows.begin(), rows.end(), [&](const Row& r) {
        return !within(r.error) && within(r.printed);
    });
    std::cout << fmt::format(
        "\n{} of {} engines with a result, of {}: within 0.1 % of bias and 0.2 % of air; {} are "
        "not and "
        "do not say so.\n",
        good,
        rows.size(),
        engines,
        silent);
    return 0;
}

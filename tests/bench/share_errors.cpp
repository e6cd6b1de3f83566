// How far the shares of random engines are from those of the periodic state, against the estimate
// that decided when to stop. Prints one row of a Markdown table and the worst. Measures, does not
// judge: run by scripts/random-engines.

#include "tests/support/quantile.hpp"
#include "tests/support/random_engine.hpp"
#include "tests/support/share_error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <iostream>
#include <vector>

int main(int count, char** values) {
    if (count != 3) {
        std::cerr << "share_errors ENGINES FIRST_SEED\n";
        return 2;
    }
    const auto engines = std::strtoull(values[1], nullptr, 10);
    const auto first = std::strtoull(values[2], nullptr, 10);
    std::vector<double> ratios;
    double most = 0;
    std::uint64_t worst = 0;
    for (std::uint64_t seed = first; seed < first + engines; ++seed) {
        const auto error =
            plenair::test::share_error_of(plenair::test::EngineRange::ordinary, seed);
        if (error) {
            ratios.push_back(error->found / error->estimated);
            worst = ratios.back() > most ? seed : worst;
            most = std::max(most, ratios.back());
        }
    }
    if (ratios.empty()) {
        std::cerr << "share_errors: no engine has a result\n";
        return 1;
    }
    const auto outside =
        std::count_if(ratios.begin(), ratios.end(), [](double r) { return r > 3.0; });
    std::cout
        << "| engines | with result | error over estimate: median | 90 % | 99 % | most | above "
           "3 |\n| --- | --- | --- | --- | --- | --- | --- |\n"
        << fmt::format("| {} | {} | {:.2f} | {:.2f} | {:.2f} | {:.2f} (seed {}) | {} |\n",
                       engines,
                       ratios.size(),
                       plenair::test::quantile(ratios, 0.5),
                       plenair::test::quantile(ratios, 0.9),
                       plenair::test::quantile(ratios, 0.99),
                       most,
                       worst,
                       outside);
    return 0;
}

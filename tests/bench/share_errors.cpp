// How far the shares of random engines are from those of the periodic state, against the estimate
// that decided when to stop. Prints one row of a Markdown table and the worst. Measures, does not
// judge: run by scripts/share-errors.

#include "tests/support/random_engine.hpp"
#include "tests/support/share_error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <iostream>
#include <vector>

namespace {

struct Ratio {
    double value = 0;
    std::uint64_t seed = 0;
};

double at(const std::vector<Ratio>& sorted, double part) {
    return sorted[static_cast<std::size_t>(part * static_cast<double>(sorted.size() - 1))].value;
}

}  // namespace

int main(int count, char** values) {
    if (count != 3) {
        std::cerr << "share_errors ENGINES FIRST_SEED\n";
        return 2;
    }
    const auto engines = std::strtoull(values[1], nullptr, 10);
    const auto first = std::strtoull(values[2], nullptr, 10);
    std::vector<Ratio> ratios;
    for (std::uint64_t seed = first; seed < first + engines; ++seed) {
        const auto error =
            plenair::test::share_error_of(plenair::test::EngineRange::ordinary, seed);
        if (error) {
            ratios.push_back({error->found / error->estimated, seed});
        }
    }
    if (ratios.empty()) {
        std::cerr << "share_errors: no engine has a result\n";
        return 1;
    }
    std::sort(ratios.begin(), ratios.end(), [](const Ratio& a, const Ratio& b) {
        return a.value < b.value;
    });
    const auto outside =
        std::count_if(ratios.begin(), ratios.end(), [](const Ratio& r) { return r.value > 3.0; });
    std::cout
        << "| engines | with result | error over estimate: median | 90 % | 99 % | most | above "
           "3 |\n| --- | --- | --- | --- | --- | --- | --- |\n"
        << fmt::format("| {} | {} | {:.2f} | {:.2f} | {:.2f} | {:.2f} (seed {}) | {} |\n",
                       engines,
                       ratios.size(),
                       at(ratios, 0.5),
                       at(ratios, 0.9),
                       at(ratios, 0.99),
                       ratios.back().value,
                       ratios.back().seed,
                       outside);
    return 0;
}

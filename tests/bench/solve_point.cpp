// How long one point takes, cold, on one core: median of repeated solves. Run by scripts/bench.
#include "cases/file/read.hpp"
#include "solver/march/cycle.hpp"

#include <algorithm>
#include <cstdio>
#include <ctime>
#include <vector>

int main(int argc, char** argv) {
    const int repeats = 15;
    for (int i = 1; i < argc; ++i) {
        const plenair::Case c = plenair::read_case(argv[i], {});
        for (const auto& point : c.points) {
            std::vector<double> times;
            int cycles = 0;
            for (int k = 0; k < repeats; ++k) {
                const auto start = std::clock();
                const auto result = plenair::solve_point(c.intake, c.engine, point, c.model, {});
                times.push_back(1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
                cycles = result.cycles;
            }
            std::sort(times.begin(), times.end());
            std::printf("%-40s %-4s median %7.2f ms  fastest %7.2f ms  %d cycles\n",
                        argv[i],
                        point.name.c_str(),
                        times[times.size() / 2],
                        times.front(),
                        cycles);
        }
    }
    return 0;
}

#include "cases/command/watched_solve.hpp"

#include "cases/command/terminal_lines.hpp"
#include "cases/study/cost.hpp"

namespace plenair::command {

SolveResult solve_watched(const Case& c, const Request& request, SolveOptions options) {
    options.threads = static_cast<int>(request.threads);
    if (!request.quiet) {
        const Case* all[] = {&c};
        announce(expected_work(all, options.bands ? 1 + band_solutions : 1, options.threads));
    }
    ProgressLine progress(!request.quiet, "points");
    options.progress = [&progress](int done, int total) { progress(done, total); };
    options.cycle = [&progress](const std::string& point, int cycles) {
        progress.under_way(point, cycles);
    };
    SolveResult result = solve(c, options);
    progress.clear();
    return result;
}

}  // namespace plenair::command

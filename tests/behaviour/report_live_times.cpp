#include <doctest/doctest.h>

#include "tests/support/browser/live.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"

#include <algorithm>
#include <fstream>
#include <string>
#include <thread>
#include <vector>

// How long a reader of a report waits for the working model, in headless Chromium. The limits are
// those of a machine that does nothing else: each is tried up to three times, for a build beside it
// takes its time from the page.

namespace {

/// The value below which a share of the times lies [ms].
double at_share(std::vector<double> times, double share) {
    std::sort(times.begin(), times.end());
    const auto place = static_cast<std::size_t>(share * static_cast<double>(times.size() - 1));
    return times.at(place);
}

struct Times {
    double ready = 0, model = 0, step = 0, step_95 = 0, certified = 0, frame = 0;  ///< [ms]

    [[nodiscard]] bool good() const {
        return ready < 300 && step <= 40 && certified <= 250 && frame <= 50;
    }
};

Times measured(const std::string& page) {
    const auto found = plenair::test::work("times", page);
    const auto steps = found["steps"].get<std::vector<double>>();
    return {found["ready"].get<double>(),
            found["model"].get<double>(),
            at_share(steps, 0.5),
            at_share(steps, 0.95),
            at_share(found["rests"].get<std::vector<double>>(), 0.5),
            at_share(found["frames"].get<std::vector<double>>(), 1)};
}

Times better(const Times& a, const Times& b) {
    return {std::min(a.ready, b.ready),
            std::min(a.model, b.model),
            std::min(a.step, b.step),
            std::min(a.step_95, b.step_95),
            std::min(a.certified, b.certified),
            std::min(a.frame, b.frame)};
}

/// Whether more wants to run than there are processors for, apart from the browser itself.
bool busy() {
    std::ifstream file("/proc/loadavg");
    double load = 0;
    file >> load;
    return load > 1.5 * std::max(2U, std::thread::hardware_concurrency());
}

}  // namespace

TEST_CASE("live report: ready, slider steps, certified answers and frames come in time") {
    if (!plenair::test::has_model()) return;
    const ScratchFolder scratch;
    const auto page = scratch.path("live.html");
    REQUIRE(run_plenair({"report",
                         "cases/shipped/hill-climb-four/case.toml",
                         "--bands",
                         "off",
                         "--quiet",
                         "-o",
                         page})
                .status == 0);
    Times best;
    for (int trial = 0; trial < 3; ++trial) {
        const auto times = measured(page);
        MESSAGE("page ready after " << times.ready << " ms, its model after " << times.model
                                    << " ms; slider step " << times.step << " ms, 95 % below "
                                    << times.step_95 << " ms; certified " << times.certified
                                    << " ms after rest; longest frame of 180 " << times.frame
                                    << " ms");
        best = trial == 0 ? times : better(best, times);
        if (best.good()) break;
    }
    INFO("page ready < 300, slider step <= 40, certified <= 250, frame <= 50 ms: best of three");
    if (busy()) {
        MESSAGE("others keep this machine busy: these limits cannot be judged now");
        WARN(best.good());
        return;
    }
    CHECK(best.ready < 300);
    CHECK(best.step <= 40);
    CHECK(best.certified <= 250);
    CHECK(best.frame <= 50);
}

#include "tests/support/run_process.hpp"
#include "tests/support/running_process.hpp"
#include "tests/support/sweep_case.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <poll.h>
#include <unistd.h>

#include <cstdlib>
#include <string>
#include <vector>

using plenair::test::sweep_case;

namespace {

/// Both ends of a pseudo-terminal (posix_openpt(3)); the far one is held open, so that what was
/// written to it can still be read when the program has ended.
class Terminal final {
public:
    Terminal() : near_(::posix_openpt(O_RDWR | O_NOCTTY)) {
        REQUIRE(near_ >= 0);
        REQUIRE(::grantpt(near_) == 0);
        REQUIRE(::unlockpt(near_) == 0);
        path_ = ::ptsname(near_);
        far_ = ::open(path_.c_str(), O_RDWR | O_NOCTTY);
        REQUIRE(far_ >= 0);
    }
    ~Terminal() {
        ::close(far_);
        ::close(near_);
    }
    Terminal(const Terminal&) = delete;
    Terminal& operator=(const Terminal&) = delete;
    Terminal(Terminal&&) = delete;
    Terminal& operator=(Terminal&&) = delete;

    [[nodiscard]] const std::string& path() const { return path_; }

    /// All that was written to it so far.
    [[nodiscard]] std::string shown() const {
        std::string all;
        pollfd ready{near_, POLLIN, 0};
        while (::poll(&ready, 1, 0) > 0) {
            std::string part(4096, '\0');
            const auto got = ::read(near_, part.data(), part.size());
            if (got <= 0) {
                break;
            }
            all += part.substr(0, static_cast<std::size_t>(got));
        }
        return all;
    }

private:
    int near_, far_ = -1;
    std::string path_;
};

/// What a sweep of three variants writes to a terminal.
std::string sweep_on_terminal(const std::vector<std::string>& more) {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", sweep_case("\"slot.width\" = \"5, 6, 7 mm\"\n"));
    const Terminal terminal;
    std::vector<std::string> arguments = {"sweep", path, "--folder", scratch.path("store")};
    arguments.insert(arguments.end(), more.begin(), more.end());
    RunningProcess sweep(PLENAIR_EXECUTABLE, arguments, terminal.path());
    CHECK(sweep.wait() == 0);
    return terminal.shown();
}

}  // namespace

TEST_CASE("progress: a sweep counts variants, says how many a second and what is left") {
    const auto shown = sweep_on_terminal({});
    CAPTURE(shown);
    CHECK(has(shown, "3 of 3 variants, "));
    CHECK(has(shown, " variants/s, 0 s left"));
    CHECK_FALSE(has(sweep_on_terminal({"--quiet"}), "variants/s"));
}

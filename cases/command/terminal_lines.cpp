#include "cases/command/terminal_lines.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>

#include "cases/study/error.hpp"

namespace plenair::command {

bool colour_wanted() {
    const char* no_colour = std::getenv("NO_COLOR");
    const bool refused = no_colour != nullptr && *no_colour != '\0';
    return !refused && ::isatty(STDOUT_FILENO) == 1;
}

void print(const std::string& text) {
    const bool written = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
    if (!written || std::fflush(stdout) != 0) {
        throw WriteError(fmt::format("cannot write standard output: {}", std::strerror(errno)));
    }
}

void print_warnings(const std::vector<std::string>& warnings) {
    for (const auto& warning : warnings) {
        fmt::print(stderr, "warning: {}\n", warning);
    }
}

ProgressLine::ProgressLine(bool wanted)
    : start_(std::chrono::steady_clock::now()), shown_(wanted && ::isatty(STDERR_FILENO) == 1) {}

void ProgressLine::operator()(int done, int total) {
    if (!shown_) {
        return;
    }
    const std::lock_guard lock(mutex_);
    const auto now = std::chrono::steady_clock::now();
    constexpr std::chrono::milliseconds pause(100);  // faster than one can read
    if (now - last_ < pause && done < total) {
        return;
    }
    last_ = now;
    const std::chrono::duration<double> elapsed = now - start_;
    if (done < 1 || elapsed.count() <= 0) {
        fmt::print(stderr, "\r\033[K{} of {}", done, total);
    } else {
        const double rate = done / elapsed.count();
        fmt::print(stderr,
                   "\r\033[K{} of {}, {}/s, {:.0f} s left",
                   done,
                   total,
                   rate < 100 ? fmt::format("{:.2g}", rate) : fmt::format("{:.0f}", rate),
                   (total - done) / rate);
    }
    std::fflush(stderr);
}

void ProgressLine::clear() {
    if (shown_) {
        const std::lock_guard lock(mutex_);
        fmt::print(stderr, "\r\033[K");
    }
}

}  // namespace plenair::command

#include "cases/command/interrupt.hpp"

#include <unistd.h>

#include <array>
#include <atomic>
#include <csignal>
#include <cstddef>
#include <string_view>

namespace plenair::command {

namespace {

// A signal handler may neither allocate nor lock, hence a fixed array and a flag.
std::array<char, 4096> unfinished{};
std::atomic<bool> has_unfinished{false};
static_assert(std::atomic<bool>::is_always_lock_free);

void on_signal(int signal) {
    constexpr std::string_view message = "\nplenair: stopped; no result was written\n";
    if (has_unfinished.load()) {
        ::unlink(unfinished.data());
    }
    [[maybe_unused]] const auto written = ::write(STDERR_FILENO, message.data(), message.size());
    // Dying by the signal itself lets a shell script that called us stop as well.
    std::signal(signal, SIG_DFL);
    std::raise(signal);
}

}  // namespace

void stop_cleanly_on_interrupt() {
    std::signal(SIGINT, on_signal);
    std::signal(SIGTERM, on_signal);
}

RemoveOnInterrupt::RemoveOnInterrupt(const std::string& path) {
    if (path.size() >= unfinished.size()) {
        return;
    }
    const auto end = path.copy(unfinished.data(), path.size());
    unfinished.at(end) = '\0';
    has_unfinished.store(true);
}

RemoveOnInterrupt::~RemoveOnInterrupt() {
    has_unfinished.store(false);
}

}  // namespace plenair::command

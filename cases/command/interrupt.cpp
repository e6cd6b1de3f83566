#include "cases/command/interrupt.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <csignal>
#include <cstddef>
#include <cstdio>
#include <cstdlib>
#include <string_view>

namespace plenair::command {

namespace {

// A signal handler may neither allocate nor lock, hence a fixed array and a flag.
std::array<char, 4096> unfinished{};
std::atomic<bool> has_unfinished{false};
static_assert(std::atomic<bool>::is_always_lock_free);

std::atomic<bool> at_leisure{false};
std::atomic<bool> stop{false};
std::atomic<int> signal_that_came{SIGINT};
static_assert(std::atomic<int>::is_always_lock_free);

void on_signal(int signal) {
    constexpr std::string_view later =
        "\nplenair: stopping when the work in hand is done; Ctrl-C again stops at once\n";
    constexpr std::string_view now = "\nplenair: stopped; no result was written\n";
    constexpr std::string_view at_once = "\nplenair: stopped at once\n";
    signal_that_came.store(signal);
    if (at_leisure.load() && !stop.exchange(true)) {
        [[maybe_unused]] const auto written = ::write(STDERR_FILENO, later.data(), later.size());
        return;
    }
    const std::string_view message = stop.load() ? at_once : now;
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

StopAtLeisure::StopAtLeisure() {
    at_leisure.store(true);
}

StopAtLeisure::~StopAtLeisure() {
    at_leisure.store(false);
}

const std::atomic<bool>& stop_wanted() {
    return stop;
}

void end_by_interrupt(const std::string& message) {
    fmt::print(stderr, "plenair: stopped; {}\n", message);
    std::fflush(nullptr);
    const int signal = signal_that_came.load();
    std::signal(signal, SIG_DFL);
    std::raise(signal);
    std::abort();  // Not reached: the signal's default is to end the program.
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

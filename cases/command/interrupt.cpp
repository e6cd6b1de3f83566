#include "cases/command/interrupt.hpp"

#include <unistd.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <csignal>
#include <cstddef>
#include <cstdlib>
#include <exception>
#include <new>
#include <string>
#include <string_view>

#include "cases/command/terminal_lines.hpp"

namespace plenair::command {

namespace {

/// An unfinished file. A signal handler may neither allocate nor lock, hence fixed arrays and
/// flags.
struct Unfinished {
    std::atomic<bool> taken{false};
    std::atomic<bool> named{false};
    std::array<char, 4096> path{};
    std::array<char, 4096> beside{};
};
constexpr std::size_t most_unfinished = 8;
std::array<Unfinished, most_unfinished> unfinished;
static_assert(std::atomic<bool>::is_always_lock_free);

std::atomic<bool> at_leisure{false};
std::atomic<bool> stop{false};
std::atomic<int> signal_that_came{SIGINT};
static_assert(std::atomic<int>::is_always_lock_free);

// Those that ask to end: SIGXCPU and SIGUSR1, SIGUSR2 are how batch systems announce a time limit.
constexpr std::array asking{SIGHUP,
                            SIGINT,
                            SIGQUIT,
                            SIGTERM,
                            SIGUSR1,
                            SIGUSR2,
                            SIGALRM,
                            SIGVTALRM,
                            SIGPROF,
                            SIGXCPU,
                            SIGIO,
                            SIGPWR};
constexpr std::array fatal_signals{SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT, SIGSYS, SIGTRAP};

void remove_unfinished() {
    for (auto& file : unfinished) {
        if (file.named.load()) {
            ::unlink(file.path.data());
            ::unlink(file.beside.data());
        }
    }
}

void write_line(std::string_view text) {
    [[maybe_unused]] const auto written = ::write(STDERR_FILENO, text.data(), text.size());
}

void die_by(int signal) {
    // Dying by the signal itself lets a shell script that called us stop as well.
    std::signal(signal, SIG_DFL);
    std::raise(signal);
}

void on_signal(int signal) {
    signal_that_came.store(signal);
    if (at_leisure.load() && !stop.exchange(true)) {
        write_line(
            "\nplenair: stopping when the work in hand is done; Ctrl-C again stops at once\n");
        return;
    }
    remove_unfinished();
    write_line(stop.load() ? "\nplenair: stopped at once\n"
                           : "\nplenair: stopped; no result was written\n");
    die_by(signal);
}

void on_fault(int signal) {
    remove_unfinished();
    die_by(signal);
}

/// An exception where none may pass: of a library that allocates in a destructor. The lack of
/// memory is said as anywhere else.
[[noreturn]] void on_terminate() {
    remove_unfinished();
    try {
        if (const auto error = std::current_exception()) {
            std::rethrow_exception(error);
        }
    } catch (const std::bad_alloc&) {
        write_line("plenair: out of memory; nothing was written\n");
        constexpr int no_access = 4;
        ::_exit(no_access);
    } catch (...) {
        write_line("plenair: internal fault; please report it with the case file\n");
    }
    std::abort();
}

bool is_default(int signal) {
    struct sigaction now {};
    return ::sigaction(signal, nullptr, &now) == 0 && (now.sa_flags & SA_SIGINFO) == 0 &&
           now.sa_handler == SIG_DFL;
}

}  // namespace

void stop_cleanly_on_signals() {
    for (const int signal : asking) {
        // A shell that starts us in the background ignores Ctrl-C for us; a person who sends it by
        // hand means it.
        if (signal == SIGINT || is_default(signal)) {
            std::signal(signal, on_signal);
        }
    }
    for (const int signal : fatal_signals) {
        if (is_default(signal)) {  // else a sanitizer's
            std::signal(signal, on_fault);
        }
    }
    std::set_terminate(on_terminate);
    std::signal(SIGPIPE, SIG_IGN);
    std::signal(SIGXFSZ, SIG_IGN);
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
    say("plenair: stopped; " + message);
    die_by(signal_that_came.load());
    std::abort();  // Not reached: the signal's default is to end the program.
}

RemoveOnInterrupt::RemoveOnInterrupt(const std::string& path) : place_(most_unfinished) {
    constexpr std::string_view ending = ".part";
    if (path.size() + ending.size() >= unfinished.front().path.size()) {
        return;
    }
    for (std::size_t i = 0; i < most_unfinished && place_ == most_unfinished; ++i) {
        if (!unfinished[i].taken.exchange(true)) {
            place_ = i;
        }
    }
    if (place_ == most_unfinished) {
        return;
    }
    auto& file = unfinished[place_];
    const std::string beside = path + std::string(ending);
    file.path.at(path.copy(file.path.data(), path.size())) = '\0';
    file.beside.at(beside.copy(file.beside.data(), beside.size())) = '\0';
    file.named.store(true);
}

RemoveOnInterrupt::~RemoveOnInterrupt() {
    if (place_ < most_unfinished) {
        unfinished[place_].named.store(false);
        unfinished[place_].taken.store(false);
    }
}

}  // namespace plenair::command

#include "cases/command/interrupt.hpp"

#include <unistd.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstddef>
#include <cstdlib>
#include <exception>
#include <new>
#include <string>
#include <string_view>

#include "cases/command/terminal_lines.hpp"
#include "cases/store/hdf5_life.hpp"

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

std::atomic<bool> out_of_memory{false};  ///< an allocation has failed
std::atomic<bool> of_our_own{false};  ///< the fault that ends the program
std::atomic<bool> at_leisure{false};
std::atomic<bool> stop{false};
std::atomic<bool> file_named{false};
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
constexpr std::array fault_signals{SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT, SIGSYS, SIGTRAP};

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
    const bool nothing = !stop.load() && !file_named.load();
    write_line(nothing ? "\nplenair: stopped; no result was written\n"
                       : "\nplenair: stopped at once\n");
    die_by(signal);
}

constexpr int no_access = 4;  // Status::no_access

constexpr std::string_view no_memory_line = "plenair: out of memory; nothing was written\n";

/// Called where an allocation fails: what a library does then need not be orderly.
void on_no_memory() {
    out_of_memory.store(true);
    throw std::bad_alloc();
}

/// Where HDF5 is at work, the end of the program is its doing, and almost always a lack of memory.
void end_where_hdf5_failed() {
    if (hdf5_at_work() && !of_our_own.load()) {
        remove_unfinished();
        write_line(
            "plenair: HDF5 gave up, as it does where memory runs out; nothing was written: close "
            "other programs, or use .json in place of .h5\n");
        ::_exit(no_access);
    }
}

void on_fault(int signal) {
    // Of this thread: a library that passes over a failed malloc() meets its null soon.
    const bool no_memory = errno == ENOMEM && !of_our_own.load();
    end_where_hdf5_failed();
    remove_unfinished();
    if (no_memory) {
        write_line(no_memory_line);
        ::_exit(no_access);
    }
    die_by(signal);
}

/// An exception where none may pass: of a library that allocates in a destructor. The lack of
/// memory is said as anywhere else.
[[noreturn]] void on_terminate() {
    remove_unfinished();
    bool no_memory = out_of_memory.load();
    try {
        if (const auto error = std::current_exception()) {
            std::rethrow_exception(error);
        }
    } catch (const std::bad_alloc&) {
        no_memory = true;
    } catch (...) {
        no_memory = false;
    }
    if (no_memory) {
        write_line(no_memory_line);
        ::_exit(no_access);
    }
    write_line("plenair: internal fault; please report it with the case file\n");
    of_our_own.store(true);
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
    // A stack that is used up, as by HDF5 where it lacks memory, leaves no room for a handler on
    // it.
    static std::array<char, 65536> stack;
    stack_t other{};
    other.ss_sp = stack.data();
    other.ss_size = stack.size();
    ::sigaltstack(&other, nullptr);
    struct sigaction fault {};
    fault.sa_handler = on_fault;
    fault.sa_flags = SA_ONSTACK;
    for (const int signal : fault_signals) {
        if (is_default(signal)) {  // else a sanitizer's
            ::sigaction(signal, &fault, nullptr);
        }
    }
    std::set_terminate(on_terminate);
    std::set_new_handler(on_no_memory);
    std::atexit(end_where_hdf5_failed);
    std::signal(SIGPIPE, SIG_IGN);
    std::signal(SIGXFSZ, SIG_IGN);
}

void stop_at_leisure() {
    at_leisure.store(true);
}

void expect_named_file() {
    file_named.store(true);
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

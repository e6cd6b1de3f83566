#pragma once

#include <chrono>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace plenair {
struct ExpectedWork;
}

/// The only place that writes to the terminal. Text from files, names and options is shown with its
/// control characters written out (visible_text), so that nothing a file holds can steer it.
namespace plenair::command {

/// Before anything is opened: a standard stream that was closed takes nothing from now on, so that
/// no file can get its number and the messages meant for the stream.
void hold_standard_streams();

/// Colour is used where standard output is a terminal and NO_COLOR (no-color.org) is not set.
[[nodiscard]] bool colour_wanted();

/// On standard output; colours pass where they are wanted.
/// @throws WriteError  where standard output does not take it (full disk, closed, reader gone)
void print(std::string_view text);

/// One line or more on standard error, with a line end where there is none. Whether the stream
/// takes it or not: what is computed is worth more than what is said about it.
void say(std::string_view text);

/// Shows a question on standard error and reads one line of standard input; empty at its end.
[[nodiscard]] std::optional<std::string> ask(std::string_view question);

/// Whether a person sits at standard input and standard error.
[[nodiscard]] bool is_asking_possible();

/// One line per warning on standard error.
void print_warnings(const std::vector<std::string>& warnings);

/// What a verb has before it, on standard error, where that is worth saying.
void announce(const ExpectedWork& work);

/// One line on standard error that is rewritten as work proceeds: done, rate, time left.
/// Silent unless standard error is a terminal. May be called from several threads.
class ProgressLine final {
public:
    /// @param what  is counted: "points", "variants"
    ProgressLine(bool wanted, std::string what);
    /// A part of one counts for the rate; the line shows whole ones.
    void operator()(double done, double total);
    /// What is under way, behind the numbers: "A4, cycle 5".
    void under_way(const std::string& point, int cycles);
    /// Wipes the line.
    void clear();

private:
    void show();

    std::mutex mutex_;
    double done_ = 0, total_ = 0;
    std::string under_way_;
    std::chrono::steady_clock::time_point start_;
    std::chrono::steady_clock::time_point last_{};
    std::string what_;
    bool shown_;
};

}  // namespace plenair::command

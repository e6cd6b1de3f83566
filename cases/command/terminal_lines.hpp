#pragma once

#include <chrono>
#include <mutex>
#include <string>
#include <vector>

namespace plenair::command {

/// Colour is used where standard output is a terminal and NO_COLOR (no-color.org) is not set.
[[nodiscard]] bool colour_wanted();

/// @throws WriteError  where standard output does not take it (full disk)
void print(const std::string& text);

/// One line per warning on standard error.
void print_warnings(const std::vector<std::string>& warnings);

/// One line on standard error that is rewritten as work proceeds: done, rate, time left.
/// Silent unless standard error is a terminal. May be called from several threads.
class ProgressLine final {
public:
    explicit ProgressLine(bool wanted);
    void operator()(int done, int total);
    /// Wipes the line.
    void clear();

private:
    std::mutex mutex_;
    std::chrono::steady_clock::time_point start_;
    std::chrono::steady_clock::time_point last_{};
    bool shown_;
};

}  // namespace plenair::command

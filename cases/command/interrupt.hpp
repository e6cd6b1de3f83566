#pragma once

#include <atomic>
#include <string>

namespace plenair::command {

/// From now on Ctrl-C (or a termination request) removes the file being written, says that
/// nothing was written, and ends the program by that signal.
void stop_cleanly_on_interrupt();

/// While one of these lives, the first interrupt only sets stop_wanted(); the second one ends the
/// program at once.
class StopAtLeisure final {
public:
    StopAtLeisure();
    ~StopAtLeisure();
    StopAtLeisure(const StopAtLeisure&) = delete;
    StopAtLeisure& operator=(const StopAtLeisure&) = delete;
    StopAtLeisure(StopAtLeisure&&) = delete;
    StopAtLeisure& operator=(StopAtLeisure&&) = delete;
};

/// Whether an interrupt came while a StopAtLeisure lived.
[[nodiscard]] const std::atomic<bool>& stop_wanted();

/// After such an interrupt: says what was kept and ends the program by the signal that came.
[[noreturn]] void end_by_interrupt(const std::string& message);

/// Names the unfinished file that an interrupt has to remove; forgets it when it goes out of scope.
class RemoveOnInterrupt final {
public:
    explicit RemoveOnInterrupt(const std::string& path);
    ~RemoveOnInterrupt();
    RemoveOnInterrupt(const RemoveOnInterrupt&) = delete;
    RemoveOnInterrupt& operator=(const RemoveOnInterrupt&) = delete;
    RemoveOnInterrupt(RemoveOnInterrupt&&) = delete;
    RemoveOnInterrupt& operator=(RemoveOnInterrupt&&) = delete;
};

}  // namespace plenair::command

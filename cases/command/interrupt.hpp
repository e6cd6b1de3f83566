#pragma once

#include <string>

namespace plenair::command {

/// From now on Ctrl-C (or a termination request) removes the file being written, says that
/// nothing was written, and ends the program by that signal.
void stop_cleanly_on_interrupt();

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

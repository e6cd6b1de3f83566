#pragma once

#include <atomic>
#include <cstddef>
#include <string>

namespace plenair::command {

/// From now on every signal that asks the program to end (Ctrl-C, a closed terminal, a batch
/// system's time limit, ...) removes the file being written, says that nothing was written, and
/// ends the program by that signal; one that reports a fault of the program removes the file too. A
/// reader that goes away and a limit on file sizes are no signals any more but errors of writing.
/// A hang-up that was ignored (nohup) stays ignored.
void stop_cleanly_on_signals();

/// From now on the first such signal only sets stop_wanted(), and what is in hand is finished and
/// written; the second one ends the program at once. To the end of the program: a signal that comes
/// between the answer's writing and the end does not deny the file that is there.
void stop_at_leisure();

/// Whether a signal came after stop_at_leisure().
[[nodiscard]] const std::atomic<bool>& stop_wanted();

/// After such a signal: says what was kept and ends the program by the signal that came.
[[noreturn]] void end_by_interrupt(const std::string& message);

/// To be called just before an output file gets its own name: from then on a signal does not say
/// that no result was written.
void expect_named_file();

/// Names an unfinished file that a signal has to remove, and what its writer has beside it
/// (path + ".part"); forgets it when it goes out of scope.
class RemoveOnInterrupt final {
public:
    explicit RemoveOnInterrupt(const std::string& path);
    ~RemoveOnInterrupt();
    RemoveOnInterrupt(const RemoveOnInterrupt&) = delete;
    RemoveOnInterrupt& operator=(const RemoveOnInterrupt&) = delete;
    RemoveOnInterrupt(RemoveOnInterrupt&&) = delete;
    RemoveOnInterrupt& operator=(RemoveOnInterrupt&&) = delete;

private:
    std::size_t place_;
};

}  // namespace plenair::command

#pragma once

#include <sys/types.h>

#include <string>
#include <vector>

/// A program that runs beside the test; ended by force where the test ends first. Its standard
/// output and error go to a file.
class RunningProcess final {
public:
    /// @throws std::runtime_error  where it cannot be started
    RunningProcess(const std::string& program,
                   const std::vector<std::string>& arguments,
                   const std::string& output);
    ~RunningProcess();
    RunningProcess(const RunningProcess&) = delete;
    RunningProcess& operator=(const RunningProcess&) = delete;
    RunningProcess(RunningProcess&&) = delete;
    RunningProcess& operator=(RunningProcess&&) = delete;

    [[nodiscard]] pid_t id() const { return id_; }
    void send(int signal) const;
    /// Waits for its end. @returns exit status; 128 + signal where a signal ended it
    int wait();
    /// Largest resident memory [bytes], once it has ended.
    [[nodiscard]] double peak_memory() const { return peak_memory_; }

private:
    pid_t id_ = 0;
    bool ended_ = false;
    double peak_memory_ = 0;
};

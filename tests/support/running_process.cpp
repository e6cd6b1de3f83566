#include "tests/support/running_process.hpp"

#include <fcntl.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <stdexcept>

RunningProcess::RunningProcess(const std::string& program,
                               const std::vector<std::string>& arguments,
                               const std::string& output) {
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
    posix_spawn_file_actions_addopen(
        &actions, STDOUT_FILENO, output.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    posix_spawn_file_actions_adddup2(&actions, STDOUT_FILENO, STDERR_FILENO);
    std::vector<std::string> words{program};
    words.insert(words.end(), arguments.begin(), arguments.end());
    std::vector<char*> argv;
    argv.reserve(words.size() + 1);
    for (auto& word : words) {
        argv.push_back(word.data());
    }
    argv.push_back(nullptr);
    const int failed = posix_spawn(&id_, program.c_str(), &actions, nullptr, argv.data(), environ);
    posix_spawn_file_actions_destroy(&actions);
    if (failed != 0) {
        throw std::runtime_error("cannot start " + program);
    }
}

RunningProcess::~RunningProcess() {
    if (!ended_) {
        send(SIGKILL);
        wait();
    }
}

void RunningProcess::send(int signal) const {
    ::kill(id_, signal);
}

int RunningProcess::wait() {
    int state = 0;
    rusage usage{};
    ::wait4(id_, &state, 0, &usage);
    ended_ = true;
    constexpr double kibibyte = 1024;
    peak_memory_ = kibibyte * static_cast<double>(usage.ru_maxrss);
    return WIFEXITED(state) ? WEXITSTATUS(state) : 128 + WTERMSIG(state);
}

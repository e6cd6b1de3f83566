#include "tests/support/run_process.hpp"

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>
#include <stdexcept>

namespace {

class SpawnActions final {
public:
    SpawnActions() { posix_spawn_file_actions_init(&actions_); }
    ~SpawnActions() { posix_spawn_file_actions_destroy(&actions_); }
    SpawnActions(const SpawnActions&) = delete;
    SpawnActions& operator=(const SpawnActions&) = delete;
    SpawnActions(SpawnActions&&) = delete;
    SpawnActions& operator=(SpawnActions&&) = delete;

    void open(int descriptor, const std::string& path, int flags) {
        posix_spawn_file_actions_addopen(&actions_, descriptor, path.c_str(), flags, 0600);
    }
    [[nodiscard]] const posix_spawn_file_actions_t* get() const { return &actions_; }

private:
    posix_spawn_file_actions_t actions_{};
};

}  // namespace

Outcome run_process(const std::string& program, const std::vector<std::string>& arguments) {
    // Files instead of pipes: no output can be long enough to block the program.
    const ScratchFolder scratch;
    SpawnActions actions;
    actions.open(STDIN_FILENO, "/dev/null", O_RDONLY);
    actions.open(STDOUT_FILENO, scratch.path("out"), O_WRONLY | O_CREAT);
    actions.open(STDERR_FILENO, scratch.path("err"), O_WRONLY | O_CREAT);

    std::vector<std::string> words{program};
    words.insert(words.end(), arguments.begin(), arguments.end());
    std::vector<char*> argv;
    argv.reserve(words.size() + 1);
    for (auto& word : words) {
        argv.push_back(word.data());
    }
    argv.push_back(nullptr);

    pid_t child = 0;
    if (posix_spawn(&child, program.c_str(), actions.get(), nullptr, argv.data(), environ) != 0) {
        throw std::runtime_error("cannot start " + program);
    }
    int state = 0;
    waitpid(child, &state, 0);
    Outcome outcome;
    outcome.status = WIFEXITED(state) ? WEXITSTATUS(state) : 128 + WTERMSIG(state);
    outcome.out = read_text(scratch.path("out"));
    outcome.err = read_text(scratch.path("err"));
    return outcome;
}

ScratchFolder::ScratchFolder() {
    auto name = (std::filesystem::temp_directory_path() / "plenair-test-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) {
        throw std::runtime_error("cannot create a temporary folder");
    }
    folder_ = name;
}

ScratchFolder::~ScratchFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
}

int ScratchFolder::count() const {
    const std::filesystem::directory_iterator entries(folder_);
    return static_cast<int>(std::distance(begin(entries), end(entries)));
}

std::string ScratchFolder::write(const std::string& name, const std::string& text) const {
    std::ofstream(path(name)) << text;
    return path(name);
}

std::string read_text(const std::string& path) {
    const std::ifstream file(path);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

#pragma once

#include <string>
#include <vector>

/// What a program left behind.
struct Outcome {
    int status = -1;  ///< exit status; 128 + signal where a signal ended it
    std::string out;
    std::string err;
};

/// Runs a program and waits for it. Standard input is empty; neither output stream is a terminal.
/// @throws std::runtime_error  where it cannot be started
[[nodiscard]] Outcome run_process(const std::string& program,
                                  const std::vector<std::string>& arguments);

/// A new empty folder below the system's temporary folder, removed with all in it at the end.
class ScratchFolder final {
public:
    ScratchFolder();
    ~ScratchFolder();
    ScratchFolder(const ScratchFolder&) = delete;
    ScratchFolder& operator=(const ScratchFolder&) = delete;
    ScratchFolder(ScratchFolder&&) = delete;
    ScratchFolder& operator=(ScratchFolder&&) = delete;

    [[nodiscard]] std::string path(const std::string& name) const { return folder_ + "/" + name; }
    [[nodiscard]] const std::string& folder() const { return folder_; }
    /// Number of files and folders directly in it.
    [[nodiscard]] int count() const;
    /// Writes a text file and returns its path.
    [[nodiscard]] std::string write(const std::string& name, const std::string& text) const;

private:
    std::string folder_;
};

/// Content of a file; empty where there is none.
[[nodiscard]] std::string read_text(const std::string& path);

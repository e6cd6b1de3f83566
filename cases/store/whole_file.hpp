#pragma once

#include <stdexcept>
#include <string>
#include <string_view>

namespace plenair {

/// What the system said to a write.
class FileError final : public std::runtime_error {
public:
    explicit FileError(int reason);
    [[nodiscard]] int reason() const { return reason_; }

private:
    int reason_;  // the system's error number
};

/// A file that is written from its beginning to its end and then brought to the disk.
class FileWriter final {
public:
    /// @throws FileError
    explicit FileWriter(const std::string& path);
    /// Closes; what was not finished may be incomplete.
    ~FileWriter();
    FileWriter(const FileWriter&) = delete;
    FileWriter& operator=(const FileWriter&) = delete;
    FileWriter(FileWriter&&) = delete;
    FileWriter& operator=(FileWriter&&) = delete;

    /// @throws FileError
    void add(std::string_view bytes);
    /// Waits until the disk has it all, and closes. @throws FileError
    void finish();

private:
    int file_ = -1;  // descriptor
};

/// Waits until the disk has a file that another library wrote. @throws FileError
void sync_file(const std::string& path);

/// Writes beside `path`, brings it to the disk and renames it: `path` is either old or complete.
/// @param beside  name of the unfinished file, removed where it fails
/// @throws FileError  and `path` is as it was
void replace_file(const std::string& path, const std::string& beside, std::string_view bytes);

}  // namespace plenair

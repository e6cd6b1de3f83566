#pragma once

#include <cstddef>
#include <optional>
#include <string>

namespace plenair {

/// Holds a sweep folder, or one part of it, for this process alone until its end. The system gives
/// the lock back however the process ends, so none is ever left behind.
class SweepLock final {
public:
    /// Parts of one folder may be held side by side; a whole run (`parts` = 1) stands alone.
    /// @throws WriteError  where another process holds it, named with its host; where the folder
    /// cannot be written
    SweepLock(const std::string& folder, std::size_t part, std::size_t parts);

private:
    /// An open file with its lock.
    class LockFile final {
    public:
        explicit LockFile(std::string path);
        ~LockFile();
        LockFile(const LockFile&) = delete;
        LockFile& operator=(const LockFile&) = delete;
        LockFile(LockFile&&) = delete;
        LockFile& operator=(LockFile&&) = delete;
        /// @returns false where another process holds it
        [[nodiscard]] bool take(bool alone) const;
        /// Names this process in the file, or nobody.
        void write(const std::string& holder) const;
        [[nodiscard]] std::string holder() const;

    private:
        [[noreturn]] void refuse(const char* what) const;
        std::string path_;
        int file_;  // descriptor
    };

    LockFile whole_;
    std::optional<LockFile> part_;
};

/// "process 1234 on host".
[[nodiscard]] std::string this_process();

}  // namespace plenair

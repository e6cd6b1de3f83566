#include "cases/store/sweep_lock.hpp"

#include "cases/study/error.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>

namespace plenair {

namespace fs = std::filesystem;

namespace {

std::string text_of(const fs::path& path) {
    std::ifstream file(path);
    return {std::istreambuf_iterator<char>(file), {}};
}

/// The part at work, where parts keep a whole run out.
std::string held_part(const std::string& folder) {
    std::error_code ignored;
    for (const auto& entry : fs::directory_iterator(folder, ignored)) {
        const std::string name = entry.path().filename().string();
        if (!name.starts_with("lock-")) {
            continue;
        }
        const int file = ::open(entry.path().c_str(), O_RDWR | O_CLOEXEC);
        const bool held = file >= 0 && ::flock(file, LOCK_EX | LOCK_NB) != 0;
        if (file >= 0) {
            ::close(file);
        }
        if (held) {
            return fmt::format("{}, {}", text_of(entry.path()), name.substr(5));
        }
    }
    return "a part of the sweep";
}

[[noreturn]] void refuse(const std::string& folder, const std::string& holder) {
    throw WriteError(
        fmt::format("{}: in use by {}; wait for it, or name another --folder", folder, holder));
}

}  // namespace

std::string this_process() {
    std::array<char, 256> host{};
    ::gethostname(host.data(), host.size() - 1);
    return fmt::format("process {} on {}", ::getpid(), host.data());
}

SweepLock::LockFile::LockFile(std::string path)
    : path_(std::move(path)), file_(::open(path_.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0666)) {
    if (file_ < 0) {
        refuse("write");
    }
}

SweepLock::LockFile::~LockFile() {
    // Closing gives the lock back. The file stays: with it removed, two processes could hold locks
    // on different files of the same name.
    if (file_ >= 0) {
        ::close(file_);
    }
}

void SweepLock::LockFile::refuse(const char* what) const {
    throw WriteError(fmt::format("cannot {} {}: {}", what, path_, std::strerror(errno)));
}

bool SweepLock::LockFile::take(bool alone) const {
    while (::flock(file_, (alone ? LOCK_EX : LOCK_SH) | LOCK_NB) != 0) {
        if (errno == EWOULDBLOCK) {
            return false;
        }
        if (errno != EINTR) {
            refuse("lock");
        }
    }
    return true;
}

void SweepLock::LockFile::write(const std::string& holder) const {
    if (::ftruncate(file_, 0) != 0 || ::pwrite(file_, holder.data(), holder.size(), 0) < 0) {
        refuse("write");
    }
}

std::string SweepLock::LockFile::holder() const {
    return text_of(path_);
}

SweepLock::SweepLock(const std::string& folder, std::size_t part, std::size_t parts)
    : whole_(folder + "/lock") {
    const bool alone = parts == 1;
    if (!whole_.take(alone)) {
        const std::string holder = whole_.holder();
        refuse(folder, alone && holder.empty() ? held_part(folder) : holder);
    }
    whole_.write(alone ? this_process() : "");
    if (!alone) {
        part_.emplace(fmt::format("{}/lock-{}-of-{}", folder, part + 1, parts));
        if (!part_->take(true)) {
            refuse(folder, fmt::format("{}, part {} of {}", part_->holder(), part + 1, parts));
        }
        part_->write(this_process());
    }
}

}  // namespace plenair

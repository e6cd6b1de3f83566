#include "cases/store/whole_file.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>

namespace plenair {

namespace {

/// 0 also where the file is none that can be waited for, such as a pipe.
int sync(int file) {
    while (::fsync(file) != 0) {
        if (errno == EINVAL || errno == EROFS) {
            return 0;
        }
        if (errno != EINTR) {
            return errno;
        }
    }
    return 0;
}

}  // namespace

FileError::FileError(int reason) : std::runtime_error(std::strerror(reason)), reason_(reason) {}

FileWriter::FileWriter(const std::string& path)
    : file_(::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666)) {
    if (file_ < 0) {
        throw FileError(errno);
    }
}

FileWriter::~FileWriter() {
    if (file_ >= 0) {
        ::close(file_);
    }
}

void FileWriter::add(std::string_view bytes) {
    while (!bytes.empty()) {
        const auto written = ::write(file_, bytes.data(), bytes.size());
        if (written >= 0) {
            bytes.remove_prefix(static_cast<std::size_t>(written));
        } else if (errno != EINTR) {
            throw FileError(errno);
        }
    }
}

void FileWriter::finish() {
    const int unsynced = sync(file_);
    // Some file systems tell only now that there was no room.
    const int unclosed = ::close(file_) != 0 && errno != EINTR ? errno : 0;
    file_ = -1;
    if (unsynced != 0 || unclosed != 0) {
        throw FileError(unsynced != 0 ? unsynced : unclosed);
    }
}

void sync_file(const std::string& path) {
    const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    const int reason = file < 0 ? errno : sync(file);
    if (file >= 0) {
        ::close(file);
    }
    if (reason != 0) {
        throw FileError(reason);
    }
}

void replace_file(const std::string& path, const std::string& beside, std::string_view bytes) {
    try {
        FileWriter file(beside);
        file.add(bytes);
        file.finish();
        if (std::rename(beside.c_str(), path.c_str()) != 0) {
            throw FileError(errno);
        }
    } catch (const FileError&) {
        ::unlink(beside.c_str());
        throw;
    }
}

}  // namespace plenair

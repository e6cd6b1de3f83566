#include "cases/command/output_file.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <system_error>

#include "cases/command/interrupt.hpp"
#include "cases/study/error.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

namespace fs = std::filesystem;

namespace {

[[noreturn]] void refuse(const std::string& path, const std::string& reason) {
    throw WriteError(fmt::format("cannot write {}: {}", path, reason));
}

/// The file itself where `path` is a link, so that the rename does not replace the link.
fs::path target_of(const std::string& path) {
    std::error_code failed;
    if (fs::is_symlink(path, failed)) {
        const auto resolved = fs::weakly_canonical(path, failed);
        return failed ? fs::path(path) : resolved;
    }
    return path;
}

/// In the same folder, so that the rename stays within one file system.
std::string name_beside(const fs::path& target) {
    return fmt::format("{}.part{}", target.string(), ::getpid());
}

}  // namespace

FileKind file_kind(const std::string& path) {
    const auto ending = fs::path(path).extension();
    if (ending == ".h5") {
        return FileKind::hdf5;
    }
    if (ending == ".json") {
        return FileKind::json;
    }
    if (ending == ".csv") {
        return FileKind::csv;
    }
    throw InputError({fmt::format(
        "-o {}: the ending decides the format; use .h5, .json or .csv, for example -o result.h5",
        path)});
}

void refuse_unwritable(const std::string& path) {
    const auto target = target_of(path);
    std::error_code failed;
    if (fs::is_directory(target, failed)) {
        refuse(path, "it is a folder; name a file");
    }
    auto folder = target.parent_path();
    if (folder.empty()) {
        folder = ".";
    }
    if (!fs::is_directory(folder, failed)) {
        refuse(path, fmt::format("folder {} does not exist; create it first", folder.string()));
    }
    if (fs::exists(target, failed) && ::access(target.c_str(), W_OK) != 0) {
        refuse(path, std::strerror(errno));
    }
    const auto probe = name_beside(target);
    errno = 0;
    const bool opened = std::ofstream(probe).is_open();
    const int reason = errno;
    fs::remove(probe, failed);
    if (!opened) {
        refuse(path, std::strerror(reason));
    }
}

void write_beside(const std::string& path, const std::function<void(const std::string&)>& writer) {
    const auto target = target_of(path);
    const auto beside = name_beside(target);
    const RemoveOnInterrupt guard(beside);
    std::error_code failed;
    try {
        writer(beside);
    } catch (const WriteError& error) {
        fs::remove(beside, failed);
        refuse(path, error.what());
    } catch (...) {
        fs::remove(beside, failed);
        throw;
    }
    fs::rename(beside, target, failed);
    if (failed) {
        const auto reason = failed.message();
        fs::remove(beside, failed);
        refuse(path, reason);
    }
}

void write_text(const std::string& path, const std::string& text) {
    write_beside(path, [&text](const std::string& beside) {
        std::ofstream file(beside, std::ios::binary);
        file << text;
        file.close();
        if (!file) {
            throw WriteError(std::strerror(errno));
        }
    });
}

}  // namespace plenair::command

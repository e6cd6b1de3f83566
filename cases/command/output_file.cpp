#include "cases/command/output_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <system_error>

#include "cases/command/interrupt.hpp"
#include "cases/store/whole_file.hpp"
#include "cases/study/error.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

namespace fs = std::filesystem;

namespace {

[[noreturn]] void refuse(const std::string& path, const std::string& reason) {
    throw WriteError(fmt::format("cannot write {}: {}", path, reason));
}

/// In the same folder, so that the rename stays within one file system; short enough to be a name
/// where the target is just one.
std::string name_beside(const fs::path& target) {
    constexpr std::size_t most = 200;  // of the 255 bytes that file systems allow
    const std::string beside =
        fmt::format("{}.part{}", target.filename().string().substr(0, most), ::getpid());
    return target.parent_path() / beside;
}

}  // namespace

std::filesystem::path target_of(const std::string& path) {
    constexpr int most_links = 40;  // as many as Linux follows
    fs::path target = path;
    std::error_code failed;
    for (int links = 0; fs::is_symlink(target, failed); ++links) {
        if (links == most_links) {
            refuse(path, "its links lead to one another; name a file");
        }
        const auto next = fs::read_symlink(target, failed);
        if (failed) {
            refuse(path, failed.message());
        }
        target = target.parent_path() / next;  // an absolute one stands for itself
    }
    return target;
}

void refuse_existing_toml(const std::string& path,
                          const std::string& option,
                          const std::string& what) {
    if (!path.ends_with(".toml")) {
        throw InputError({fmt::format(
            "{0} {1}: a {2} file ends in .toml; write e.g. {0} {2}.toml", option, path, what)});
    }
    std::error_code failed;
    if (fs::exists(path, failed)) {
        throw InputError({fmt::format(
            "{} {}: is there already, and no {} file is written over; name another file, or remove "
            "this one",
            option,
            path,
            what)});
    }
    refuse_unwritable(path);
}

void refuse_unwritable(const std::string& path) {
    const auto target = target_of(path);
    std::error_code failed;
    if (fs::is_directory(target, failed)) {
        refuse(path, "it is a folder; name a file");
    }
    const auto state = fs::status(target, failed);
    if (fs::exists(state) && !fs::is_regular_file(state)) {
        refuse(path, "it is a pipe or a device, not a file; name a new file");
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
    const RemoveOnInterrupt guard(probe);
    // Without a stream, whose memory may lack when the file is there.
    const int opened = ::open(probe.c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, 0666);
    const int reason = errno;
    if (opened < 0) {
        refuse(path, std::strerror(reason));
    }
    ::unlink(probe.c_str());
    ::close(opened);
}

void write_beside(const std::string& path, const std::function<void(const std::string&)>& writer) {
    const auto target = target_of(path);
    const auto beside = name_beside(target);
    const RemoveOnInterrupt guard(beside);
    std::error_code failed;
    try {
        writer(beside);
        sync_file(beside);
        expect_named_file();
        fs::rename(beside, target);
    } catch (const WriteError& error) {
        fs::remove(beside, failed);
        // People know the file by the name that they gave it.
        std::string reason = error.what();
        for (const auto& said : {beside + ": ", std::string("cannot write: ")}) {
            if (reason.starts_with(said)) {
                reason.erase(0, said.size());
            }
        }
        refuse(path, reason);
    } catch (const FileError& error) {
        fs::remove(beside, failed);
        refuse(path, error.what());
    } catch (const fs::filesystem_error& error) {
        fs::remove(beside, failed);
        refuse(path, error.code().message());
    } catch (...) {
        fs::remove(beside, failed);
        throw;
    }
}

void write_text(const std::string& path, const std::string& text) {
    write_beside(path, [&text](const std::string& beside) {
        FileWriter file(beside);
        file.add(text);
        file.finish();
    });
}

}  // namespace plenair::command

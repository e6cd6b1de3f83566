#include "cases/store/sweep_store.hpp"

#include "cases/store/sweep_codec.hpp"
#include "cases/store/sweep_lock.hpp"
#include "cases/store/whole_file.hpp"
#include "cases/study/error.hpp"
#include "cases/study/no_file.hpp"
#include "geometry/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <system_error>

namespace plenair {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view unfinished = ".part-";
constexpr std::size_t blocks_in_folder = 1000;

[[noreturn]] void cannot_write(const std::string& path, int reason) {
    const char* remedy =
        reason == ENOSPC || reason == EDQUOT
            ? "; finished blocks are kept: make room and run the same command again"
            : "";
    throw WriteError(fmt::format("cannot write {}: {}{}", path, std::strerror(reason), remedy));
}

void write_whole(const std::string& path, std::string_view bytes) {
    std::string process = this_process();
    std::replace(process.begin(), process.end(), ' ', '-');
    try {
        replace_file(path, fmt::format("{}{}{}", path, unfinished, process), bytes);
    } catch (const FileError& error) {
        cannot_write(path, error.reason());
    }
}

std::string read_whole(const std::string& path) {
    if (const auto reason = no_file_reason(path); !reason.empty()) {
        throw ReadError(fmt::format("{}: cannot be read: {}", path, reason));
    }
    errno = 0;
    std::ifstream file(path, std::ios::binary);
    const auto refuse = [&path] {
        return ReadError(fmt::format("{}: cannot be read: {}", path, std::strerror(errno)));
    };
    if (!file.is_open()) {
        throw refuse();
    }
    try {
        return {std::istreambuf_iterator<char>(file), {}};
    } catch (const std::ios_base::failure&) {  // which the buffer itself throws
        throw refuse();
    }
}

std::string info_path(const std::string& folder) {
    return folder + "/sweep.json";
}

/// What of a sweep can tell it from another of the same case, but for its values.
std::string described(const SweepInfo& info) {
    return fmt::format("{} variants by {}, precision {}, tolerance {}",
                       info.count,
                       info.method,
                       info.precision,
                       info.tolerance);
}

/// What keeps this sweep out of a folder; empty where nothing does.
std::string difference(const SweepInfo& stored, const std::string& program, const SweepInfo& mine) {
    if (stored.case_digest != mine.case_digest) {
        return fmt::format("holds another case (\"{}\", {:.15}...; this one is \"{}\", {:.15}...)",
                           stored.title,
                           stored.case_digest,
                           mine.title,
                           mine.case_digest);
    }
    if (stored.digest != mine.digest) {
        const std::string theirs = described(stored);
        const std::string own = described(mine);
        return fmt::format("holds another sweep ({}; this one: {})",
                           theirs,
                           own == theirs ? "the same, of other entries or values" : own);
    }
    if (program != this_program()) {
        return fmt::format("was begun by plenair {}, this is plenair {}", program, this_program());
    }
    return {};
}

}  // namespace

void make_folder(const std::string& folder) {
    std::error_code failed;
    if (fs::is_symlink(folder, failed) && !fs::exists(folder, failed)) {
        throw WriteError(fmt::format(
            "cannot write {}: it is a link to a folder that does not exist; create that folder",
            folder));
    }
    fs::create_directories(folder, failed);
    if (failed) {
        cannot_write(folder, failed.value());
    }
}

SweepStore::SweepStore(std::string folder, const SweepInfo& info)
    : folder_(std::move(folder)), info_(info) {
    make_folder(folder_ + "/blocks");
    const std::string path = info_path(folder_);
    std::error_code ignored;
    if (!fs::exists(path, ignored)) {
        write_whole(path, encode_info(info));
    }
    // Read back also what was just written: another part may have begun at the same moment. The
    // text of the first is kept, so that comments in the case file never change a result.
    std::string program;
    SweepInfo stored = decode_info(read_whole(path), path, program);
    const std::string reason = difference(stored, program, info);
    if (!reason.empty()) {
        throw InputError(
            {fmt::format("{}: {}; name another --folder, or delete this one", folder_, reason)});
    }
    info_ = std::move(stored);
}

SweepStore::SweepStore(std::string folder) : folder_(std::move(folder)) {
    const std::string path = info_path(folder_);
    std::error_code ignored;
    if (fs::is_regular_file(folder_, ignored)) {
        throw InputError(
            {fmt::format("{}: is a file, the folder of a sweep is expected", folder_)});
    }
    if (!fs::exists(path, ignored)) {
        throw ReadError(
            fmt::format("{}: is no sweep folder; name one that plenair sweep made "
                        "(it holds sweep.json)",
                        folder_));
    }
    std::string program;
    info_ = decode_info(read_whole(path), path, program);
    if (program != this_program()) {
        throw InputError(
            {fmt::format("{}: was computed by plenair {}, this is plenair {}; gather "
                         "with the program that swept",
                         folder_,
                         program,
                         this_program())});
    }
}

std::string SweepStore::path_of(std::size_t block) const {
    return fmt::format("{}/{}", folder_, file_of(block));
}

std::string SweepStore::file_of(std::size_t block) {
    return fmt::format("blocks/{:04}/{:08}.cbor", block / blocks_in_folder, block);
}

bool SweepStore::has(std::size_t block) const {
    std::error_code ignored;
    return fs::exists(path_of(block), ignored);
}

std::vector<std::size_t> SweepStore::missing() const {
    std::vector<std::size_t> blocks;
    for (std::size_t block = 0; block < info_.blocks(); ++block) {
        if (!has(block)) {
            blocks.push_back(block);
        }
    }
    return blocks;
}

std::vector<std::size_t> SweepStore::damaged(std::size_t part, std::size_t parts) const {
    std::vector<std::size_t> blocks;
    for (std::size_t block = part; block < info_.blocks(); block += parts) {
        try {
            if (has(block)) {
                (void)load(block);
            }
        } catch (const ReadError&) {
            blocks.push_back(block);
        }
    }
    return blocks;
}

void SweepStore::save(std::size_t block, const std::vector<VariantRecord>& records) const {
    const std::string path = path_of(block);
    make_folder(fs::path(path).parent_path().string());
    const auto bytes = encode_block(info_, block, records);
    write_whole(path, {reinterpret_cast<const char*>(bytes.data()), bytes.size()});
}

std::vector<VariantRecord> SweepStore::load(std::size_t block) const {
    const std::string path = path_of(block);
    const std::string bytes = read_whole(path);
    return decode_block(info_, block, {bytes.begin(), bytes.end()}, path);
}

std::size_t SweepStore::bytes() const {
    std::size_t sum = 0;
    std::error_code failed;
    for (std::size_t block = 0; block < info_.blocks(); ++block) {
        const auto size = fs::file_size(path_of(block), failed);
        sum += failed ? 0 : static_cast<std::size_t>(size);
    }
    return sum;
}

void SweepStore::remove_leftovers(std::size_t part, std::size_t parts) const {
    std::error_code failed;
    std::vector<fs::path> leftovers;
    for (const auto& entry : fs::recursive_directory_iterator(folder_ + "/blocks", failed)) {
        const std::string name = entry.path().filename().string();
        std::size_t block = 0;
        const auto end = std::from_chars(name.data(), name.data() + name.size(), block);
        if (end.ec == std::errc{} && name.find(unfinished) != std::string::npos &&
            block % parts == part) {
            leftovers.push_back(entry.path());
        }
    }
    // A whole run stands alone: nobody else is writing beside the blocks.
    for (const auto& entry : fs::directory_iterator(folder_, failed)) {
        const std::string name = entry.path().filename().string();
        if (parts == 1 &&
            (name.starts_with("sweep.json.part-") || name.starts_with("result.h5.part"))) {
            leftovers.push_back(entry.path());
        }
    }
    for (const auto& path : leftovers) {
        fs::remove(path, failed);
    }
}

}  // namespace plenair

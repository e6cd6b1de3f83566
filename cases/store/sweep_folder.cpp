#include "cases/store/sweep_folder.hpp"

#include "cases/base/whole_number.hpp"
#include "cases/study/error.hpp"
#include "geometry/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <string_view>
#include <system_error>

namespace plenair {

namespace fs = std::filesystem;

namespace {

/// "3" of "lock-2-of-3"; 0 where the name is no lock of a part.
std::size_t parts_of_lock(std::string_view name) {
    constexpr std::string_view begin = "lock-", between = "-of-";
    const auto place = name.find(between);
    if (!name.starts_with(begin) || place == std::string_view::npos) {
        return 0;
    }
    return whole_number(name.substr(place + between.size())).value_or(0);
}

/// What is there before a sweep has described itself: its locks, its empty folder of blocks, the
/// description that it had begun to write, and the logs of a cluster's job scripts.
bool belongs_to_a_beginning(const fs::directory_entry& entry) {
    const std::string name = entry.path().filename().string();
    std::error_code failed;
    if (entry.is_directory(failed)) {
        return name == "log" || (name == "blocks" && fs::is_empty(entry.path(), failed));
    }
    return name == "lock" || parts_of_lock(name) > 0 || name.starts_with("sweep.json.part-");
}

}  // namespace

void refuse_foreign_folder(const std::string& folder) {
    std::error_code failed;
    const auto state = fs::status(folder, failed);
    if (!fs::exists(state)) {
        return;
    }
    if (!fs::is_directory(state)) {
        throw InputError({fmt::format(
            "--folder {}: is a file, a folder is expected; name a new or empty folder", folder)});
    }
    std::string foreign;
    for (const auto& entry : fs::directory_iterator(folder, failed)) {
        const std::string name = entry.path().filename().string();
        if (!belongs_to_a_beginning(entry) && (foreign.empty() || name < foreign)) {
            foreign = name;
        }
    }
    if (failed) {
        throw ReadError(fmt::format("{}: cannot be read: {}", folder, failed.message()));
    }
    // Looked for last: another part may have described the sweep meanwhile.
    if (!foreign.empty() && !fs::exists(folder + "/sweep.json", failed)) {
        throw InputError({fmt::format(
            "--folder {}: holds other files (\"{}\") and no sweep (no sweep.json), and "
            "a sweep could write over them; name a new or empty folder",
            folder,
            foreign)});
    }
}

std::size_t parts_of_sweep(const std::string& folder) {
    std::size_t parts = 1;
    std::error_code ignored;
    for (const auto& entry : fs::directory_iterator(folder, ignored)) {
        parts = std::max(parts, parts_of_lock(entry.path().filename().string()));
    }
    return parts;
}

}  // namespace plenair

#include "cases/study/no_file.hpp"

#include <filesystem>
#include <system_error>

namespace plenair {

std::string no_file_reason(const std::string& path) {
    namespace fs = std::filesystem;
    std::error_code failed;
    const auto state = fs::status(path, failed);
    if (fs::is_directory(state)) {
        return "it is a folder; name a file in it";
    }
    const bool readable = fs::is_regular_file(state) || fs::is_fifo(state);
    return fs::exists(state) && !readable ? "it is a device, not a file; name a file" : "";
}

}  // namespace plenair

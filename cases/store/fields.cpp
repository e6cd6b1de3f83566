#include "cases/store/fields.hpp"

#include <cctype>

namespace plenair {

std::string dataset_name(const std::string& text) {
    std::string name;
    for (const char sign : text) {
        const auto code = static_cast<unsigned char>(sign);
        name += std::isalnum(code) != 0 ? static_cast<char>(std::tolower(code)) : '_';
    }
    return name;
}

}  // namespace plenair

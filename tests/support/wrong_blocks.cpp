#include "tests/support/wrong_blocks.hpp"

#include <fstream>
#include <stdexcept>
#include <utility>

namespace plenair::test {
namespace {

std::string with_control_characters(std::string text) {
    for (const auto& [written, meant] :
         {std::pair<std::string, char>{"\\r", '\r'}, {"\\t", '\t'}}) {
        for (auto at = text.find(written); at != std::string::npos; at = text.find(written, at)) {
            text.replace(at, written.size(), 1, meant);
        }
    }
    return text;
}

}  // namespace

std::vector<WrongBlock> wrong_blocks(const std::string& path) {
    std::ifstream file(path);
    std::vector<WrongBlock> blocks;
    std::string* part = nullptr;
    for (std::string line; std::getline(file, line);) {
        if (line.starts_with("=== ")) {
            blocks.push_back({line.substr(4), "", "", ""});
            part = &blocks.back().input;
        } else if (line == "--- table" && part != nullptr) {
            part = &blocks.back().table;
        } else if (line == ">>> said" && part != nullptr) {
            part = &blocks.back().said;
        } else if (part != nullptr) {
            *part += (part == &blocks.back().table ? with_control_characters(line) : line) + "\n";
        } else if (!line.empty() && !line.starts_with('#')) {
            throw std::runtime_error(path + ": text before the first block: " + line);
        }
    }
    if (blocks.empty()) {
        throw std::runtime_error(path + ": no blocks");
    }
    return blocks;
}

}  // namespace plenair::test

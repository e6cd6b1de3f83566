#include "cases/file/message.hpp"

#include <algorithm>
#include <climits>
#include <utility>

#include <fmt/format.h>

namespace plenair::file {

void Messages::error(Place place, const std::string& text) {
    errors_.push_back({place, text});
}

void Messages::warning(Place place, const std::string& text) {
    warnings_.push_back({place, text});
}

std::vector<std::string> Messages::errors() const {
    return in_order(errors_);
}

std::vector<std::string> Messages::error_texts() const {
    std::vector<std::string> texts;
    for (const auto& message : errors_) {
        texts.push_back(message.text);
    }
    return texts;
}

std::vector<std::string> Messages::warnings() const {
    return in_order(warnings_);
}

std::vector<std::string> Messages::in_order(std::vector<Message> messages) const {
    const auto rank = [](const Message& m) {
        return std::pair(m.place.line > 0 ? m.place.line : INT_MAX, m.place.column);
    };
    std::stable_sort(messages.begin(), messages.end(), [&](const Message& a, const Message& b) {
        return rank(a) < rank(b);
    });
    std::vector<std::string> lines;
    lines.reserve(messages.size());
    for (const auto& m : messages) {
        lines.push_back(
            m.place.line > 0
                ? fmt::format("{}:{}:{}: {}", path_, m.place.line, m.place.column, m.text)
                : fmt::format("--set: {}", m.text));
    }
    return lines;
}

}  // namespace plenair::file

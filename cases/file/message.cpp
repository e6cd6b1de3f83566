#include "cases/file/message.hpp"

#include "cases/study/visible_text.hpp"
#include "geometry/quantity.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

namespace plenair::file {
namespace {

/// On one line and of a length that can be read; the end, where the remedy stands, is kept.
std::string readable(const std::string& text) {
    constexpr std::size_t longest = 1200, head = 700, tail = 450;
    if (text.size() <= longest) {
        return visible_text(text, LineEnds::written_out);
    }
    const auto inside = [](char c) { return (static_cast<unsigned char>(c) & 0xc0U) == 0x80; };
    std::size_t end = head, begin = text.size() - tail;
    while (end > 0 && inside(text[end])) {
        --end;
    }
    while (begin < text.size() && inside(text[begin])) {
        ++begin;
    }
    return visible_text(text.substr(0, end) + " ... " + text.substr(begin), LineEnds::written_out);
}

/// 199980 as "199,980".
std::string grouped(std::size_t number) {
    std::string digits = fmt::format("{}", number);
    for (std::size_t at = digits.size(); at > 3; at -= 3) {
        digits.insert(at - 3, ",");
    }
    return digits;
}

}  // namespace

bool Messages::First::takes(Place place) const {
    return heap_.size() < most_shown || Message{place, counted_, {}}.rank() < heap_.front().rank();
}

void Messages::First::add(Place place, const std::string& text) {
    const auto before = [](const Message& a, const Message& b) { return a.rank() < b.rank(); };
    if (takes(place)) {
        if (heap_.size() == most_shown) {
            std::pop_heap(heap_.begin(), heap_.end(), before);
            heap_.pop_back();
        }
        heap_.push_back({place, counted_, readable(text)});
        std::push_heap(heap_.begin(), heap_.end(), before);
    }
    count(place);
}

void Messages::First::count(Place place) {
    ++counted_;
    of_file_ += place.line > 0 ? 1 : 0;
}

std::vector<Messages::Message> Messages::First::in_order() const {
    auto sorted = heap_;
    std::sort(sorted.begin(), sorted.end(), [](const Message& a, const Message& b) {
        return a.rank() < b.rank();
    });
    return sorted;
}

std::string Messages::length(double value) const {
    return geometry::format_length(value, units_);
}

std::string Messages::length1(double value) const {
    return geometry::format_as(value, "mm", 1, units_);
}

std::string Messages::bare_length(double value) const {
    const auto text = length(value);
    return text.substr(0, text.find(' '));
}

std::vector<std::string> Messages::error_texts() const {
    std::vector<std::string> texts;
    for (auto& message : errors_.in_order()) {
        texts.push_back(std::move(message.text));
    }
    return texts;
}

std::vector<std::string> Messages::lines(const First& messages) const {
    const auto shown = messages.in_order();
    std::vector<std::string> lines;
    lines.reserve(shown.size() + 1);
    for (const auto& m : shown) {
        lines.push_back(
            m.place.line > 0
                ? fmt::format("{}:{}:{}: {}", path_, m.place.line, m.place.column, m.text)
                : fmt::format("--set: {}", m.text));
    }
    if (messages.counted() > shown.size()) {
        lines.push_back(fmt::format("{}: and {} more; mend these first",
                                    messages.any_of_file() ? path_ : "--set",
                                    grouped(messages.counted() - shown.size())));
    }
    return lines;
}

}  // namespace plenair::file

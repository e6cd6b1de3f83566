#include "cases/study/block.hpp"
#include "cases/study/sweep.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

/// What a sweep came to: its best variants, and why others were lost.
namespace plenair {

namespace {

/// The text with every number as "#".
std::string without_numbers(const std::string& text) {
    std::string pattern;
    for (const char sign : text) {
        const bool digit = std::isdigit(static_cast<unsigned char>(sign)) != 0;
        const bool inside = sign == '.' && pattern.ends_with('#');
        if (!digit && !inside) {
            pattern += sign;
        } else if (!pattern.ends_with('#')) {
            pattern += '#';
        }
    }
    return pattern;
}

bool beats(const BestVariant& a, const BestVariant& b) {
    return a.worst_spread <= b.worst_spread && a.air_flow >= b.air_flow;
}

}  // namespace

void SweepTally::lost(const std::string& text) {
    auto& reason = reasons_[without_numbers(text)];
    if (reason.count++ == 0) {
        reason.text = text;
        reason.first = variants;
    }
    if (first_failure.empty()) {
        first_failure = fmt::format("variant {}: {}", variants, text);
    }
}

void SweepTally::offer(const VariantRecord& record) {
    BestVariant made;
    made.number = variants;
    const auto count = static_cast<double>(record.points.size());
    for (const auto& point : record.points) {
        if (!point.converged) {
            return;
        }
        if (made.worst_point.empty() || point.spread > made.worst_spread) {
            made.worst_spread = point.spread;
            made.worst_point = point.name;
        }
        made.air_flow += point.air_flow / count;
        made.slot_loss += point.slot_loss / count;
    }
    if (record.points.empty() || std::any_of(best.begin(), best.end(), [&](const auto& known) {
            return beats(known, made);
        })) {
        return;
    }
    std::erase_if(best, [&](const auto& known) { return beats(made, known); });
    for (const auto& input : record.inputs) {
        made.inputs.push_back(input.text);
    }
    best.insert(std::upper_bound(
                    best.begin(),
                    best.end(),
                    made,
                    [](const auto& a, const auto& b) { return a.worst_spread < b.worst_spread; }),
                std::move(made));
}

void SweepTally::add(const VariantRecord& record, const std::vector<std::string>& point_names) {
    ++variants;
    points += point_names.size();
    if (!record.failure.empty()) {
        ++failed_variants;
        lost(record.failure);
        return;
    }
    for (const auto& point : record.points) {
        in_double +=
            std::count(point.notes.begin(), point.notes.end(), solved_in_double) > 0 ? 1 : 0;
        if (!point.converged) {
            ++failed_points;
            lost(fmt::format("point {}: {}", point.name, point.failure));
        }
    }
    offer(record);
}

std::vector<LossReason> SweepTally::reasons() const {
    std::vector<LossReason> all;
    for (const auto& [pattern, reason] : reasons_) {
        all.push_back(reason);
    }
    std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) {
        return a.count != b.count ? a.count > b.count : a.first < b.first;
    });
    return all;
}

std::vector<BestVariant> some_of(const std::vector<BestVariant>& best, std::size_t count) {
    if (best.size() <= count || count < 2) {
        return {best.begin(),
                best.begin() + static_cast<std::ptrdiff_t>(std::min(count, best.size()))};
    }
    std::vector<BestVariant> some;
    for (std::size_t i = 0; i < count; ++i) {
        some.push_back(best[i * (best.size() - 1) / (count - 1)]);
    }
    return some;
}

}  // namespace plenair

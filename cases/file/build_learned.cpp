#include "cases/file/build.hpp"
#include "cases/study/entry.hpp"

#include <algorithm>

#include <fmt/format.h>

/// [[learned]]: what a fit says of the model's coefficients.
namespace plenair::file {

void build_learned(const Scope& root, Case& c, Messages& messages) {
    for (const auto& scope : root.list("learned")) {
        const Value* entry = scope.good("learned.entry");
        if (entry == nullptr) {
            continue;
        }
        LearnedEntry learned;
        learned.key = entry->word();
        learned.value = scope.maybe("learned.value").value_or(untouched(learned.key));
        learned.deviation = scope.number("learned.deviation");
        const bool twice =
            std::any_of(c.learned.begin(), c.learned.end(), [&](const LearnedEntry& other) {
                return other.key == learned.key;
            });
        if (twice) {
            refuse(messages, *entry, "stands twice; keep one");
            continue;
        }
        if (const Value* value = scope.good("learned.value")) {
            if (!may_be_moved(learned.key)) {
                refuse(messages,
                       *value,
                       "this coefficient has an entry of its own in the case; leave value out");
            } else if (!within_bounds(c, learned.key, learned.value)) {
                refuse(messages, *value, "beyond what a fit may say of it; fit again");
            }
        }
        if (const Value* value = scope.good("learned.correlation")) {
            learned.correlation = value->numbers;
            if (learned.correlation.size() > c.learned.size()) {
                refuse(messages,
                       *value,
                       fmt::format("{} numbers, and {} entries stand above; give one for each",
                                   learned.correlation.size(),
                                   c.learned.size()));
                learned.correlation.resize(c.learned.size());
            }
        }
        c.learned.push_back(std::move(learned));
        if (const Value* value = scope.good("learned.correlation");
            value != nullptr && !possible(c.learned)) {
            refuse(messages, *value, "no numbers have these correlations together; fit again");
            c.learned.back().correlation.clear();
        }
    }
    if (!messages.any_error()) {
        apply_learned(c);
    }
}

}  // namespace plenair::file

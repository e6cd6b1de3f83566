#include "cases/file/key.hpp"

#include "cases/file/keys_goal.hpp"

#include <algorithm>
#include <numeric>

namespace plenair::file {
namespace {

/// Insertions, deletions, replacements and swaps of neighbours that lead from one word to the other
/// (optimal string alignment; Damerau 1964, from memory).
/// @returns `most` where they are at least so far apart
std::size_t edit_distance(std::string_view a, std::string_view b, std::size_t most) {
    const std::size_t longer = std::max(a.size(), b.size());
    if (longer - std::min(a.size(), b.size()) >= most) {
        return most;
    }
    std::vector<std::size_t> before(b.size() + 1);
    std::vector<std::size_t> last(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(last.begin(), last.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replace = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            row[j] = std::min({replace, last[j] + 1, row[j - 1] + 1});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                row[j] = std::min(row[j], before[j - 2] + 1);
            }
        }
        if (*std::min_element(row.begin(), row.end()) > most) {
            return most;
        }
        before.swap(last);
        last.swap(row);
    }
    return std::min(last[b.size()], most);
}

std::vector<Key> make_table() {
    std::vector<Key> table;
    add_engine_keys(table);
    add_intake_keys(table);
    add_runner_keys(table);
    add_point_keys(table);
    add_curve_keys(table);
    add_fuel_keys(table);
    add_model_keys(table);
    add_sweep_keys(table);
    add_choose_keys(table);
    add_tolerance_keys(table);
    add_learned_keys(table);
    return table;
}

}  // namespace

KeyTable::KeyTable(std::vector<Key> keys, std::vector<SectionDoc> sections, std::string_view manual)
    : keys_(std::move(keys)), sections_(std::move(sections)), manual_(manual) {
    for (const auto& key : keys_) {
        names_.emplace_back(key.name);
        for (auto dot = key.name.find('.'); dot != std::string_view::npos;
             dot = key.name.find('.', dot + 1)) {
            names_.emplace_back(key.name.substr(0, dot));
        }
    }
}

const Key* KeyTable::find(std::string_view name) const {
    const auto found =
        std::find_if(keys_.begin(), keys_.end(), [&](const Key& k) { return k.name == name; });
    return found == keys_.end() ? nullptr : &*found;
}

bool KeyTable::is_section(std::string_view name) const {
    return std::any_of(keys_.begin(), keys_.end(), [&](const Key& k) {
        return k.name.size() > name.size() && k.name.starts_with(name) &&
               k.name[name.size()] == '.';
    });
}

std::string KeyTable::nearest(std::string_view name) const {
    // Longer keys are not worth a comparison: no key of the table is that long.
    if (constexpr std::size_t longest = 80; name.size() > longest) {
        return {};
    }
    return nearest_word(name, names_);
}

const KeyTable& case_table() {
    static const KeyTable table(make_table(), section_docs(), "docs/case-file.md");
    return table;
}

const KeyTable& measured_table() {
    static const KeyTable table(
        [] {
            std::vector<Key> keys;
            add_measured_keys(keys);
            return keys;
        }(),
        measured_section_docs(),
        "docs/measured-file.md");
    return table;
}

const std::vector<Key>& keys() {
    return case_table().keys();
}

const Key* find_key(std::string_view name) {
    return case_table().find(name);
}

bool is_section(std::string_view name) {
    return case_table().is_section(name);
}

std::string nearest_word(std::string_view word, const std::vector<std::string>& words) {
    std::string best;
    std::size_t least = std::max<std::size_t>(1, word.size() / 3) + 1;
    for (const auto& candidate : words) {
        if (const auto distance = edit_distance(word, candidate, least); distance < least) {
            least = distance;
            best = candidate;
        }
    }
    return best;
}

std::string nearest_key(std::string_view name) {
    return case_table().nearest(name);
}

std::vector<std::string> split(std::string_view text, char separator) {
    std::vector<std::string> parts;
    while (true) {
        const auto at = text.find(separator);
        parts.emplace_back(text.substr(0, at));
        if (at == std::string_view::npos) {
            return parts;
        }
        text.remove_prefix(at + 1);
    }
}

}  // namespace plenair::file

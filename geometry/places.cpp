#include "geometry/places.hpp"

#include "geometry/quantity.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace plenair::geometry {

namespace {

/// Mouths closer than this along x stand side by side [m].
constexpr double same_place = 1e-6;

constexpr const char* plenum_word = "plenum";

std::string joined(const std::vector<std::string>& parts) {
    std::string text;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        text += (i == 0 ? "" : i + 1 == parts.size() ? " and " : ", ") + parts[i];
    }
    return text;
}

std::string chamber_of(const Bank& bank, const Throttle& throttle) {
    return throttle.feeds == FeedTarget::pre_chamber && bank.pre_chamber ? "the pre-chamber"
                                                                         : "the plenum";
}

/// "the pre-chamber is open at x = 0"
void add_open_ends(const std::optional<Chamber>& chamber,
                   const std::string& name,
                   std::vector<std::string>& words) {
    if (!chamber || !(chamber->open_start || chamber->open_end)) {
        return;
    }
    words.push_back(name + " is open at " +
                    (chamber->open_start && chamber->open_end ? "both ends"
                     : chamber->open_start                    ? std::string(start_name)
                                                              : std::string(end_name)));
}

}  // namespace

int cylinder_of(const Bank& bank, std::size_t runner) {
    return runner < bank.cylinders.size() ? bank.cylinders[runner] : static_cast<int>(runner) + 1;
}

Row row_of(const Bank& bank) {
    std::vector<std::size_t> order(bank.runners.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return bank.runners[a].x < bank.runners[b].x;
    });
    Row row;
    for (const std::size_t i : order) {
        row.cylinders.push_back(cylinder_of(bank, i));
    }
    if (order.empty()) {
        return row;
    }
    const double low = bank.runners[order.front()].x, high = bank.runners[order.back()].x;
    if (high - low <= same_place) {
        return row;
    }
    for (const std::size_t i : order) {
        if (bank.runners[i].x - low <= same_place) {
            row.first.push_back(cylinder_of(bank, i));
        } else if (high - bank.runners[i].x <= same_place) {
            row.last.push_back(cylinder_of(bank, i));
        }
    }
    return row;
}

std::string bank_name(const Intake& intake, std::size_t bank) {
    if (intake.banks.size() < 2) {
        return {};
    }
    const std::string& name = intake.banks[bank].name;
    return name.empty() ? "bank " + std::to_string(bank + 1) : name;
}

std::string bank_prefix(const std::string& bank_name) {
    return bank_name.empty() ? std::string{} : bank_name + ": ";
}

std::string entry_prefix(const Intake& intake, std::size_t bank) {
    if (intake.banks.size() < 2) {
        return {};
    }
    const std::string& name = intake.banks[bank].name;
    const bool usable = !name.empty() && name.find_first_of(".=") == std::string::npos;
    return "bank." + (usable ? name : std::to_string(bank + 1)) + ".";
}

std::string chamber_name(const std::string& bank_name, ChamberKind kind) {
    const std::string own = kind == ChamberKind::plenum ? plenum_word : "pre-chamber";
    return bank_name.empty() ? own : bank_name + " " + own;
}

bool is_plenum(const std::string& chamber_name) {
    // A bank may be named "plenum side": its own word is the last one.
    return chamber_name == plenum_word || chamber_name.ends_with(" " + std::string(plenum_word));
}

std::string bank_words(const std::string& bank_name) {
    return bank_name.empty() || bank_name.starts_with("bank ") ? bank_name : "bank " + bank_name;
}

FeedEnd feed_end(const Bank& bank) {
    const auto& chamber = bank.pre_chamber ? bank.pre_chamber : bank.plenum;
    bool start = chamber && chamber->open_start, far = chamber && chamber->open_end;
    for (const auto& throttle : bank.throttles) {
        const bool behind =
            bank.pre_chamber.has_value() && throttle.feeds != FeedTarget::pre_chamber;
        if (throttle.position == FeedPosition::side || behind) {
            return FeedEnd::none;
        }
        (throttle.position == FeedPosition::start ? start : far) = true;
    }
    return start == far ? FeedEnd::none : start ? FeedEnd::start : FeedEnd::far;
}

std::string feed_place(const Throttle& throttle, const OutputUnits& units) {
    switch (throttle.position) {
        case FeedPosition::start:
            return std::string("at ") + start_name;
        case FeedPosition::end:
            return std::string("at ") + end_name;
        default:
            return "through the side wall at x " +
                   format_quantity(throttle.x, Dimension::length, PressureKind::absolute, units);
    }
}

std::string feed_words(const Bank& bank, const OutputUnits& units) {
    std::vector<std::string> words;
    const bool several = bank.throttles.size() > 1;
    for (std::size_t i = 0; i < bank.throttles.size(); ++i) {
        const auto& throttle = bank.throttles[i];
        words.push_back((i == 0 && !several ? std::string("the throttle")
                                            : "throttle " + std::to_string(i + 1)) +
                        (i == 0 ? " feeds " : " ") + chamber_of(bank, throttle) + " " +
                        feed_place(throttle, units));
    }
    add_open_ends(bank.pre_chamber, "the pre-chamber", words);
    add_open_ends(bank.plenum, "the plenum", words);
    std::string text;
    for (const auto& part : words) {
        text += (text.empty() ? "" : ", ") + part;
    }
    return text;
}

std::string feed_words(const Intake& intake, const OutputUnits& units) {
    std::vector<std::string> each;
    for (const auto& bank : intake.banks) {
        each.push_back(feed_words(bank, units));
    }
    const bool alike =
        std::all_of(each.begin(), each.end(), [&](const auto& text) { return text == each[0]; });
    if (each.empty()) {
        return {};
    }
    if (each.size() == 1) {
        return each[0];
    }
    if (alike) {
        return each[0].empty() ? each[0] : "in every bank " + each[0];
    }
    std::string text;
    for (std::size_t i = 0; i < each.size(); ++i) {
        text += (i > 0 ? "; " : "") + bank_prefix(bank_name(intake, i)) + each[i];
    }
    return text;
}

std::string listed(const std::vector<int>& numbers) {
    std::vector<std::string> parts;
    for (const int number : numbers) {
        parts.push_back(std::to_string(number));
    }
    return joined(parts);
}

std::string cylinder_words(const std::vector<int>& numbers) {
    return (numbers.size() == 1 ? "cylinder " : "cylinders ") + listed(numbers);
}

std::string end_bias_words(const Row& row) {
    return row.first.empty() ? std::string{}
                             : cylinder_words(row.last) + " at " + end_name + " minus " +
                                   cylinder_words(row.first) + " at " + start_name;
}

}  // namespace plenair::geometry

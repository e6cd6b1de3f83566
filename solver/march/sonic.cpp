#include "solver/march/sonic.hpp"

#include "geometry/places.hpp"
#include "solver/cylinder/crank_table.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace plenair {

namespace {

// The ends' Newton passes are good to 1e-6 of the flow, a thousandth of the Mach number near 1.
constexpr double sonic_end = 0.995;
constexpr double least_share = 0.02;  // of what a place passes
constexpr double same_angles = 3.0;  // beside a step: cylinders alike share a sentence [deg]
constexpr double short_pause = 5.0;  // between two spells that count as one [deg]

double degrees(double angle) {
    return angle * 180.0 / std::numbers::pi;
}

constexpr const char* valve_head = "valve";  // of cylinders

std::string whole(double number) {
    return std::to_string(std::lround(number));
}

}  // namespace

void SonicWatch::begin() {
    crank_.clear();
    step_.clear();
    chains_.assign(n_.chains.size() * place_count, {});
    passages_.assign(n_.passages.size(), {});
    fastest_.assign(n_.chains.size(), 0);
    peak_.assign(n_.chains.size(), 0.0);
}

void SonicWatch::note(Record& record, bool sonic, double mass) {
    record.sonic.push_back(sonic ? 1 : 0);
    record.passed += std::abs(mass);
    if (sonic) {
        record.passed_sonic += std::abs(mass);
        record.back_sonic += std::max(-mass, 0.0);
    }
}

void SonicWatch::look(const Snapshot& seen, double crank, double length) {
    crank_.push_back(crank);
    step_.push_back(length * point_.speed);
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        const Chain& chain = n_.chains[c];
        Record* record = &chains_[c * place_count];
        for (const int end : {0, 1}) {
            const std::size_t e = 2 * c + static_cast<std::size_t>(end);
            // Along the way of the air: in at the start, out at the end of a runner.
            const bool out = end == 1 && chain.end == EndKind::valve;
            const double mass = (out ? -seen.end_flow[e] : seen.end_flow[e]) * length;
            note(record[end == 0 ? at_start : at_end],
                 std::abs(seen.end_mach[e]) >= sonic_end,
                 mass);
            note(record[end == 0 ? start_opening : end_opening], seen.end_choke[e] >= 1.0, mass);
        }
        double peak = 0.0;
        int fastest = chain.first;
        for (int i = chain.first; i < chain.first + chain.count; ++i) {
            const double mach = std::abs(seen.mach[static_cast<std::size_t>(i)]);
            if (mach > peak) {
                peak = mach;
                fastest = i;
            }
        }
        if (peak > peak_[c]) {
            peak_[c] = peak;
            fastest_[c] = fastest;
        }
        const auto cell = static_cast<std::size_t>(fastest);
        note(record[inside], peak >= 1.0, seen.pressure[cell] * seen.mach[cell] * length);
    }
    for (std::size_t i = 0; i < n_.passages.size(); ++i) {
        const double m = seen.passage_mach[i];
        note(passages_[i], m >= 1.0, m * length);
    }
}

bool SonicWatch::limits(const Record& record) const {
    return record.passed_sonic > least_share * record.passed;
}

SonicWatch::Finding SonicWatch::finding(const Record& record, int cylinder) const {
    Finding f;
    f.cylinder = cylinder;
    f.share = record.passed_sonic / record.passed;
    f.back = record.back_sonic > 0.5 * record.passed_sonic;
    const std::size_t count = record.sonic.size();
    const auto on = [&](std::size_t k) { return record.sonic[k % count] != 0; };
    f.always = std::all_of(record.sonic.begin(), record.sonic.end(), [](auto s) { return s != 0; });
    if (f.always) {
        return f;
    }
    // The longest spell, begun behind a pause; short pauses are bridged.
    std::size_t begin = 0;
    while (on(begin) || !on(begin + 1)) {
        ++begin;
    }
    ++begin;
    double longest = -1.0;
    std::size_t spells = 0;
    for (std::size_t k = begin; k < begin + count;) {
        if (!on(k)) {
            ++k;
            continue;
        }
        double length = 0.0;
        double pause = 0.0;
        std::size_t last = k;
        for (std::size_t j = k; j < begin + count && pause < short_pause; ++j) {
            const double step = degrees(step_[j % count]);
            pause = on(j) ? 0.0 : pause + step;
            if (on(j)) {
                last = j;
            }
        }
        for (std::size_t j = k; j <= last; ++j) {
            length += degrees(step_[j % count]);
        }
        ++spells;
        if (length > longest) {
            longest = length;
            const double at = crank_[k % count];
            f.from = degrees(cylinder_angle(engine_, std::max(cylinder, 1), at));
            f.to = f.from + length;
        }
        k = last + 1;
    }
    f.again = spells > 1;
    return f;
}

void SonicWatch::find_chain(std::size_t c, std::vector<Finding>& found) const {
    const Chain& chain = n_.chains[c];
    const Record* record = &chains_[c * place_count];
    const bool runner = chain.end == EndKind::valve;
    const int cylinder = runner ? chain.cylinder + 1 : 0;
    const auto add = [&](const Record& of, std::string head, std::string tail) {
        Finding f = finding(of, cylinder);
        f.head = std::move(head);
        f.tail = std::move(tail);
        found.push_back(std::move(f));
    };
    const std::string name = runner ? "runner" : "the " + chain.name;
    bool at_an_end = false;
    for (const bool start : {true, false}) {
        const Record& end = record[start ? at_start : at_end];
        const Record& opening = record[start ? start_opening : end_opening];
        const char* where = start ? geometry::start_name : geometry::end_name;
        if (limits(end)) {
            at_an_end = true;
            add(end,
                name,
                runner ? (start ? "is sonic at the mouth" : "is sonic at the valve end")
                       : std::string("is sonic at ") + where);
        } else if (limits(opening)) {
            if (runner) {
                add(opening, valve_head, "is choked");
            } else {
                add(opening, "the throttle at " + std::string(where) + " of " + name, "is choked");
            }
        }
    }
    if (!at_an_end && limits(record[inside])) {
        const double x = (fastest_[c] - chain.first + 0.5) * chain.dx;
        add(record[inside],
            name,
            "is sonic " + whole(1e3 * x) + " mm from " + (runner ? "the mouth" : "x = 0"));
    }
}

/// Slot cells and holes that choke together are one place; a throttle in a side wall is its own.
void SonicWatch::find_slots(std::vector<Finding>& found) const {
    Record all;
    double first = 0.0;
    double last = 0.0;
    bool any = false;
    for (std::size_t i = 0; i < n_.passages.size(); ++i) {
        const Passage& p = n_.passages[i];
        if (!limits(passages_[i])) {
            continue;
        }
        if (!p.slot) {
            Finding f = finding(passages_[i], 0);
            f.head = "the throttle in the side at x " + whole(1e3 * p.x) + " mm";
            f.tail = "is choked";
            found.push_back(std::move(f));
            continue;
        }
        const double from = p.x - 0.5 * p.length;
        const double to = p.x + 0.5 * p.length;
        first = any ? std::min(first, from) : from;
        last = any ? std::max(last, to) : to;
        any = true;
        all.passed += passages_[i].passed;
        all.passed_sonic += passages_[i].passed_sonic;
        all.sonic.resize(passages_[i].sonic.size(), 0);
        for (std::size_t k = 0; k < all.sonic.size(); ++k) {
            all.sonic[k] |= passages_[i].sonic[k];
        }
    }
    if (any) {
        Finding f = finding(all, 0);
        f.head = "the slot";
        f.tail = "is sonic between x " + whole(1e3 * first) + " and " + whole(1e3 * last) + " mm";
        found.push_back(std::move(f));
    }
}

std::vector<std::string> SonicWatch::sentences() const {
    std::vector<Finding> found;
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        find_chain(c, found);
    }
    find_slots(found);
    const double near =
        same_angles +
        (step_.empty() ? 0.0 : degrees(*std::max_element(step_.begin(), step_.end())));
    std::vector<std::string> text;
    std::vector<bool> told(found.size(), false);
    for (std::size_t i = 0; i < found.size(); ++i) {
        if (told[i]) {
            continue;
        }
        const Finding& f = found[i];
        std::vector<int> cylinders;
        double least = f.share;
        double most = f.share;
        for (std::size_t j = i; j < found.size() && f.cylinder > 0; ++j) {
            const Finding& other = found[j];
            if (!told[j] && other.head == f.head && other.tail == f.tail && other.back == f.back &&
                std::abs(other.from - f.from) <= near && std::abs(other.to - f.to) <= near) {
                told[j] = true;
                cylinders.push_back(other.cylinder);
                least = std::min(least, other.share);
                most = std::max(most, other.share);
            }
        }
        std::sort(cylinders.begin(), cylinders.end());
        std::string words = f.head;
        std::string tail = f.tail;
        if (!cylinders.empty()) {
            const bool several = cylinders.size() > 1;
            words = f.head == valve_head
                        ? (several ? "the intake valves of " : "the intake valve of ") +
                              geometry::cylinder_words(cylinders)
                        : words + (several ? "s " : " ") + geometry::listed(cylinders);
            if (several) {
                tail = "are " + tail.substr(3);
            }
        }
        words += " " + tail;
        if (f.back) {
            words += " while gas blows back";
        }
        words += f.always ? std::string(" over the whole cycle")
                          : " from " + whole(f.from) + " to " + whole(f.to) + " deg after " +
                                (f.cylinder == 0        ? "firing TDC of cylinder 1"
                                 : cylinders.size() > 1 ? "their own firing TDC"
                                                        : "its firing TDC");
        if (f.again) {
            words += " and at other angles";
        }
        const std::string low = whole(100.0 * least);
        const std::string high = whole(100.0 * most);
        words += ", with " + (low == high ? low : low + " to " + high) + " % of what passes there";
        text.push_back(words);
    }
    return text;
}

}  // namespace plenair

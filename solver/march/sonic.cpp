#include "solver/march/sonic.hpp"

#include "solver/cylinder/crank_table.hpp"
#include "solver/march/bank_of.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace plenair {

namespace {

// The ends' Newton passes are good to 1e-6 of the flow, a thousandth of the Mach number near 1.
constexpr double sonic_end = 0.995;
constexpr double least_share = 0.02;  // of what a place passes
constexpr double short_pause = 5.0 * std::numbers::pi / 180.0;  // between spells that count as one

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

void SonicWatch::observe(const Snapshot& snapshot, double crank, double length) {
    crank_.push_back(crank);
    step_.push_back(length * point_.speed);
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        const Chain& chain = n_.chains[c];
        Record* record = &chains_[c * place_count];
        for (const int end : {0, 1}) {
            const std::size_t e = 2 * c + static_cast<std::size_t>(end);
            // Along the way of the air: in at the start, out at the end of a runner.
            const bool out = end == 1 && chain.end == EndKind::valve;
            const double mass = (out ? -snapshot.end_flow[e] : snapshot.end_flow[e]) * length;
            note(record[end == 0 ? at_start : at_end],
                 std::abs(snapshot.end_mach[e]) >= sonic_end,
                 mass);
            note(
                record[end == 0 ? start_opening : end_opening], snapshot.end_choke[e] >= 1.0, mass);
        }
        double peak = 0.0;
        int fastest = chain.first;
        for (int i = chain.first; i < chain.first + chain.count; ++i) {
            const double mach = std::abs(snapshot.mach[static_cast<std::size_t>(i)]);
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
        note(record[inside], peak >= 1.0, snapshot.pressure[cell] * snapshot.mach[cell] * length);
    }
    for (std::size_t i = 0; i < n_.passages.size(); ++i) {
        const double m = snapshot.passage_mach[i];
        note(passages_[i], m >= 1.0, m * length);
    }
}

bool SonicWatch::limits(const Record& record) const {
    return record.passed_sonic > least_share * record.passed;
}

SonicSection SonicWatch::section(const Record& record, int cylinder) const {
    SonicSection f;
    f.cylinder = cylinder;
    f.step = *std::max_element(step_.begin(), step_.end());
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
            const double step = step_[j % count];
            pause = on(j) ? 0.0 : pause + step;
            if (on(j)) {
                last = j;
            }
        }
        for (std::size_t j = k; j <= last; ++j) {
            length += step_[j % count];
        }
        ++spells;
        if (length > longest) {
            longest = length;
            const double at = crank_[k % count];
            f.from = cylinder_angle(engine_, std::max(cylinder, 1), at);
            f.to = f.from + length;
        }
        k = last + 1;
    }
    f.again = spells > 1;
    return f;
}

void SonicWatch::find_chain(std::size_t c, std::vector<SonicSection>& found) const {
    const Chain& chain = n_.chains[c];
    const Record* record = &chains_[c * place_count];
    const bool runner = chain.end == EndKind::valve;
    const auto add = [&](const Record& of, SonicSection::Part part, SonicSection::Place place) {
        SonicSection& now = found.emplace_back(section(of, runner ? chain.cylinder + 1 : 0));
        now.part = part;
        now.place = place;
        if (!runner) {
            now.chamber = chain.name;
            now.bank = bank_name(n_, chain);
        }
    };
    const auto own = runner ? SonicSection::Part::runner : SonicSection::Part::chamber;
    bool at_an_end = false;
    for (const bool start : {true, false}) {
        const Record& end = record[start ? at_start : at_end];
        const Record& opening = record[start ? start_opening : end_opening];
        const auto place = start ? SonicSection::Place::start : SonicSection::Place::end;
        if (limits(end)) {
            at_an_end = true;
            add(end, own, place);
        } else if (limits(opening)) {
            add(opening, runner ? SonicSection::Part::valve : SonicSection::Part::throttle, place);
        }
    }
    if (!at_an_end && limits(record[inside])) {
        add(record[inside], own, SonicSection::Place::inside);
        found.back().x = found.back().x_to = (fastest_[c] - chain.first + 0.5) * chain.dx;
    }
}

/// Cells and holes of a slot that choke together are one place; a throttle in a side wall is its
/// own.
void SonicWatch::find_passages(std::vector<SonicSection>& found) const {
    struct Slot {
        const Chain* chamber;
        Record all;
        double from, to;
    };
    std::vector<Slot> slots;
    for (std::size_t i = 0; i < n_.passages.size(); ++i) {
        const Passage& p = n_.passages[i];
        if (!limits(passages_[i])) {
            continue;
        }
        const Chain* chamber = chamber_of(n_, p.slot ? p.from : p.to);
        if (!p.slot) {
            SonicSection& now = found.emplace_back(section(passages_[i], 0));
            now.part = SonicSection::Part::throttle;
            now.x = now.x_to = p.x;
            if (chamber != nullptr) {
                now.chamber = chamber->name;
                now.bank = bank_name(n_, *chamber);
            }
            continue;
        }
        auto slot = std::find_if(
            slots.begin(), slots.end(), [&](const Slot& each) { return each.chamber == chamber; });
        const double from = p.x - 0.5 * p.length;
        const double to = p.x + 0.5 * p.length;
        if (slot == slots.end()) {
            slot = slots.insert(slot, {chamber, {}, from, to});
        }
        slot->from = std::min(slot->from, from);
        slot->to = std::max(slot->to, to);
        slot->all.passed += passages_[i].passed;
        slot->all.passed_sonic += passages_[i].passed_sonic;
        slot->all.sonic.resize(passages_[i].sonic.size(), 0);
        for (std::size_t k = 0; k < slot->all.sonic.size(); ++k) {
            slot->all.sonic[k] |= passages_[i].sonic[k];
        }
    }
    for (const Slot& slot : slots) {
        SonicSection& now = found.emplace_back(section(slot.all, 0));
        now.part = SonicSection::Part::slot;
        now.x = slot.from;
        now.x_to = slot.to;
        if (slot.chamber != nullptr) {
            now.chamber = slot.chamber->name;
            now.bank = bank_name(n_, *slot.chamber);
        }
    }
}

std::vector<SonicSection> SonicWatch::sections() const {
    std::vector<SonicSection> found;
    for (std::size_t c = 0; c < n_.chains.size(); ++c) {
        find_chain(c, found);
    }
    find_passages(found);
    return found;
}

}  // namespace plenair

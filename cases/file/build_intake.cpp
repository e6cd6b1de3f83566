#include "cases/file/build.hpp"

#include <algorithm>
#include <map>
#include <numeric>
#include <set>

#include <fmt/format.h>

namespace plenair::file {
namespace {

void build_cylinders(const Scope& scope, geometry::Bank& bank) {
    if (const Value* list = scope.good("bank.cylinders")) {
        for (const double cylinder : list->numbers) {
            bank.cylinders.push_back(static_cast<int>(cylinder));
        }
    } else {
        bank.cylinders.resize(bank.runners.size());
        std::iota(bank.cylinders.begin(), bank.cylinders.end(), 1);
    }
}

/// What an engine needs to breathe, and what a rig needs to be fed.
/// @param closed  a rig's chamber may be closed all round
void check_parts(const Scope& scope, bool engine, bool closed, Messages& messages) {
    const auto missing = [&](const std::string& section) {
        messages.error(
            scope.place_of_section(scope.pattern.empty() ? "engine" : scope.pattern),
            fmt::format("no [{}]: an engine needs it; add the section", shown_key(scope, section)));
    };
    for (const std::string section : {"plenum", "runner"}) {
        if (engine && !scope.has(section)) {
            missing(section);
        }
    }
    for (const std::string part : {"pre_chamber", "plenum"}) {
        if (const Value* outlet = scope.good(part + ".outlet_loss"); outlet && engine) {
            refuse(messages, *outlet, "with an engine; only a rig has an outlet; leave it out");
        }
    }
    const bool open = scope.find("pre_chamber.feed") || scope.find("plenum.feed");
    if (!open && !scope.has("throttle") && (engine || !closed)) {
        if (engine) {
            missing("throttle");
        } else if (const std::string first = scope.has("pre_chamber") ? "pre_chamber" : "plenum";
                   scope.has(first)) {
            messages.error(scope.place_of_section(first),
                           fmt::format("{}: nothing lets air in; add [throttle] or write feed = "
                                       "\"open\"",
                                       shown_key(scope, first)));
        }
    }
    if (scope.has("pre_chamber") && scope.has("plenum") && !scope.has("slot")) {
        messages.error(scope.place_of_section("pre_chamber"),
                       fmt::format("{}: no slot leads from it to the plenum; add [slot]",
                                   shown_key(scope, "pre_chamber")));
    }
    if (engine && scope.has("slot") && !scope.has("pre_chamber")) {
        messages.error(
            scope.place_of_section("slot"),
            fmt::format("{}: no chamber before it; add [pre_chamber]", shown_key(scope, "slot")));
    }
}

void check_cylinders(const Scope& scope,
                     const geometry::Bank& bank,
                     int cylinders,
                     std::map<int, std::string>& taken,
                     Messages& messages) {
    const Value* list = scope.find("bank.cylinders");
    if (!list) {
        messages.error(
            scope.place,
            fmt::format("{}.cylinders: missing; write cylinders = [1, 2, 3]", scope.shown));
        return;
    }
    if (!list->good) {
        return;
    }
    if (bank.cylinders.size() != bank.runners.size() && scope.good("runner.x")) {
        refuse(messages,
               *list,
               fmt::format("{} cylinders for {} runners; give one each",
                           bank.cylinders.size(),
                           bank.runners.size()));
    }
    for (const int cylinder : bank.cylinders) {
        if (cylinder > cylinders) {
            refuse(
                messages,
                *list,
                fmt::format("cylinder {} of {}; check engine.firing_order", cylinder, cylinders));
        } else if (const auto [at, fresh] = taken.emplace(cylinder, scope.shown); !fresh) {
            refuse(messages,
                   *list,
                   fmt::format(
                       "cylinder {} already breathes from {}; name it once", cylinder, at->second));
        }
    }
}

/// Banks may be meant by their numbers, too, and one without a name is "bank 2": such a name of
/// another bank would mean two.
void refuse_other_number(const Value& name,
                         std::size_t number,
                         std::size_t count,
                         Messages& messages) {
    for (std::size_t other = 1; other <= count; ++other) {
        const std::string called = std::to_string(other);
        if (other != number && (name.word() == called || name.word() == "bank " + called)) {
            refuse(messages,
                   name,
                   fmt::format("means bank {} by its place, and this is bank {}; give it a word",
                               other,
                               number));
        }
    }
}

void check_single(const Scope& root, int cylinders, Messages& messages) {
    const Value* x = root.good("runner.x");
    if (x && root.good("engine.firing_order") &&
        x->numbers.size() != static_cast<std::size_t>(cylinders)) {
        refuse(
            messages,
            *x,
            fmt::format(
                "{} runners for {} cylinders; give one mouth each", x->numbers.size(), cylinders));
    }
}

}  // namespace

geometry::Bank build_bank(const Scope& scope, Messages& messages) {
    geometry::Bank bank;
    bank.name = scope.word("bank.name");
    for (const auto& throttle : scope.list("throttle")) {
        bank.throttles.push_back(build_throttle(throttle, scope.has("pre_chamber"), messages));
    }
    if (scope.has("pre_chamber")) {
        bank.pre_chamber = build_chamber(scope, "pre_chamber", messages);
    }
    if (scope.has("slot")) {
        bank.slot = build_slot(scope, messages);
    }
    if (scope.has("plenum")) {
        bank.plenum = build_chamber(scope, "plenum", messages);
    }
    if (scope.has("runner")) {
        bank.runners = build_runners(scope, messages);
    }
    build_cylinders(scope, bank);
    check_bank(scope, bank, messages);
    return bank;
}

geometry::Intake build_intake(const Scope& root, int cylinders, Messages& messages) {
    geometry::Intake intake;
    const bool engine = root.has("engine");
    const bool closed = root.has("transient") || root.has("response");
    const auto& banks = root.list("bank");
    if (banks.empty()) {
        intake.banks.push_back(build_bank(root, messages));
        check_parts(root, engine, closed, messages);
        check_single(root, cylinders, messages);
        return intake;
    }
    for (const std::string part : {"throttle", "pre_chamber", "slot", "plenum", "runner"}) {
        if (root.has(part)) {
            messages.error(
                root.place_of_section(part),
                fmt::format("[{0}] beside [[bank]]; move it into a bank as [bank.{0}]", part));
        }
    }
    std::map<int, std::string> taken;
    std::set<std::string> names;
    for (const auto& scope : banks) {
        const Value* name = scope.good("bank.name");
        if (name != nullptr && !names.insert(name->word()).second) {
            refuse(messages, *name, "two banks of this name; give each its own");
        } else if (name != nullptr) {
            refuse_other_number(*name, intake.banks.size() + 1, banks.size(), messages);
        }
        intake.banks.push_back(build_bank(scope, messages));
        check_parts(scope, engine, closed, messages);
        if (engine) {
            check_cylinders(scope, intake.banks.back(), cylinders, taken, messages);
        }
    }
    for (int cylinder = 1; engine && cylinder <= cylinders; ++cylinder) {
        const bool listed = std::all_of(banks.begin(), banks.end(), [](const Scope& scope) {
            return scope.good("bank.cylinders") != nullptr;
        });
        if (listed && taken.find(cylinder) == taken.end()) {
            messages.error(banks.front().place,
                           fmt::format("no bank feeds cylinder {}; add it to cylinders", cylinder));
        }
    }
    return intake;
}

}  // namespace plenair::file

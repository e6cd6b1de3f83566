#include "cases/file/build.hpp"
#include "cases/file/humidity.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace plenair::file {
namespace {

bool any_slot(const geometry::Intake& intake) {
    return std::any_of(intake.banks.begin(), intake.banks.end(), [](const auto& bank) {
        return bank.slot.has_value();
    });
}

bool any_runner(const Scope& root) {
    const auto& banks = root.list("bank");
    return root.has("runner") || std::any_of(banks.begin(), banks.end(), [](const Scope& bank) {
               return bank.has("runner");
           });
}

void check_depression(const Scope& root, Messages& messages) {
    const Value* depression = root.good("bench.depression");
    if (!depression) {
        return;
    }
    // Usual range of flow benches (common practice); rigs at low speed use less.
    constexpr double low = 10;
    constexpr double high = 60;
    const double inches = geometry::to_unit(depression->number(), "inH2O");
    if (inches > high || (inches < low && root.has("engine"))) {
        caution(messages, *depression, fmt::format("{:.3g} inH2O: outside usual 10-60", inches));
    }
    const Value pressure =
        root.value(root.find("bench.pressure") ? "bench.pressure" : "source.pressure");
    if (!pressure.numbers.empty() && depression->number() >= pressure.number()) {
        refuse(messages,
               *depression,
               fmt::format("not below the pressure of the air before it ({} kPa abs); check both",
                           geometry::format_in(pressure.number(), "kPa")));
    }
}

std::vector<std::string> set_ups(const Scope& root,
                                 const geometry::Intake& intake,
                                 Messages& messages) {
    const bool slot = any_slot(intake);
    const bool runner = any_runner(root);
    std::vector<std::string> names;
    if (const Value* given = root.good("bench.set_ups")) {
        for (const auto& name : given->words) {
            if (name == "valve" && !root.has("valve.intake")) {
                refuse(messages, *given, "there is no [valve.intake] for \"valve\"; add it");
            } else if (name == "valve" && !root.find("bench.lifts")) {
                refuse(messages,
                       *given,
                       "no lifts for \"valve\"; write e.g. lifts = \"2, 4, 6, 8, 10 mm\"");
            } else if (name == "slot" ? !slot : !runner) {
                refuse(messages,
                       *given,
                       fmt::format("there is no [{0}] for \"{1}\"; add it or leave \"{1}\" out",
                                   name == "slot" ? "slot" : "runner",
                                   name));
            }
        }
        return given->words;
    }
    if (slot) {
        names.emplace_back("slot");
    }
    if (runner) {
        names.insert(names.end(), {"runners", "all"});
    }
    if (runner && root.find("bench.lifts")) {
        names.emplace_back("valve");
    }
    return names;
}

/// Air that is drawn in through slot and runners can leave only where the header is open.
void check_direction(const Scope& root, const geometry::Intake& intake, Messages& messages) {
    const Value* direction = root.good("bench.direction");
    if (direction == nullptr || direction->word() != "in") {
        return;
    }
    if (root.has("engine")) {
        refuse(messages, *direction, "with an engine; only a rig may be turned round");
        return;
    }
    if (const Value* lifts = root.good("bench.lifts")) {
        refuse(
            messages,
            *lifts,
            "beside direction = \"in\": heads are flowed towards the cylinder; leave one of them "
            "out");
    }
    for (const auto& bank : intake.banks) {
        const auto open = [](const std::optional<geometry::Chamber>& c) {
            return c && (c->open_start || c->open_end);
        };
        const auto outlet = [](const std::optional<geometry::Chamber>& c) {
            return c && c->outlet_loss.has_value();
        };
        if (!bank.throttles.empty() || !(open(bank.pre_chamber) || open(bank.plenum))) {
            refuse(messages,
                   *direction,
                   "the air has no way out; write feed = \"open\" in place of a throttle");
        } else if (outlet(bank.pre_chamber) || outlet(bank.plenum)) {
            refuse(messages,
                   *direction,
                   "beside outlet_loss: the air leaves where `feed` says \"open\"; leave "
                   "outlet_loss out");
        }
    }
}

void build_head(const Scope& root,
                const geometry::Intake& intake,
                BenchSettings& common,
                Messages& messages) {
    const Value* lifts = root.good("bench.lifts");
    if (lifts != nullptr) {
        common.lifts = lifts->numbers;
        if (!root.has("valve.intake")) {
            refuse(messages, *lifts, "there is no [valve.intake]; add it");
        }
        const double most = root.has("engine") ? root.number("valve.intake.lift") : 0;
        for (const double lift : lifts->numbers) {
            if (most > 0 && lift > most * (1 + 1e-9)) {
                caution(messages,
                        *lifts,
                        fmt::format("{} is above valve.intake.lift", messages.length(lift)));
                break;
            }
        }
    }
    const auto head = root.word("bench.head");
    common.head = head == "port"     ? BenchHead::port
                  : head == "intake" ? BenchHead::intake
                                     : BenchHead::runner;
    const Value* given = root.good("bench.head");
    for (const auto& bank : intake.banks) {
        for (std::size_t i = 0; given && head == "port" && i < bank.runners.size(); ++i) {
            if (bank.runners[i].port_length <= 0) {
                refuse(messages,
                       *given,
                       fmt::format("runner {} has no port; give runner.port_length, or write head "
                                   "= \"runner\"",
                                   i + 1));
                return;
            }
        }
        if (given && head == "intake" && !bank.plenum) {
            refuse(messages, *given, "there is no [plenum]; add it, or write head = \"runner\"");
        }
    }
}

/// No plate goes beyond its stop.
void check_throttle_angle(const Scope& root, const geometry::Intake& intake, Messages& messages) {
    const Value* angle = root.good("bench.throttle_angle");
    for (const auto& bank : intake.banks) {
        for (const auto& throttle : bank.throttles) {
            if (angle && refuse_below_stop(messages, *angle, throttle)) {
                return;
            }
        }
    }
}

}  // namespace

BenchSettings build_bench_air(const Scope& root, Messages& messages) {
    BenchSettings air;
    const auto either = [&root](const std::string& bench, const std::string& source) {
        return root.find(bench) ? root.number(bench) : root.number(source);
    };
    air.pressure = either("bench.pressure", "source.pressure");
    air.temperature = either("bench.temperature", "source.temperature");
    air.depression = root.number("bench.depression");
    air.throttle_angle = root.maybe("bench.throttle_angle");
    air.gas_constant = root.maybe("source.gas_constant");
    air.gamma = root.maybe("source.gamma");
    if (const auto humidity = root.maybe("source.humidity")) {
        if (air.gas_constant) {
            refuse(messages,
                   *root.good("source.humidity"),
                   "beside source.gas_constant; give one of them");
        }
        if (air.temperature > 0 && air.pressure > 0) {
            air.gas_constant =
                moist_gas_constant(humidity_ratio(*humidity, air.temperature, air.pressure));
        }
    }
    if (root.word("bench.blower") == "blows") {
        air.pressure += air.depression;
    }
    air.direction = root.word("bench.direction") == "in" ? BenchDirection::in : BenchDirection::out;
    return air;
}

std::vector<BenchSettings> build_bench(const Scope& root,
                                       const geometry::Intake& intake,
                                       Messages& messages) {
    check_depression(root, messages);
    BenchSettings common = build_bench_air(root, messages);
    check_direction(root, intake, messages);
    check_throttle_angle(root, intake, messages);
    build_head(root, intake, common, messages);
    std::vector<BenchSettings> bench;
    for (const auto& name : set_ups(root, intake, messages)) {
        common.set_up = name == "slot"      ? BenchSetUp::slot
                        : name == "runners" ? BenchSetUp::runners
                        : name == "valve"   ? BenchSetUp::valve
                                            : BenchSetUp::all;
        bench.push_back(common);
    }
    return bench;
}

}  // namespace plenair::file

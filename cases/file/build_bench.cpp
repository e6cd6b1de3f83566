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
            if (name == "slot" ? !slot : !runner) {
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
    return names;
}

}  // namespace

std::vector<BenchSettings> build_bench(const Scope& root,
                                       const geometry::Intake& intake,
                                       Messages& messages) {
    check_depression(root, messages);
    BenchSettings common;
    const auto either = [&root](const std::string& bench, const std::string& source) {
        return root.find(bench) ? root.number(bench) : root.number(source);
    };
    common.pressure = either("bench.pressure", "source.pressure");
    common.temperature = either("bench.temperature", "source.temperature");
    common.depression = root.number("bench.depression");
    common.gas_constant = root.maybe("source.gas_constant");
    common.gamma = root.maybe("source.gamma");
    if (const auto humidity = root.maybe("source.humidity")) {
        if (common.gas_constant) {
            refuse(messages,
                   *root.good("source.humidity"),
                   "beside source.gas_constant; give one of them");
        }
        if (common.temperature > 0 && common.pressure > 0) {
            common.gas_constant =
                moist_gas_constant(humidity_ratio(*humidity, common.temperature, common.pressure));
        }
    }
    std::vector<BenchSettings> bench;
    for (const auto& name : set_ups(root, intake, messages)) {
        common.set_up = name == "slot"      ? BenchSetUp::slot
                        : name == "runners" ? BenchSetUp::runners
                                            : BenchSetUp::all;
        bench.push_back(common);
    }
    return bench;
}

}  // namespace plenair::file

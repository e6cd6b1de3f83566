#pragma once

#include "tests/support/layouts.hpp"
#include "tests/support/near.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

/// Holds the banks of JSON results against the metal.
namespace plenair::test {

inline double number_of(const nlohmann::json& j, const char* name) {
    return j.at(name).get<double>();
}

/// Losses of the banks: each kind of the point is a mean of theirs, so it lies between them.
inline void check_bank_losses(const nlohmann::json& point) {
    const auto& banks = point.at("banks");
    for (const std::string kind : {"throttle", "slot", "mouth", "port"}) {
        CAPTURE(kind);
        double low = HUGE_VAL, high = -HUGE_VAL;
        for (const auto& bank : banks) {
            const double loss = bank.at(kind + "_loss_pa");
            low = std::min(low, loss);
            high = std::max(high, loss);
        }
        const double loss = point.at("loss_pa").at(kind);
        CHECK(loss >= low - 1e-6 * std::abs(low));
        CHECK(loss <= high + 1e-6 * std::abs(high));
    }
    for (const auto& bank : banks) {
        double sum = 0;
        for (const std::string kind : {"throttle", "slot", "mouth", "port"}) {
            sum += bank.at(kind + "_loss_pa").get<double>();
        }
        CHECK(number_of(bank, "total_loss_pa") == near(sum, 1e-9));
        CHECK(sum > 0);
    }
}

/// Banks in the JSON of solve: who, how much, how even.
inline void check_banks(const nlohmann::json& point, const std::vector<Standing>& rows) {
    CAPTURE(point.at("name").get<std::string>());
    REQUIRE(point.at("banks").size() == rows.size());
    double flow = 0, share = 0;
    for (std::size_t b = 0; b < rows.size(); ++b) {
        const nlohmann::json& bank = point.at("banks").at(b);
        CHECK(bank.at("bank") == rows[b].bank);
        CHECK(bank.at("cylinders_along_x") == nlohmann::json(rows[b].along));
        CHECK(bank.at("cylinders_at_start") == nlohmann::json(rows[b].first));
        CHECK(bank.at("cylinders_at_far_end") == nlohmann::json(rows[b].last));
        double low = HUGE_VAL, high = -HUGE_VAL, air = 0, all = 0;
        for (const auto& c : point.at("cylinders")) {
            all += number_of(c, "air_trapped_kg");
            const auto& along = rows[b].along;
            if (std::find(along.begin(), along.end(), c.at("cylinder").get<int>()) == along.end()) {
                continue;
            }
            if (rows.size() > 1) CHECK(c.at("bank") == rows[b].bank);
            air += number_of(c, "air_trapped_kg");
        }
        const double mean = air / static_cast<double>(rows[b].along.size());
        for (const auto& c : point.at("cylinders")) {
            const auto& along = rows[b].along;
            if (std::find(along.begin(), along.end(), c.at("cylinder").get<int>()) == along.end()) {
                continue;
            }
            const double bias = 100 * (number_of(c, "air_trapped_kg") / mean - 1);
            CHECK(number_of(c, "bank_bias_percent") == near(bias, 0, 1e-8));
            low = std::min(low, bias);
            high = std::max(high, bias);
        }
        CHECK(number_of(bank, "spread_percent") == near(high - low, 0, 1e-8));
        CHECK(number_of(bank, "share") == near(air / all, 1e-9));
        flow += number_of(bank, "air_flow_kg_s");
        share += number_of(bank, "share");
    }
    check_bank_losses(point);
    CHECK(share == near(1, 1e-9));
    CHECK(flow == near(number_of(point, "air_flow_kg_s"), 1e-4));
}

inline void check_bench(const nlohmann::json& bench,
                        const Case& c,
                        const std::vector<Standing>& rows) {
    for (const auto& set_up : bench.at("set_ups")) {
        const std::string bank = set_up.at("bank");
        CAPTURE(set_up.at("name").get<std::string>());
        REQUIRE(set_up.at("converged") == true);
        const auto row = std::find_if(
            rows.begin(), rows.end(), [&](const auto& each) { return each.bank == bank; });
        REQUIRE(row != rows.end());
        CHECK(set_up.at("name").get<std::string>().starts_with(bank.empty() ? "" : bank + ": "));
        if (!set_up.at("flow_per_runner_kg_s").empty()) {
            const auto& listed =
                c.intake.banks[static_cast<std::size_t>(row - rows.begin())].cylinders;
            CHECK(set_up.at("runners") == nlohmann::json(listed));
        }
    }
}

}  // namespace plenair::test

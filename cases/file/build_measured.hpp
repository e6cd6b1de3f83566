#pragma once

#include "cases/file/document.hpp"
#include "cases/study/case.hpp"
#include "cases/study/measured.hpp"

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

/// From checked entries of a measured file to readings.
namespace plenair::file {

/// What the builders share.
struct MeasuredContext {
    const Case& c;
    std::filesystem::path folder;  ///< of the measured file; CSV files are beside it
    Measured& measured;
    Messages& messages;
};

void build_gauges(const Scope& root, MeasuredContext& context);
void build_bench_readings(const Scope& root, MeasuredContext& context);
/// Stations along the slot and taps of the header of one bench reading, whose set-up and depression
/// are known. @returns false where something of them was reported
[[nodiscard]] bool build_bench_stations(const Scope& scope,
                                        BenchReading& reading,
                                        MeasuredContext& context);
void build_engine_readings(const Scope& root, MeasuredContext& context);
void build_logs(const Scope& root, MeasuredContext& context);

/// Cylinders of a list, from 0, or all; reports one twice or one that the engine has not.
[[nodiscard]] std::vector<std::size_t> cylinders_of(const Scope& scope,
                                                    const std::string& key,
                                                    MeasuredContext& context);
/// Lambda sensors by cylinder: where each is at home; empty: each its own. Reports one twice or one
/// that the engine has not. @param cylinders  those that the entry lists
[[nodiscard]] std::vector<std::size_t> sensor_order_of(const Scope& scope,
                                                       const std::string& key,
                                                       const std::vector<std::size_t>& cylinders,
                                                       MeasuredContext& context);
/// Bank of a reading by its name or number; none in a case of one. Reports one that the case has
/// not and, where it is `needed`, one that is missing; `good` is then false.
struct BankOfReading {
    bool good = true;
    std::optional<std::size_t> bank;
};
[[nodiscard]] BankOfReading bank_of(const Scope& scope,
                                    const std::string& key,
                                    bool needed,
                                    MeasuredContext& context);
/// The character between the columns of a CSV file, by the entry that names it.
[[nodiscard]] char separator_of(const Scope& scope, const std::string& key);
/// "bench 2: flow 1.5 %" once for each reading without a stated uncertainty.
void note_default(MeasuredContext& context, const std::string& what, const std::string& half);

}  // namespace plenair::file

#include "cases/live/answer.hpp"
#include "cases/report/csv.hpp"
#include "cases/report/html.hpp"
#include "cases/report/json.hpp"
#include "cases/report/sweep.hpp"
#include "cases/report/terminal.hpp"
#include "cases/store/grid_reader.hpp"
#include "cases/store/store.hpp"
#include "cases/store/sweep_codec.hpp"
#include "cases/store/sweep_results.hpp"
#include "cases/study/difference.hpp"
#include "cases/study/quantities.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/sample_results.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <fmt/format.h>

#include <cmath>
#include <functional>
#include <map>
#include <set>
#include <string>
#include <type_traits>

/// A number of a result has one home, the table of cases/study/quantities.cpp; here every output
/// is asked whether it carries every row of it.

using namespace plenair;

namespace {

SweepInfo sweep_of(const SolveResult& result) {
    SweepInfo info;
    info.title = "sweep";
    info.count = 1;
    info.block_size = 1;
    info.points = {result.points[0].name};
    info.cylinders = {1, 2};
    info.firing_positions = {1, 2};
    return info;
}

std::vector<VariantRecord> records_of(const SolveResult& result) {
    VariantRecord record;
    record.points = {result.points[0]};
    return {record};
}

/// A point as the blocks of a sweep give it back.
SolveResult through_block(const SolveResult& result) {
    const auto info = sweep_of(result);
    const auto bytes = encode_block(info, 0, records_of(result));
    SolveResult read;
    read.points = decode_block(info, 0, bytes, "block").at(0).points;
    return read;
}

SolveResult through_file(const SolveResult& result, const std::string& path) {
    write_results(path, result);
    return read_results(path);
}

SolveResult through_json(const SolveResult& result, const ScratchFolder& scratch) {
    return read_results_json(scratch.write("a.json", json_text(result)));
}

std::string page_of(const SolveResult& result) {
    ReportSource source;
    source.name = "a";
    source.result = result;
    ReportOptions options;
    options.scripts = false;
    return html_text({source}, options);
}

/// What each output makes of a result; where it differs between two results it carries what
/// differs.
using Outputs = std::map<std::string, std::function<std::string(const SolveResult&)>>;

/// Bits of a number that came back from a file.
template <class Result>
std::string bits(const Result& result, const Quantity<Result>& quantity) {
    return fmt::format("{:a}", result.*quantity.member);
}

Outputs texts() {
    return {
        {"terminal", [](const auto& r) { return terminal_text(r, false); }},
        {"JSON", [](const auto& r) { return json_text(r); }},
        {"CSV", [](const auto& r) { return csv_text(r); }},
        {"page", [](const auto& r) { return page_of(r); }},
        {"digest", [](const auto& r) { return bits_digest(r.points); }},
        {"sweep CSV", [](const auto& r) { return sweep_csv_rows(sweep_of(r), 0, records_of(r)); }}};
}

/// Names of the outputs whose text is another where one number is another.
std::set<std::string> carrying(const SolveResult& before, const SolveResult& after) {
    std::set<std::string> found;
    for (const auto& [name, text] : texts()) {
        if (text(before) != text(after)) found.insert(name);
    }
    const auto changes = difference({"a", "1", before, {}, ""}, {"b", "1", after, {}, ""}).outputs;
    if (!changes.empty()) found.insert("difference");
    return found;
}

/// Names of the files that give a number back to the last bit.
template <class Result, class Place>
std::set<std::string> giving_back(const SolveResult& result,
                                  const Quantity<Result>& quantity,
                                  Place place) {
    const ScratchFolder scratch;
    const auto wanted = bits(place(result), quantity);
    std::set<std::string> found;
    const auto came_back = [&](const std::string& name, const SolveResult& read) {
        if (bits(place(read), quantity) == wanted) found.insert(name);
    };
    came_back("HDF5", through_file(result, scratch.path("a.h5")));
    if constexpr (!std::is_same_v<Result, BankResult>) {
        came_back("block", through_block(result));
    }
    // JSON rounds what it converts to 12 digits.
    const SolveResult read = through_json(result, scratch);
    const double back = place(read).*quantity.member;
    const double value = place(result).*quantity.member;
    if (std::abs(back - value) <= 1e-11 * std::abs(value)) found.insert("JSON read");
    return found;
}

/// The outputs that must carry a quantity.
template <class Result>
std::set<std::string> all_outputs(const Quantity<Result>& quantity) {
    std::set<std::string> wanted{
        "terminal", "JSON", "CSV", "page", "digest", "HDF5", "block", "JSON read"};
    // A sweep has no bands, no variants without slot, and keeps of a bank what its cylinders have.
    const bool beside = quantity.shown == Shown::with_band || quantity.shown == Shown::with_no_slot;
    const bool of_bank = std::is_same_v<Result, BankResult>;
    if (!beside && !of_bank) wanted.insert("sweep CSV");
    if (of_bank) wanted.erase("block");
    if (quantity.shown == Shown::with_no_slot) wanted.erase("digest");  // the page computes none
    if (quantity.change != ChangeKind::not_compared) wanted.insert("difference");
    return wanted;
}

template <class Result, class Place>
void check_row(const Quantity<Result>& quantity, Place place) {
    CAPTURE(quantity.name);
    const SolveResult before = test::sample_banks();
    SolveResult after = before;
    place(after).*quantity.member *= 1.5;
    REQUIRE(place(before).*quantity.member != 0);
    auto found = carrying(before, after);
    found.merge(giving_back(after, quantity, place));
    CHECK(found == all_outputs(quantity));
}

constexpr auto of_point = [](auto&& result) -> auto& {
    return result.points[0];
};
constexpr auto of_cylinder = [](auto&& result) -> auto& {
    return result.points[0].cylinders[1];
};
constexpr auto of_bank = [](auto&& result) -> auto& {
    return result.points[0].banks[1];
};

template <class Result>
void check_labels(const GridReader& file, const Quantity<Result>& quantity) {
    CAPTURE(quantity.name);
    REQUIRE(file.has(quantity.name));
    CHECK(file.text_attribute(quantity.name, "units") == quantity.units);
    CHECK(file.text_attribute(quantity.name, "long_name") == quantity.long_name);
}

template <class Result>
void check_manual(const std::string& manual, const Quantity<Result>& quantity, const char* over) {
    CAPTURE(quantity.name);
    CHECK(has(manual,
              fmt::format("| `{}` | {} | {} | {} | `{}` | `{}` |",
                          quantity.name,
                          over,
                          quantity.units,
                          quantity.long_name,
                          quantity.json,
                          quantity.csv)));
}

}  // namespace

TEST_CASE("quantities: every output carries every number of a point, a cylinder and a bank") {
    for (const auto& quantity : point_quantities()) check_row(quantity, of_point);
    for (const auto& quantity : cylinder_quantities()) check_row(quantity, of_cylinder);
    for (const auto& quantity : bank_quantities()) check_row(quantity, of_bank);
}

TEST_CASE("quantities: files of solve and of sweep label every number with unit and name") {
    const ScratchFolder scratch;
    const auto result = test::sample_banks();
    write_results(scratch.path("solve.h5"), result);
    const auto info = sweep_of(result);
    SweepResultsWriter writer(scratch.path("sweep.h5"), info, 1000);
    writer.add(records_of(result));
    writer.finish();
    for (const char* name : {"solve.h5", "sweep.h5"}) {
        CAPTURE(name);
        const GridReader file(scratch.path(name));
        for (const auto& quantity : point_quantities()) check_labels(file, quantity);
        for (const auto& quantity : cylinder_quantities()) check_labels(file, quantity);
        if (file.has("bank")) {
            for (const auto& quantity : bank_quantities()) check_labels(file, quantity);
        }
    }
}

TEST_CASE("quantities: the manual of the results lists every number under all its names") {
    const auto manual = read_text("docs/results-file.md");
    for (const auto& quantity : point_quantities()) check_manual(manual, quantity, "point");
    for (const auto& quantity : cylinder_quantities()) {
        check_manual(manual, quantity, "point, cylinder");
    }
    for (const auto& quantity : bank_quantities()) check_manual(manual, quantity, "point, bank");
}

TEST_CASE("quantities: the unit that a name of JSON or CSV says is the unit of the number") {
    const std::map<std::string, std::string> in_json{{"%", "_percent"}, {"rpm", "_rpm"}};
    const std::map<std::string, std::string> in_csv{{"%", "_percent"},
                                                    {"rpm", "_rpm"},
                                                    {"kPa", "_kpa"},
                                                    {"degC", "_degc"},
                                                    {"g/s", "_g_s"},
                                                    {"mg", "_mg_cycle"}};
    const auto check = [&](const auto& quantity) {
        CAPTURE(quantity.name);
        const std::string json = quantity.json, csv = quantity.csv;
        for (const auto& [name, ending] : in_json) {
            CHECK(json.ends_with(ending) == (quantity.exchanged == name));
        }
        for (const auto& [name, ending] : in_csv) {
            CHECK(csv.ends_with(ending) == (quantity.csv_unit == name));
        }
    };
    for (const auto& quantity : point_quantities()) check(quantity);
    for (const auto& quantity : cylinder_quantities()) check(quantity);
}

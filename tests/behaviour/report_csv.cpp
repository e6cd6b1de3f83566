#include "cases/report/csv.hpp"
#include "cases/study/version.hpp"
#include "tests/support/sample_results.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <sstream>
#include <string>
#include <vector>

using namespace plenair;

namespace {

/// Cells of one line; quotes as in RFC 4180.
std::vector<std::string> cells(const std::string& line) {
    std::vector<std::string> found(1);
    bool quoted = false;
    for (const char sign : line) {
        if (sign == '"') {
            quoted = !quoted;
        } else if (sign == ',' && !quoted) {
            found.emplace_back();
        } else {
            found.back() += sign;
        }
    }
    return found;
}

using Row = std::map<std::string, std::string>;

std::vector<Row> rows_of(const std::string& text) {
    std::istringstream stream(text);
    std::string line;
    std::getline(stream, line);
    const auto names = cells(line);
    std::vector<Row> rows;
    while (std::getline(stream, line)) {
        const auto values = cells(line);
        REQUIRE(values.size() == names.size());
        auto& row = rows.emplace_back();
        for (std::size_t i = 0; i < names.size(); ++i) row[names[i]] = values[i];
    }
    return rows;
}

bool says_unit(const std::string& name) {
    for (const char* ending : {"_rpm",
                               "_kpa",
                               "_degc",
                               "_g_s",
                               "_k",
                               "_ratio",
                               "_percent",
                               "_mg_cycle",
                               "_m_s",
                               "_count",
                               "_number",
                               "_text",
                               "_0_1",
                               "_kg_m3",
                               "_cfm",
                               "_mm",
                               "_mm2"}) {
        if (name.ends_with(ending)) return true;
    }
    return name == "point" || name == "set_up" || name == "case_digest" || name == "version";
}

}  // namespace

TEST_CASE("csv: every column says its unit") {
    for (const auto& text : {csv_text(test::sample_solve()), csv_text(test::sample_bench())}) {
        for (const auto& name : cells(text.substr(0, text.find('\n')))) {
            CAPTURE(name);
            CHECK(says_unit(name));
        }
    }
}

TEST_CASE("csv: one row per point and cylinder, each traceable to its inputs") {
    const auto rows = rows_of(csv_text(test::sample_solve()));

    REQUIRE(rows.size() == 4);
    CHECK(rows[1].at("point") == "A4");
    CHECK(rows[1].at("cylinder_number") == "2");
    CHECK(rows[1].at("bias_percent") == "-0.75");
    CHECK(rows[0].at("trim_percent") == "1");  // 0.75 % is a tie of half percents: rich
    CHECK(rows[1].at("trim_percent") == "-0.5");
    CHECK(std::strtod(rows[1].at("air_trapped_mg_cycle").c_str(), nullptr) == 1190);
    for (const auto& row : rows) {
        CHECK(row.at("case_digest") == "sha256:00ff");
        CHECK(row.at("version") == version());
    }
}

TEST_CASE("csv: a point that did not converge has a failure and empty shares") {
    const std::string text = csv_text(test::sample_solve());
    const auto rows = rows_of(text);

    CHECK(rows[2].at("converged_0_1") == "0");
    CHECK(rows[2].at("failure_text") == "residual 0.02 after 3 cycles, 1e-06 wanted");
    CHECK(rows[2].at("share_ratio").empty());
    CHECK(rows[2].at("spread_percent").empty());
    CHECK(text.find("0.777") == std::string::npos);
}

TEST_CASE("csv: a failed point without cylinders still has a row") {
    SolveResult result = test::sample_solve();
    result.points[1].cylinders.clear();

    CHECK(rows_of(csv_text(result)).size() == 3);
}

TEST_CASE("csv: bench has a row per runner and one for a set-up without runners") {
    const auto rows = rows_of(csv_text(test::sample_bench()));

    REQUIRE(rows.size() == 5);
    CHECK(rows[0].at("runner_number").empty());
    CHECK(rows[0].at("cd_ratio") == "0.875");
    CHECK(rows[3].at("runner_number") == "3");
    CHECK(rows[3].at("runner_flow_g_s") == "202");
    CHECK(rows[4].at("flow_g_s").empty());
}

#pragma once

#include "tests/support/near.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace plenair::test {

/// A sweep as its CSV has it.
class Swept final {
public:
    explicit Swept(const std::string& text, const std::string& precision = "double") {
        path_ = scratch_.write("case.toml", text);
        const auto csv = scratch_.path("rows.csv");
        const auto run = run_plenair({"sweep",
                                      path_,
                                      "--folder",
                                      scratch_.path("store"),
                                      "--precision",
                                      precision,
                                      "--quiet",
                                      "--csv",
                                      csv});
        CAPTURE(run.err);
        REQUIRE(run.status == 0);
        rows_ = split(read_text(csv), '\n');
        names_ = split(rows_.at(0), ',');
    }

    [[nodiscard]] std::size_t count() const { return rows_.size() - 1; }
    [[nodiscard]] std::string input(std::size_t variant) const {
        return csv_cells(rows_.at(variant + 1)).at(1);
    }
    [[nodiscard]] std::string text(std::size_t variant, const std::string& name) const {
        const auto at = std::find(names_.begin(), names_.end(), name) - names_.begin();
        return csv_cells(rows_.at(variant + 1)).at(static_cast<std::size_t>(at));
    }
    [[nodiscard]] double number(std::size_t variant, const std::string& name) const {
        return std::stod(text(variant, name));
    }
    /// The one point of the case, with an entry set, by `solve`.
    [[nodiscard]] nlohmann::json alone(const std::string& set) const {
        const auto run = run_plenair({"solve",
                                      path_,
                                      "--set",
                                      set,
                                      "--set",
                                      "model.tolerance=1e-6",
                                      "--bands",
                                      "off",
                                      "--json"});
        CAPTURE(run.err);
        REQUIRE(run.status == 0);
        return nlohmann::json::parse(run.out).at("points").at(0);
    }
    void check_shares(std::size_t variant, const nlohmann::json& point, double tolerance) const {
        for (std::size_t c = 0; c < 4; ++c) {
            const auto name = "cylinder_" + std::to_string(c + 1) + "_share_ratio";
            const double share = point.at("cylinders").at(c).at("share").get<double>();
            CHECK(number(variant, name) == near(share, tolerance));
        }
    }

private:
    ScratchFolder scratch_;
    std::string path_;
    std::vector<std::string> rows_, names_;
};

}  // namespace plenair::test

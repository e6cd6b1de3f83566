#pragma once

#include "cases/file/read.hpp"
#include "cases/study/case.hpp"

#include <algorithm>
#include <string>
#include <vector>

/// The gallery of layouts: one to twelve cylinders, every place of a throttle, one bank and two.
namespace plenair::test {

inline const std::vector<std::string>& layouts() {
    static const std::vector<std::string> names{"one-log",
                                                "two-centre",
                                                "three-far",
                                                "four-two-throttles",
                                                "five-side",
                                                "six-holes",
                                                "v2-two-banks",
                                                "v6-shared",
                                                "eight-numbered-back",
                                                "v8-opposed",
                                                "v10-side",
                                                "v12-two-banks"};
    return names;
}

inline std::string layout_path(const std::string& name) {
    return std::string(PLENAIR_SOURCE_DIR) + "/tests/behaviour/layouts/" + name + ".toml";
}

inline Case layout(const std::string& name) {
    return read_case(layout_path(name), {});
}

/// Who stands where in a bank, worked out here and not by the program.
struct Standing {
    std::string bank;  ///< empty: the only one
    std::vector<int> along;  ///< cylinders by rising x
    std::vector<int> first, last;  ///< those at the ends; empty where all stand at one x
};

inline std::vector<Standing> standings(const Case& c) {
    std::vector<Standing> all;
    for (const auto& bank : c.intake.banks) {
        Standing s;
        s.bank = c.intake.banks.size() > 1 ? bank.name : "";
        std::vector<std::pair<double, int>> places;
        for (std::size_t i = 0; i < bank.runners.size(); ++i) {
            places.emplace_back(bank.runners[i].x, bank.cylinders.at(i));
        }
        std::stable_sort(places.begin(), places.end(), [](const auto& a, const auto& b) {
            return a.first < b.first - 1e-9;
        });
        const double low = places.front().first, high = places.back().first;
        for (const auto& [x, cylinder] : places) {
            s.along.push_back(cylinder);
            if (high - low > 1e-6 && x - low < 1e-6) s.first.push_back(cylinder);
            if (high - low > 1e-6 && high - x < 1e-6) s.last.push_back(cylinder);
        }
        all.push_back(std::move(s));
    }
    return all;
}

}  // namespace plenair::test

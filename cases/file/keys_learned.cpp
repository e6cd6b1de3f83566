#include "cases/file/keys_goal.hpp"
#include "cases/study/model_numbers.hpp"

#include <string>

namespace plenair::file {

void add_learned_keys(std::vector<Key>& t) {
    static const std::string choices = [] {
        std::string names;
        for (const ModelNumber& number : model_numbers()) {
            names += number.label == nullptr ? std::string() : number.key + std::string("|");
        }
        return names + "slot.coefficient|throttle.coefficient|runner.entry|valve.coefficient";
    }();
    t.push_back({.name = "learned",
                 .kind = Kind::list,
                 .example = "[[learned]]",
                 .doc = "One coefficient of the model each; written by `plenair fit -o`."});
    t.push_back({.name = "learned.entry",
                 .kind = Kind::choice,
                 .choices = choices,
                 .required = true,
                 .example = "\"runner.entry\"",
                 .doc = "Which coefficient."});
    t.push_back({.name = "learned.value",
                 .kind = Kind::number,
                 .example = "1.012",
                 .doc = "Factor on `throttle.coefficient`; shift of `valve.coefficient`; of "
                        "`runner.entry`, which loses more above 1, 1/sqrt(1 + loss) is multiplied "
                        "by 2 - value. On top of what the case says; without it the case says it "
                        "all."});
    t.push_back({.name = "learned.deviation",
                 .kind = Kind::number,
                 .low = ">= 0",
                 .required = true,
                 .example = "0.011",
                 .doc = "Standard deviation after the fit; bands take 1.96 of it."});
    t.push_back({.name = "learned.correlation",
                 .kind = Kind::numbers,
                 .low = ">= -1",
                 .high = "<= 1",
                 .example = "[0.31, -0.74]",
                 .doc = "Correlation with each entry above it, in their order."});
}

}  // namespace plenair::file

#include "cases/file/key.hpp"

namespace plenair::file {

void add_sweep_keys(std::vector<Key>& t) {
    t.push_back({.name = "sweep.method",
                 .kind = Kind::choice,
                 .choices = "grid|paired|sobol",
                 .fallback = "\"grid\"",
                 .example = "\"sobol\"",
                 .doc = "\"grid\": every combination, the last entry changing fastest; "
                        "\"paired\": the first values together, the second ones, and so on; "
                        "\"sobol\": `count` points that fill the space evenly."});
    t.push_back({.name = "sweep.count",
                 .kind = Kind::integer,
                 .low = ">= 1",
                 .high = "<= 1000000000",
                 .example = "1000",
                 .doc = "Variants of method \"sobol\"; powers of two fill best."});
    t.push_back({.name = "sweep.seed",
                 .kind = Kind::integer,
                 .low = ">= 0",
                 .high = "<= 4294967295",
                 .fallback = "1",
                 .example = "1",
                 .doc = "Method \"sobol\": another seed gives another sample, the same seed the "
                        "same one."});
    t.push_back({.name = "sweep.tolerance",
                 .kind = Kind::number,
                 .low = ">= 1e-12",
                 .high = "<= 0.001",
                 .fallback = "1e-4",
                 .example = "1e-5",
                 .doc = "Estimated error of a share at which a variant counts as periodic, if not "
                        "model.tolerance is larger: 1e-4 is 0.01 % of an even share."});
}

}  // namespace plenair::file

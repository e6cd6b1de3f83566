#include "cases/file/keys_goal.hpp"

namespace plenair::file {
namespace {

void add_limit_keys(std::vector<Key>& t) {
    t.push_back({.name = "choose.limit",
                 .kind = Kind::list,
                 .example = "[[choose.limit]]",
                 .doc = "What must hold; as many limits as wanted."});
    t.push_back({.name = "choose.limit.of",
                 .kind = Kind::choice,
                 .choices = "spread|end_bias|slot_loss|total_loss|air|air_against_present|"
                            "air_against_no_slot|choke_margin|unevenness|flow",
                 .required = true,
                 .example = "\"slot_loss\"",
                 .doc = "What is limited. `end_bias`: far end less x = 0 of each row of cylinders, "
                        "either way. "
                        "`total_loss`: throttle, slot, mouth, runner and port. "
                        "`air_against_...`: air over that of the case as it stands, or without "
                        "its slot. Rig: `unevenness` (largest less smallest flow over the mean, "
                        "along the slot or of runners) and `flow`."});
    t.push_back({.name = "choose.limit.most",
                 .example = "\"5 kPa\"",
                 .doc = "Upper limit: % of spreads, biases, margins, unevenness and compared air; "
                        "a pressure, or % of the pressure before the throttle, of losses; a mass "
                        "flow of air and flow."});
    t.push_back({.name = "choose.limit.least",
                 .example = "\"98 %\"",
                 .doc = "Lower limit, in the same units."});
    t.push_back({.name = "choose.limit.points",
                 .kind = Kind::choices,
                 .choices = "<names of points>",
                 .example = "[\"A3\", \"A4\"]",
                 .doc = "Points at which it holds; without it everywhere."});
    t.push_back({.name = "choose.limit.from",
                 .kind = Kind::quantity,
                 .dimension = Dimension::speed,
                 .low = "> 0 rpm",
                 .high = "<= 25000 rpm",
                 .example = "\"4000 rpm\"",
                 .doc = "Only at points of this speed and above."});
    t.push_back({.name = "choose.limit.to",
                 .kind = Kind::quantity,
                 .dimension = Dimension::speed,
                 .low = "> 0 rpm",
                 .high = "<= 25000 rpm",
                 .example = "\"8600 rpm\"",
                 .doc = "Only at points of this speed and below."});
}

}  // namespace

void add_choose_keys(std::vector<Key>& t) {
    t.push_back({.name = "choose.make_best",
                 .kind = Kind::choice,
                 .choices = "spread|slot_loss|total_loss|air|front|evenness",
                 .example = "\"spread\"",
                 .doc = "`spread`: the worst of the points; losses and `air`: the mean of the "
                        "points; `front`: spread against slot loss, of which the knee is chosen; "
                        "`evenness`: of a rig's flow along its slot or of its runners. Without it "
                        "`spread`, on a rig `evenness`."});
    t.push_back({.name = "choose.seed",
                 .kind = Kind::integer,
                 .low = ">= 0",
                 .high = "<= 4294967295",
                 .fallback = "1",
                 .example = "1",
                 .doc = "Of the sample with which the search begins."});
    add_limit_keys(t);
}

}  // namespace plenair::file

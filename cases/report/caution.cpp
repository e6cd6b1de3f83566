#include "cases/report/caution.hpp"

namespace plenair {

// Working practice for one-dimensional gas exchange against per-cylinder measurements, from memory.
std::string model_limits() {
    return "Model limits: shares +/-2-3 % against hardware,\n"
           "              +/-0.5 % between variants of one design.\n";
}

std::string cautions() {
    return "Cautions\n"
           "  Fuel     liquid and vapour burn: ventilate, keep sparks away, pressure-test lines.\n"
           "  Pressure a plenum under boost stores energy and a backfire can exceed it many "
           "times.\n"
           "           Strength, welds and proof test (with liquid, never with air) are for a\n"
           "           competent, where required licensed, person.\n"
           "  Nitrous  is an oxidiser under pressure: follow gas-trade practice and local law.\n"
           "  Lean     a cylinder leaner than its target under load can fail in seconds: start\n"
           "           rich at low load, watch lambda and knock of each cylinder, stop on doubt.\n"
           "  Hot and rotating parts, noise, carbon monoxide: protect people; afloat, flame\n"
           "           arrester and bilge ventilation as the rules ask.\n"
           "  This is a calculation, not an approval. Local codes, event rules, insurers and\n"
           "  licensed professionals decide.\n";
}

std::string nitrous_cautions() {
    return "Nitrous oxide\n"
           "  An oxidiser under high pressure, an asphyxiant, and cold enough to burn skin: "
           "bottles\n"
           "  below 52 degC, secured, ventilated, the relief device vented outside; never oil or\n"
           "  grease. Fuel must come with it: a fuel line that is lost leans its cylinder at "
           "once.\n"
           "  Gas-trade practice and local law decide.\n";
}

}  // namespace plenair

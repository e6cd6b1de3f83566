#include "cases/report/words/caution.hpp"

#include "cases/report/words/text_lines.hpp"

namespace plenair {

std::string hardware_words() {
    // What tests/published holds; 2-3 % is working practice of one-dimensional gas exchange.
    return "Against measurements stand parts only: sharp slots within 2 %, the outlets of an air "
           "duct "
           "within its authors' 9 %, a perforated duct 6 points too even. Shares of a running "
           "engine "
           "have not been compared with any; 2-3 % is usual (common practice). Variants of one "
           "design "
           "differ as computed to about 0.5 %. Measure yours: plenair bench --measured, plenair "
           "fit.";
}

std::string model_limits() {
    return wrapped("Model limits: ", hardware_words());
}

std::string assumed_lines(const std::vector<Assumption>& assumed) {
    if (assumed.empty()) return "";
    constexpr std::size_t widest_line = 84;
    std::string text;
    std::string line = "Assumed, not confirmed:";
    for (std::size_t i = 0; i < assumed.size(); ++i) {
        const std::string word = " " + assumed[i].key + (i + 1 < assumed.size() ? "," : ";");
        if (line.size() + word.size() > widest_line) {
            text += line + "\n";
            line = std::string(14, ' ');
        }
        line += word;
    }
    return text + line + "\n              plenair check says on what each rests.\n";
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

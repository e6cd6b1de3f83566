#include "geometry/unit_spellings.hpp"

#include "geometry/unit.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace plenair::geometry {

namespace {

struct Spelling {
    std::string_view text;  ///< in small letters, without blanks, points and ^
    std::string_view unit;
    double factor = 1;
};

constexpr std::array spellings{
    Spelling{"millimetre", "mm"},
    Spelling{"millimetres", "mm"},
    Spelling{"millimeter", "mm"},
    Spelling{"millimeters", "mm"},
    Spelling{"centimetre", "cm"},
    Spelling{"centimetres", "cm"},
    Spelling{"centimeter", "cm"},
    Spelling{"centimeters", "cm"},
    Spelling{"metre", "m"},
    Spelling{"metres", "m"},
    Spelling{"meter", "m"},
    Spelling{"meters", "m"},
    Spelling{"\u03bcm", "um"},
    Spelling{"\u00b5m", "um"},
    Spelling{"micron", "um"},
    Spelling{"microns", "um"},
    Spelling{"micrometre", "um"},
    Spelling{"micrometer", "um"},
    Spelling{"\"", "in"},
    Spelling{"\u2033", "in"},
    Spelling{"''", "in"},
    Spelling{"inch", "in"},
    Spelling{"inches", "in"},
    Spelling{"thou", "in", 0.001},
    Spelling{"ft", "in", 12},
    Spelling{"foot", "in", 12},
    Spelling{"feet", "in", 12},
    Spelling{"mm\u00b2", "mm2"},
    Spelling{"sqmm", "mm2"},
    Spelling{"qmm", "mm2"},
    Spelling{"squaremm", "mm2"},
    Spelling{"cm\u00b2", "cm2"},
    Spelling{"sqcm", "cm2"},
    Spelling{"qcm", "cm2"},
    Spelling{"squarecm", "cm2"},
    Spelling{"in\u00b2", "in2"},
    Spelling{"sqin", "in2"},
    Spelling{"squareinch", "in2"},
    Spelling{"squareinches", "in2"},
    Spelling{"m\u00b2", "m2"},
    Spelling{"sqm", "m2"},
    Spelling{"litre", "L"},
    Spelling{"litres", "L"},
    Spelling{"liter", "L"},
    Spelling{"liters", "L"},
    Spelling{"dm3", "L"},
    Spelling{"ccm", "cc"},
    Spelling{"cm3", "cc"},
    Spelling{"cm\u00b3", "cc"},
    Spelling{"ml", "cc"},
    Spelling{"cuin", "in3"},
    Spelling{"cid", "in3"},
    Spelling{"in\u00b3", "in3"},
    Spelling{"m\u00b3", "m3"},
    Spelling{"degree", "deg"},
    Spelling{"degrees", "deg"},
    Spelling{"\u00b0", "deg"},
    Spelling{"radian", "rad"},
    Spelling{"radians", "rad"},
    Spelling{"1/min", "rpm"},
    Spelling{"/min", "rpm"},
    Spelling{"min-1", "rpm"},
    Spelling{"u/min", "rpm"},
    Spelling{"r/min", "rpm"},
    Spelling{"rev/min", "rpm"},
    Spelling{"revs/min", "rpm"},
    Spelling{"rpms", "rpm"},
    Spelling{"kilopascal", "kPa"},
    Spelling{"kilopascals", "kPa"},
    Spelling{"pascal", "Pa"},
    Spelling{"pascals", "Pa"},
    Spelling{"hpa", "mbar"},
    Spelling{"millibar", "mbar"},
    Spelling{"millibars", "mbar"},
    Spelling{"bars", "bar"},
    Spelling{"lb/in2", "psi"},
    Spelling{"lbf/in2", "psi"},
    Spelling{"inwc", "inH2O"},
    Spelling{"\"h2o", "inH2O"},
    Spelling{"\"hg", "inHg"},
    Spelling{"torr", "mmHg"},
    Spelling{"c", "degC"},
    Spelling{"\u00b0c", "degC"},
    Spelling{"\u2103", "degC"},
    Spelling{"celsius", "degC"},
    Spelling{"centigrade", "degC"},
    Spelling{"degreec", "degC"},
    Spelling{"degreesc", "degC"},
    Spelling{"degcelsius", "degC"},
    Spelling{"degreescelsius", "degC"},
    Spelling{"f", "degF"},
    Spelling{"\u00b0f", "degF"},
    Spelling{"\u2109", "degF"},
    Spelling{"fahrenheit", "degF"},
    Spelling{"degreef", "degF"},
    Spelling{"degreesf", "degF"},
    Spelling{"degfahrenheit", "degF"},
    Spelling{"degreesfahrenheit", "degF"},
    Spelling{"\u00b0k", "K"},
    Spelling{"degk", "K"},
    Spelling{"kelvin", "K"},
    Spelling{"kelvins", "K"},
    Spelling{"g/sec", "g/s"},
    Spelling{"kg/hr", "kg/h"},
    Spelling{"lbs/min", "lb/min"},
    Spelling{"m3/hr", "m3/h"},
    Spelling{"m\u00b3/h", "m3/h"},
    Spelling{"ft3/min", "CFM"},
    Spelling{"cuft/min", "CFM"},
    Spelling{"l/s", "m3/h", 3.6},
    Spelling{"l/min", "m3/h", 0.06},
    Spelling{"ml/min", "cc/min"},
    Spelling{"ccm/min", "cc/min"},
    Spelling{"cm3/min", "cc/min"},
    Spelling{"lbs/h", "lb/h"},
    Spelling{"lb/hr", "lb/h"},
    Spelling{"lbs/hr", "lb/h"},
    Spelling{"msec", "ms"},
    Spelling{"millisecond", "ms"},
    Spelling{"milliseconds", "ms"},
    Spelling{"sec", "s"},
    Spelling{"second", "s"},
    Spelling{"seconds", "s"},
    Spelling{"hertz", "Hz"},
    Spelling{"kilohertz", "kHz"},
    Spelling{"percent", "%"},
    Spelling{"pct", "%"},
    Spelling{"g/cc", "kg/L"},
    Spelling{"g/cm3", "kg/L"},
    Spelling{"kg/dm3", "kg/L"},
};

/// Without blanks, points and ^, in small letters: "Sq. mm" as "sqmm", "mm^2" as "mm2".
std::string plain(std::string_view text) {
    std::string result;
    for (const char c : text) {
        if (c != ' ' && c != '\t' && c != '.' && c != '^') {
            result += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        }
    }
    return result;
}

}  // namespace

std::optional<MeantUnit> meant_unit(std::string_view spelling, Dimension dimension) {
    const std::string text = plain(spelling);
    for (const auto& each : spellings) {
        if (each.text == text && find_unit(each.unit, dimension) != nullptr) {
            return MeantUnit{each.unit, each.factor};
        }
    }
    // Written with more than letters: "mm^2", "deg C".
    for (const auto& unit : units()) {
        if (unit.dimension == dimension && plain(unit.name) == text &&
            text.size() != spelling.size()) {
            return MeantUnit{unit.name};
        }
    }
    return std::nullopt;
}

std::vector<std::string> long_spellings(Dimension dimension) {
    constexpr std::size_t shortest = 4;
    std::vector<std::string> words;
    for (const auto& each : spellings) {
        if (each.text.size() >= shortest && find_unit(each.unit, dimension) != nullptr) {
            words.emplace_back(each.text);
        }
    }
    return words;
}

std::string_view meant_reference(std::string_view word) {
    std::string text = plain(word);
    std::erase_if(text, [](char c) { return c == '(' || c == ')'; });
    constexpr std::array absolute{"abs", "absolute", "a"};
    constexpr std::array gauge{"g", "gauge", "gage", "rel", "relative"};
    if (std::find(absolute.begin(), absolute.end(), text) != absolute.end()) {
        return "abs";
    }
    return std::find(gauge.begin(), gauge.end(), text) != gauge.end() ? "g" : std::string_view{};
}

}  // namespace plenair::geometry

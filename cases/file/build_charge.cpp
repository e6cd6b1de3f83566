#include "cases/file/charge.hpp"

#include <fmt/format.h>

namespace plenair::file {
namespace {

void missing(const Scope& scope, const std::string& key, Messages& messages) {
    messages.error(scope.place,
                   fmt::format("{}.{}: missing; write {} = {}",
                               scope.shown,
                               key,
                               key,
                               find_key("point." + key)->example));
}

}  // namespace

void build_charge(const Scope& root,
                  const Scope& scope,
                  OperatingPoint& point,
                  Messages& messages) {
    const Value* pressure = scope.find("point.compressor_pressure");
    const Value* temperature = scope.find("point.compressor_temperature");
    if (!pressure && !temperature) {
        for (const std::string key : {"pressure", "temperature"}) {
            if (!scope.find("point." + key)) {
                missing(scope, key, messages);
            }
        }
        return;
    }
    for (const std::string key : {"pressure", "temperature"}) {
        if (!scope.find("point.compressor_" + key)) {
            missing(scope, "compressor_" + key, messages);
        }
        if (const Value* direct = scope.good("point." + key)) {
            refuse(
                messages,
                *direct,
                fmt::format("beside compressor_{}; give the state before the throttle or that at "
                            "the compressor, not both",
                            key));
        }
    }
    const auto effectiveness = root.maybe("charge.cooler_effectiveness");
    if (!root.find("charge.cooler_effectiveness")) {
        messages.error(
            scope.place,
            fmt::format("{}: a compressor outlet without its cooler; write [charge] "
                        "cooler_effectiveness = \"70 %\", or \"0 %\" where there is none",
                        scope.shown));
    }
    if (!pressure || !temperature || !pressure->good || !temperature->good || !effectiveness) {
        return;
    }
    const double hot = temperature->number();
    const double cold = root.find("charge.coolant_temperature")
                            ? root.number("charge.coolant_temperature")
                            : root.number("site.temperature");
    point.temperature = hot - *effectiveness * (hot - cold);
    point.pressure = pressure->number() - root.number("charge.cooler_loss");
    if (point.temperature > 450 || point.temperature < 200) {
        refuse(messages,
               *temperature,
               fmt::format("leaves {:.0f} K before the throttle, outside 200 to 450 K; check the "
                           "cooler",
                           point.temperature));
    }
    if (point.pressure < 1e4) {
        refuse(messages, *pressure, "not above the cooler's loss; check both");
    }
}

}  // namespace plenair::file

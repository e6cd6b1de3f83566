#include "cases/study/nitrous.hpp"

namespace plenair {

namespace {

constexpr double tenth_less = 0.9;

}  // namespace

double nitrous_stoich(double air_stoich) {
    return air_stoich * oxygen_in_air / oxygen_in_nitrous;
}

NitrousCylinder nitrous_into(
    double air, double fuel, double flow, double lambda, double air_stoich) {
    NitrousCylinder n;
    n.flow = flow;
    n.oxygen = flow * oxygen_in_nitrous;
    n.extra_fuel = flow / (nitrous_stoich(air_stoich) * lambda);
    const auto lambda_of = [&](double nitrous, double extra) {
        const double oxygen = air * oxygen_in_air + nitrous * oxygen_in_nitrous;
        return oxygen / (air_stoich * oxygen_in_air * (fuel + extra));
    };
    n.lambda_without_fuel = lambda_of(flow, 0.0);
    n.lambda_nitrous_low = lambda_of(tenth_less * flow, n.extra_fuel);
    n.lambda_fuel_low = lambda_of(flow, tenth_less * n.extra_fuel);
    return n;
}

}  // namespace plenair

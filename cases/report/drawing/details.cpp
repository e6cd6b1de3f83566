#include <algorithm>
#include <cmath>

#include "cases/report/drawing/drawing.hpp"

/// The slot cut across, and the throttle from the front.
namespace plenair::drawing {

View slot_section_view(const geometry::Slot& slot,
                       double width,
                       double text,
                       const SectionLabels& labels) {
    View view{slot.pieces.empty() ? "Section of a hole" : "Slot section", text};
    const double half = in_mm(width) / 2;
    const double land = in_mm(slot.land);
    const double inlet = in_mm(slot.edge_radius);
    const double outlet = in_mm(slot.outlet_edge);
    const double named = inlet + (text_width(labels.upper) + 1.5) * text;
    const double reach = half + std::max({1.3 * land, 2 * inlet, named});
    for (const double side : {-1.0, 1.0}) {
        view.line(Layer::slot, {side * half, outlet}, {side * half, land - inlet});
        view.line(Layer::outline, {side * (half + inlet), land}, {side * reach, land});
        view.line(Layer::outline, {side * (half + outlet), 0}, {side * reach, 0});
        if (inlet > 0) {
            view.arcs.push_back({Layer::slot,
                                 {side * (half + inlet), land - inlet},
                                 inlet,
                                 side < 0 ? 0.0 : 90.0,
                                 side < 0 ? 90.0 : 180.0});
        }
        if (outlet > 0) {
            view.arcs.push_back({Layer::slot,
                                 {side * (half + outlet), outlet},
                                 outlet,
                                 side < 0 ? 270.0 : 180.0,
                                 side < 0 ? 360.0 : 270.0});
        }
        // A wavy break would add nothing: a thin line says that the wall goes on.
        view.line(Layer::centre, {side * reach, -0.8 * text}, {side * reach, land + 0.8 * text});
    }
    view.line(Layer::centre, {0, -1.2 * text}, {0, land + 1.2 * text});
    view.dimensions.push_back(
        {Measure::along_x, {-half, outlet}, {half, outlet}, -3 * text, labels.width});
    view.dimensions.push_back(
        {Measure::along_y, {-reach, 0}, {-reach, land}, -reach - 2 * text, labels.land});
    const double slant = std::sqrt(0.5);
    if (inlet > 0) {
        const Point centre{half + inlet, land - inlet};
        view.dimensions.push_back({Measure::radius,
                                   centre,
                                   {centre.x - slant * inlet, centre.y + slant * inlet},
                                   inlet + text,
                                   labels.inlet,
                                   false,
                                   -1});
    }
    if (outlet > 0) {
        const Point centre{-half - outlet, outlet};
        view.dimensions.push_back({Measure::radius,
                                   centre,
                                   {centre.x + slant * outlet, centre.y - slant * outlet},
                                   outlet + 1.5 * text,
                                   labels.outlet,
                                   false,
                                   -1});
    }
    add_datum(view, {reach - 1.6 * text, land}, {0, 2.4}, "A");
    // Over a thin wall the name of the side stands above the number of the outlet edge.
    const double number_top = outlet > 0 ? slant * (outlet + 1.5 * text) + 1.5 * text : 0;
    view.note({-half - inlet - 0.5 * text, std::max(land, number_top) + 0.6 * text},
              labels.upper,
              Align::right);
    view.note({-half - 0.5 * text, -1.5 * text}, labels.lower, Align::right);
    return view;
}

View throttle_view(const geometry::Throttle& throttle, const std::string& name, double text) {
    View view{name, text};
    const double radius = in_mm(throttle.bore) / 2;
    const double shaft = in_mm(throttle.shaft) / 2;
    view.arcs.push_back({Layer::throttle, {0, 0}, radius});
    view.line(Layer::centre, {-radius - 1.5 * text, 0}, {radius + 1.5 * text, 0});
    view.line(Layer::centre, {0, -radius - 1.5 * text}, {0, radius + 1.5 * text});
    if (shaft > 0 && shaft < radius) {
        const double end = std::sqrt(radius * radius - shaft * shaft);
        for (const double y : {-shaft, shaft}) {
            view.line(Layer::throttle, {-end, y}, {end, y});
        }
        view.dimensions.push_back(
            {Measure::along_y, {end, -shaft}, {end, shaft}, radius + 2.4 * text});
    }
    view.dimensions.push_back(
        {Measure::along_x, {-radius, 0}, {radius, 0}, -radius - 3.4 * text, {}, true});
    return view;
}

}  // namespace plenair::drawing

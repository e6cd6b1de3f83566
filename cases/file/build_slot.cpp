#include "cases/file/build.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

namespace plenair::file {
namespace {

geometry::SlotPiece piece_of(const Scope& scope, const std::string& at, Messages& messages) {
    geometry::SlotPiece piece;
    piece.x = scope.number(at + "x");
    piece.length = scope.number(at + "length");
    piece.width = profile_of(scope.value(at + "width"), piece.x);
    if (scope.good(at + "length")) {
        check_cover(messages, scope.good(at + "width"), piece.length);
    }
    return piece;
}

void build_pieces(const Scope& scope, geometry::Slot& slot, Messages& messages) {
    const auto& list = scope.list("slot.pieces");
    for (std::size_t i = 0; i < list.size(); ++i) {
        slot.pieces.push_back(piece_of(list[i], "slot.pieces.", messages));
        const auto& piece = slot.pieces.back();
        for (std::size_t j = 0; j < i; ++j) {
            const auto& other = slot.pieces[j];
            if (piece.x < other.x + other.length && other.x < piece.x + piece.length) {
                messages.error(list[i].place,
                               fmt::format("{}: piece {} ({}-{}) overlaps piece {} ({}-{}); "
                                           "move one",
                                           shown_key(scope, "slot.pieces"),
                                           i + 1,
                                           messages.bare_length(piece.x),
                                           messages.length(piece.x + piece.length),
                                           j + 1,
                                           messages.bare_length(other.x),
                                           messages.length(other.x + other.length)));
            }
        }
    }
}

/// Value of hole i from a list of one or of all.
double at(const Value& value, std::size_t i) {
    return value.numbers.empty() ? 0 : value.numbers[value.numbers.size() == 1 ? 0 : i];
}

geometry::SlotHole hole_of(const Scope& scope, std::size_t i) {
    geometry::SlotHole hole;
    hole.x = scope.value("slot.holes.x").numbers[i];
    if (const Value* diameter = scope.good("slot.holes.diameter")) {
        hole.length = hole.hydraulic_diameter = at(*diameter, i);
        hole.area = std::numbers::pi / 4 * hole.length * hole.length;
        return hole;
    }
    const double width = at(scope.value("slot.holes.width"), i);
    hole.length = at(scope.value("slot.holes.length"), i);
    hole.area =
        scope.good("slot.holes.area") ? at(scope.value("slot.holes.area"), i) : hole.length * width;
    hole.hydraulic_diameter = hole.length > 0 ? 2 * hole.area / (hole.length + width) : 0;
    return hole;
}

void build_holes(const Scope& scope, geometry::Slot& slot, Messages& messages) {
    const Value* x = scope.good("slot.holes.x");
    if (!x) {
        return;
    }
    bool fits = true;
    for (const std::string key :
         {"slot.holes.length", "slot.holes.width", "slot.holes.diameter", "slot.holes.area"}) {
        const Value* list = scope.good(key);
        if (list && list->numbers.size() != 1 && list->numbers.size() != x->numbers.size()) {
            refuse(messages,
                   *list,
                   fmt::format("{} values for {} holes; give one for all or one each",
                               list->numbers.size(),
                               x->numbers.size()));
            fits = false;
        }
    }
    const bool rectangle = scope.find("slot.holes.length") && scope.find("slot.holes.width");
    if (!scope.find("slot.holes.diameter") && !rectangle) {
        messages.error(scope.place_of_section("slot.holes"),
                       fmt::format("{}: no size; write diameter, or length and width",
                                   shown_key(scope, "slot.holes")));
        fits = false;
    }
    for (std::size_t i = 0; fits && i < x->numbers.size(); ++i) {
        slot.holes.push_back(hole_of(scope, i));
    }
    for (std::size_t i = 1; i < slot.holes.size(); ++i) {
        const auto& here = slot.holes[i];
        const auto& before = slot.holes[i - 1];
        if (here.x - here.length / 2 < before.x + before.length / 2 - 1e-9) {
            refuse(messages,
                   *x,
                   fmt::format("hole {} at {} overlaps hole {} at {}; list them in rising "
                               "order and apart",
                               i + 1,
                               messages.length1(here.x),
                               i,
                               messages.length1(before.x)));
            return;
        }
    }
}

/// Without a stated coefficient the passage law needs land and edge radius.
void check_edge(const Scope& scope, Messages& messages) {
    if (scope.find("slot.cd")) {
        return;
    }
    for (const std::string key : {"slot.land", "slot.edge_radius"}) {
        if (!scope.find(key)) {
            const auto name = key.substr(key.find('.') + 1);
            messages.error(scope.place_of_section("slot"),
                           fmt::format("{}: missing; write {} = {} or a measured cd",
                                       shown_key(scope, key),
                                       name,
                                       example_in(find_key(key)->example, messages.units())));
        }
    }
}

/// A tolerance that reaches its dimension makes no part.
void check_limits(const Scope& scope, const geometry::Slot& slot, Messages& messages) {
    const double width = smallest_width(slot);
    const auto against = [&](const std::string& key, double dimension, const std::string& what) {
        const Value* given = scope.good(key);
        if (given && dimension > 0 && given->number() >= dimension) {
            refuse(messages,
                   *given,
                   fmt::format("not smaller than the {} of {}; write a smaller tolerance",
                               what,
                               messages.length(dimension)));
        }
    };
    against("slot.width_tolerance", width, "slot width");
    against("slot.taper_tolerance", width, "slot width");
    against("slot.edge_radius_tolerance", slot.edge_radius, "edge radius");
    against("slot.land_tolerance", slot.land, "land");
}

}  // namespace

double shop_limit(const Scope& scope, const std::string& key, const geometry::OutputUnits& units) {
    const double value = scope.number(key);
    const double step = geometry::from_unit(0.0005, "in");
    return units.inches() && !scope.find(key) ? step * std::round(value / step) : value;
}

namespace {

geometry::SlotShopLimits limits_of(const Scope& scope, const geometry::OutputUnits& units) {
    const auto limit = [&](const char* key) { return shop_limit(scope, key, units); };
    geometry::SlotShopLimits limits;
    limits.width = limit("slot.width_tolerance");
    limits.taper = limit("slot.taper_tolerance");
    limits.edge_radius = limit("slot.edge_radius_tolerance");
    limits.land = limit("slot.land_tolerance");
    limits.length = limit("slot.length_tolerance");
    limits.flatness = limit("slot.flatness");
    limits.surface = scope.number("slot.surface");
    limits.material = scope.word("slot.material");
    return limits;
}

/// Beside pieces or holes: how the size that `key` names is said of one of them, "" where it is
/// not.
std::string instead_of(const Scope& scope, const std::string& key, bool pieces) {
    const auto name = key.substr(key.find('.') + 1);
    if (pieces) {
        return fmt::format(
            ", or write {}.1.{} for the first piece", shown_key(scope, "slot.pieces"), name);
    }
    for (const auto& entry : {name, std::string("diameter")}) {
        const std::string of_holes = "slot.holes." + entry;
        if (scope.find(of_holes) != nullptr) {
            return fmt::format(", or write {} for the holes", shown_key(scope, of_holes));
        }
    }
    return "";
}

}  // namespace

double smallest_width(const geometry::Slot& slot) {
    double least = 0;
    for (const auto& piece : slot.pieces) {
        const double width = piece.width.empty() ? 0 : piece.width.smallest();
        least = least > 0 ? std::min(least, width) : width;
    }
    return least;
}

geometry::Slot build_slot(const Scope& scope, Messages& messages) {
    geometry::Slot slot;
    slot.land = scope.number("slot.land");
    slot.edge_radius = scope.number("slot.edge_radius");
    slot.outlet_edge = scope.number("slot.outlet_edge");
    slot.cd = scope.maybe("slot.cd");
    slot.edge_stated = scope.find("slot.edge_radius") != nullptr;
    slot.limits = limits_of(scope, messages.units());
    check_edge(scope, messages);
    const bool pieces = scope.has("slot.pieces");
    const bool holes = scope.has("slot.holes");
    bool single = false;
    for (const std::string key : {"slot.x", "slot.length", "slot.width"}) {
        const Value* given = scope.find(key);
        single = single || given;
        if (given && (pieces || holes)) {
            refuse(messages,
                   *given,
                   fmt::format(
                       "beside slot.{}; give one of them{}",
                       pieces ? "pieces" : "holes",
                       given->place.line > 0 ? std::string() : instead_of(scope, key, pieces)));
        } else if (!given && !pieces && !holes) {
            const auto name = key.substr(key.find('.') + 1);
            messages.error(scope.place_of_section("slot"),
                           fmt::format("{}: missing; write e.g. {} = {}",
                                       shown_key(scope, key),
                                       name,
                                       example_in(find_key(key)->example, messages.units())));
        }
    }
    if (pieces) {
        build_pieces(scope, slot, messages);
    } else if (holes) {
        build_holes(scope, slot, messages);
    } else if (single) {
        slot.pieces.push_back(piece_of(scope, "slot.", messages));
    }
    check_limits(scope, slot, messages);
    return slot;
}

}  // namespace plenair::file

#include "cases/file/slot_shop.hpp"

#include "cases/file/build.hpp"
#include "cases/file/toml.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace plenair {

namespace {

using namespace file;

geometry::SlotEnds ends_of(const Scope& scope) {
    if (const Value* given = scope.good("slot.ends")) {
        return given->word() == "square"   ? geometry::SlotEnds::square
               : given->word() == "cutter" ? geometry::SlotEnds::cutter
                                           : geometry::SlotEnds::full_radius;
    }
    if (scope.good("slot.cutter")) {
        return geometry::SlotEnds::cutter;
    }
    // A row of holes has the corners that it is drawn with.
    return scope.has("slot.holes") ? geometry::SlotEnds::square : geometry::SlotEnds::full_radius;
}

geometry::SlotShop shop_of(const Scope& scope, const geometry::OutputUnits& units) {
    geometry::SlotShop shop;
    shop.ends = ends_of(scope);
    shop.ends_stated = scope.find("slot.ends") != nullptr || scope.find("slot.cutter") != nullptr;
    shop.cutter = scope.number("slot.cutter");
    shop.offset = scope.number("slot.offset");
    shop.squareness = shop_limit(scope, "slot.squareness", units);
    return shop;
}

}  // namespace

void file::check_slot_shop(const Scope& scope, const geometry::Bank& bank, Messages& messages) {
    const auto shop = shop_of(scope, messages.units());
    const Value* ends = scope.good("slot.ends");
    const Value* cutter = scope.good("slot.cutter");
    if (ends && ends->word() == "full radius" && scope.has("slot.holes")) {
        refuse(messages, *ends, "for a row of holes; write square, or cutter with a diameter");
    }
    if (ends && shop.ends == geometry::SlotEnds::cutter && !scope.find("slot.cutter")) {
        messages.error(ends->place,
                       fmt::format("{}: missing; write cutter = {}, its diameter",
                                   shown_key(scope, "slot.cutter"),
                                   example_in(find_key("slot.cutter")->example, messages.units())));
    }
    if (cutter && ends && shop.ends != geometry::SlotEnds::cutter) {
        refuse(messages,
               *cutter,
               fmt::format("beside ends = \"{}\"; leave it out, or write ends = \"cutter\"",
                           ends->word()));
    }
    const double width = smallest_width(*bank.slot);
    if (cutter && width > 0 && shop.cutter > width + 1e-9) {
        refuse(messages,
               *cutter,
               fmt::format("does not enter a slot {} wide; write a smaller cutter",
                           messages.length(width)));
    }
    const auto& room = bank.pre_chamber ? bank.pre_chamber : bank.plenum;
    const Value* offset = scope.good("slot.offset");
    if (offset && room && room->height &&
        std::abs(shop.offset) + 0.5 * width > 0.5 * *room->height + 1e-9) {
        refuse(messages,
               *offset,
               fmt::format("puts the slot beyond the wall, which is {} high; write at most {}",
                           messages.length(*room->height),
                           messages.length(std::max(0.5 * (*room->height - width), 0.0))));
    }
}

std::vector<geometry::SlotShop> slot_shops(const Case& c) {
    std::vector<geometry::SlotShop> shops(c.intake.banks.size());
    Messages messages(c.path);
    const auto table = parse_toml(c.text, {}, messages);
    if (!table) {
        return shops;  // a case that was put together without a text
    }
    const Scope root = read_scopes(*table, messages);
    const auto& banks = root.list("bank");
    for (std::size_t i = 0; i < shops.size(); ++i) {
        const Scope& scope = i < banks.size() ? banks[i] : root;
        if (scope.has("slot")) {
            shops[i] = shop_of(scope, c.units);
        }
    }
    return shops;
}

}  // namespace plenair

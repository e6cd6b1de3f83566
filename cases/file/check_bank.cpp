#include "cases/file/build.hpp"

#include <algorithm>

#include <fmt/format.h>

/// How the parts of one bank fit together.
namespace plenair::file {
namespace {

constexpr double slack = 1e-9;  ///< rounding of decimal lengths [m]

void check_throttles(const Scope& scope, const geometry::Bank& bank, Messages& messages) {
    const auto& list = scope.list("throttle");
    for (std::size_t i = 0; i < list.size(); ++i) {
        const auto& throttle = bank.throttles[i];
        const bool pre = throttle.feeds == geometry::FeedTarget::pre_chamber;
        const auto& chamber = pre ? bank.pre_chamber : bank.plenum;
        const std::string part = pre ? "pre_chamber" : "plenum";
        const Value* x = list[i].good("throttle.x");
        if (x && chamber && scope.good(part + ".length") && throttle.x > chamber->length + slack) {
            refuse(messages,
                   *x,
                   fmt::format("outside {} 0-{}; move it", part, messages.length(chamber->length)));
        }
        const Value* recovery = list[i].good("throttle.recovery");
        if (recovery && chamber && scope.good(part + ".length")) {
            const bool far = throttle.position == geometry::FeedPosition::end;
            const double ratio =
                throttle.bore_area() / chamber->area.at(far ? chamber->length : 0.0);
            const double ideal = 1 - ratio * ratio;
            if (throttle.recovery > ideal) {
                refuse(messages,
                       *recovery,
                       fmt::format("more than an ideal diffuser from the bore to the {} gives "
                                   "({:.3f}); lower it",
                                   part,
                                   std::max(ideal, 0.0)));
            }
        }
        if (const Value* feed = scope.find(part + ".feed"); feed && i == 0) {
            refuse(messages, *feed, "beside a throttle; leave out one of them");
        }
    }
    const bool none_before_slot =
        std::none_of(bank.throttles.begin(), bank.throttles.end(), [](const auto& throttle) {
            return throttle.feeds == geometry::FeedTarget::pre_chamber;
        });
    if (!list.empty() && bank.slot && bank.pre_chamber && none_before_slot) {
        const Value* feeds = list.front().good("throttle.feeds");
        messages.warning(
            feeds != nullptr ? feeds->place : list.front().place_of_section("throttle"),
            fmt::format(
                "{}: no throttle opens into the pre-chamber: no air passes the slot, and the "
                "pre-chamber is a closed room beside the plenum; write feeds = "
                "\"pre_chamber\", or leave slot and pre_chamber out",
                join_keys(list.front().shown, "feeds")));
    }
}

/// An outlet needs an end of the header that nothing feeds, and a rig.
void check_outlets(const Scope& scope, const geometry::Bank& bank, Messages& messages) {
    for (const std::string part : {"pre_chamber", "plenum"}) {
        const Value* outlet = scope.good(part + ".outlet_loss");
        const auto& chamber = part == "plenum" ? bank.plenum : bank.pre_chamber;
        if (outlet == nullptr || !chamber) {
            continue;
        }
        const bool feeds_pre = part == "pre_chamber";
        bool start = chamber->open_start;
        bool end = chamber->open_end;
        for (const auto& throttle : bank.throttles) {
            if ((throttle.feeds == geometry::FeedTarget::pre_chamber) == feeds_pre) {
                start |= throttle.position == geometry::FeedPosition::start;
                end |= throttle.position == geometry::FeedPosition::end;
            }
        }
        if (start && end) {
            refuse(messages, *outlet, "both ends of it are fed; leave one of them out");
        }
    }
}

/// The slot lies within a chamber's length.
void check_slot_place(const Scope& scope,
                      const geometry::Slot& slot,
                      const std::string& part,
                      double length,
                      Messages& messages) {
    if (!scope.good(part + ".length")) {
        return;
    }
    const auto beyond = [&](double from, double to, const std::string& what, Place place) {
        if (from < -slack || to > length + slack) {
            messages.error(place,
                           fmt::format("{}: {}-{} reaches beyond {} 0-{}; move it, shorten it "
                                       "or lengthen {}.length",
                                       what,
                                       messages.bare_length(from),
                                       messages.length(to),
                                       part,
                                       messages.length(length),
                                       part));
        }
    };
    const auto& list = scope.list("slot.pieces");
    for (std::size_t i = 0; i < slot.pieces.size(); ++i) {
        const auto& piece = slot.pieces[i];
        const Value* at = scope.good("slot.length");
        beyond(piece.x,
               piece.x + piece.length,
               shown_key(scope, list.empty() ? "slot" : fmt::format("slot.pieces.{}", i + 1)),
               i < list.size() ? list[i].place
               : at            ? at->place
                               : scope.place_of_section("slot"));
    }
    for (std::size_t i = 0; i < slot.holes.size(); ++i) {
        const auto& hole = slot.holes[i];
        beyond(hole.x - hole.length / 2,
               hole.x + hole.length / 2,
               fmt::format("{}: hole {}", shown_key(scope, "slot.holes.x"), i + 1),
               scope.good("slot.holes.x")->place);
    }
}

void check_width(const Scope& scope,
                 const Value* width,
                 const std::string& part,
                 std::optional<double> height,
                 Messages& messages) {
    if (!width || !height || width->numbers.empty()) {
        return;
    }
    const double widest = *std::max_element(width->numbers.begin(), width->numbers.end());
    if (widest > *height + slack) {
        refuse(messages,
               *width,
               fmt::format("slot width {} exceeds wall height {}; narrow the slot or raise "
                           "{}.height",
                           messages.length(widest),
                           messages.length(*height),
                           shown_key(scope, part)));
    }
}

void check_slot(const Scope& scope, const geometry::Bank& bank, Messages& messages) {
    for (const std::string part : {"pre_chamber", "plenum"}) {
        const auto& chamber = part == "plenum" ? bank.plenum : bank.pre_chamber;
        if (!chamber) {
            continue;
        }
        check_slot_place(scope, *bank.slot, part, chamber->length, messages);
        check_width(scope, scope.good("slot.width"), part, chamber->height, messages);
        for (const auto& piece : scope.list("slot.pieces")) {
            check_width(scope, piece.good("slot.pieces.width"), part, chamber->height, messages);
        }
    }
}

void check_mouths_inside(const Scope& scope, const geometry::Bank& bank, Messages& messages) {
    if (!bank.plenum || !scope.good("plenum.length")) {
        return;
    }
    const Value& x = *scope.good("runner.x");
    for (std::size_t i = 0; i < bank.runners.size(); ++i) {
        if (bank.runners[i].x > bank.plenum->length + slack) {
            messages.error(x.place,
                           fmt::format("{}: runner {} at {} lies outside plenum 0-{}; move it "
                                       "or lengthen {}",
                                       x.shown,
                                       i + 1,
                                       messages.length1(bank.runners[i].x),
                                       messages.length(bank.plenum->length),
                                       shown_key(scope, "plenum.length")));
        }
    }
}

}  // namespace

void check_bank(const Scope& scope, const geometry::Bank& bank, Messages& messages) {
    check_throttles(scope, bank, messages);
    check_outlets(scope, bank, messages);
    if (bank.slot) {
        check_slot(scope, bank, messages);
        check_slot_shop(scope, bank, messages);
    }
    if (scope.good("runner.x")) {
        check_mouths_inside(scope, bank, messages);
    }
}

}  // namespace plenair::file

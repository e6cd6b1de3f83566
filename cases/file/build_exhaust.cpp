#include "cases/file/build.hpp"

#include <algorithm>
#include <numbers>

#include <fmt/format.h>

/// Back pressure over crank angle: every table to the points and curves at which it holds.
namespace plenair::file {
namespace {

constexpr double whole_cycle = 4 * std::numbers::pi;

/// Angles of one cycle, at least two of them.
void check_angles(const Scope& scope, Messages& messages) {
    const Value* table = scope.good("exhaust.pressure");
    if (table == nullptr) {
        return;
    }
    if (table->x.size() < 2) {
        refuse(messages,
               *table,
               "one row; give two at least, or point.exhaust_pressure for a constant");
    } else if (table->x.back() >= whole_cycle * (1 - 1e-12)) {
        refuse(messages,
               *table,
               fmt::format("row {} is at {} deg, and a cycle ends at 720 deg, where the table goes "
                           "on with its first row; leave it out",
                           table->x.size(),
                           geometry::format_in(table->x.back(), "deg")));
    }
}

void check_cylinders(const Scope& scope, int count, Messages& messages) {
    const Value* list = scope.good("exhaust.cylinders");
    if (list == nullptr) {
        return;
    }
    for (const double cylinder : list->numbers) {
        if (count > 0 && cylinder > count) {
            refuse(messages,
                   *list,
                   fmt::format("cylinder {} of {}; check engine.firing_order", cylinder, count));
            return;
        }
    }
}

/// The names that no point and no curve has.
void check_names(const Scope& scope, const Case& c, Messages& messages) {
    const Value* names = scope.good("exhaust.points");
    if (names == nullptr) {
        return;
    }
    std::vector<std::string> known;
    for (const auto& point : c.points) {
        known.push_back(point.name);
    }
    for (const auto& curve : c.curves) {
        known.push_back(curve.name);
    }
    for (const auto& name : names->words) {
        if (std::find(known.begin(), known.end(), name) == known.end()) {
            const auto near = nearest_word(name, known);
            refuse(messages,
                   *names,
                   fmt::format("no point or curve is called \"{}\"; {}",
                               name,
                               near.empty() ? "check the names"
                                            : fmt::format("did you mean \"{}\"?", near)));
        }
    }
}

bool overlap(const ExhaustTable& a, const ExhaustTable& b) {
    return a.cylinders.empty() || b.cylinders.empty() ||
           std::any_of(a.cylinders.begin(), a.cylinders.end(), [&](int cylinder) {
               return std::find(b.cylinders.begin(), b.cylinders.end(), cylinder) !=
                      b.cylinders.end();
           });
}

/// False where the point has a table for one of its cylinders already.
bool add(OperatingPoint& point, const ExhaustTable& table) {
    const bool taken = std::any_of(
        point.exhaust_tables.begin(), point.exhaust_tables.end(), [&](const ExhaustTable& other) {
            return overlap(other, table);
        });
    point.exhaust_tables.push_back(table);
    return !taken;
}

}  // namespace

void build_exhaust(const Scope& root, Case& c, Messages& messages) {
    const auto& list = root.list("exhaust");
    if (!list.empty() && !root.has("engine")) {
        messages.error(list.front().place,
                       "[[exhaust]] without an engine; add [engine] or take it out");
        return;
    }
    for (const auto& scope : list) {
        check_angles(scope, messages);
        check_cylinders(scope, c.engine.cylinder_count(), messages);
        check_names(scope, c, messages);
        const Value table = scope.value("exhaust.pressure");
        if (table.numbers.empty()) {
            continue;
        }
        ExhaustTable made;
        made.own_angle = scope.word("exhaust.angle_after") == "own";
        made.angle = table.x;
        made.pressure = table.numbers;
        if (const Value* cylinders = scope.good("exhaust.cylinders")) {
            for (const double cylinder : cylinders->numbers) {
                made.cylinders.push_back(static_cast<int>(cylinder));
            }
        }
        const Value* names = scope.good("exhaust.points");
        const auto wanted = [&](const std::string& name) {
            return names == nullptr ||
                   std::find(names->words.begin(), names->words.end(), name) != names->words.end();
        };
        bool once = true;
        std::vector<bool> of_curve(c.points.size(), false);
        for (auto& curve : c.curves) {
            const bool all = wanted(curve.name);
            once = (!all || add(curve.base, made)) && once;
            for (std::size_t i = curve.first; all && i < curve.first + curve.count; ++i) {
                (void)add(c.points[i], made);
                of_curve[i] = true;
            }
        }
        for (std::size_t i = 0; i < c.points.size(); ++i) {
            if (!of_curve[i] && wanted(c.points[i].name)) {
                once = add(c.points[i], made) && once;
            }
        }
        if (!once) {
            messages.error(scope.place,
                           fmt::format("{}: another [[exhaust]] has one of its cylinders at the "
                                       "same point; give each cylinder one table a point",
                                       scope.shown));
        }
    }
}

}  // namespace plenair::file

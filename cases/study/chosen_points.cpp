#include "cases/study/chosen_points.hpp"

#include "cases/study/case.hpp"
#include "geometry/error.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace plenair::study {

namespace {

/// "the points are A1, A2; the curves are full"
std::string known_names(const Case& c) {
    std::vector<std::string> points, curves;
    const std::size_t loose = c.curves.empty() ? c.points.size() : c.curves.front().first;
    for (std::size_t p = 0; p < std::min(loose, c.points.size()); ++p) {
        points.push_back(c.points[p].name);
    }
    for (const auto& curve : c.curves) {
        curves.push_back(curve.name);
    }
    std::string text;
    if (!points.empty()) {
        text = fmt::format("the points are {}", fmt::join(points, ", "));
    }
    if (!curves.empty()) {
        text += fmt::format("{}the curves are {}, with points such as {}",
                            text.empty() ? "" : "; ",
                            fmt::join(curves, ", "),
                            c.points.at(c.curves.front().first).name);
    }
    return text;
}

/// Whether a name means the point: its own, or that of its curve.
bool means(const Case& c, const std::string& name, std::size_t p) {
    return c.points[p].name == name ||
           std::any_of(c.curves.begin(), c.curves.end(), [&](const auto& curve) {
               return curve.name == name && p >= curve.first && p < curve.first + curve.count;
           });
}

}  // namespace

std::vector<std::size_t> chosen_points(const Case& c,
                                       const std::vector<std::string>& names,
                                       const std::string& verb) {
    if (!c.has_engine) {
        throw InputError({fmt::format("{}: no [engine]: {} needs one", c.path, verb)});
    }
    if (c.points.empty()) {
        throw InputError({fmt::format(
            "{}: no [[point]] and no [[curve]]: {} needs at least one", c.path, verb)});
    }
    std::vector<bool> used(names.size(), false);
    std::vector<std::size_t> chosen;
    for (std::size_t p = 0; p < c.points.size(); ++p) {
        bool wanted = names.empty();
        for (std::size_t n = 0; n < names.size(); ++n) {
            if (means(c, names[n], p)) {
                wanted = used[n] = true;
            }
        }
        if (wanted) {
            chosen.push_back(p);
        }
    }
    std::vector<std::string> errors;
    for (std::size_t n = 0; n < names.size(); ++n) {
        if (!used[n]) {
            errors.push_back(
                fmt::format("{}: no point '{}'; {}", c.path, names[n], known_names(c)));
        }
    }
    if (!errors.empty()) {
        throw InputError(errors);
    }
    return chosen;
}

}  // namespace plenair::study

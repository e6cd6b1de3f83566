#include "cases/live/answer.hpp"

#include "cases/live/asked.hpp"
#include "cases/live/choose_one.hpp"
#include "cases/live/fragments.hpp"
#include "cases/report/html/live.hpp"
#include "cases/report/json.hpp"
#include "cases/report/json/quantities.hpp"
#include "cases/study/json_digest.hpp"
#include "cases/study/verdict.hpp"
#include "geometry/error.hpp"
#include "geometry/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <optional>
#include <utility>

namespace plenair {

using namespace live;

namespace {

constexpr std::size_t most_values = 1000;

struct Request {
    Json id;
    std::string kind, key;
    std::optional<std::string> point;
    std::vector<std::string> set, parts, values, points;
    double target = usual_spread_target;  ///< [-]
};

/// What cannot be answered: the exit status of the command line and its messages.
struct NoAnswer {
    int status = 2;
    std::vector<std::string> errors;
};

std::vector<std::string> strings(const Json& json, const char* name) {
    return json.contains(name) ? json.at(name).get<std::vector<std::string>>()
                               : std::vector<std::string>{};
}

Request read_request(const Json& json) {
    Request request;
    request.id = json.contains("id") ? json.at("id") : Json(nullptr);
    request.kind = json.at("kind").get<std::string>();
    if (json.contains("key")) {
        request.key = json.at("key").get<std::string>();
    }
    if (json.contains("point") && !json.at("point").is_null()) {
        request.point = json.at("point").get<std::string>();
    }
    request.set = strings(json, "set");
    request.parts = strings(json, "parts");
    request.values = strings(json, "values");
    request.points = strings(json, "points");
    if (json.contains("target_percent")) {
        request.target = geometry::from_unit(json.at("target_percent").get<double>(), "%");
    }
    if (request.values.size() > most_values) {
        throw InputError({fmt::format(
            "not a request: {} values; at most {} are drawn", request.values.size(), most_values)});
    }
    return request;
}

/// As the command line says it.
NoAnswer not_converged(const SolveResult& result) {
    NoAnswer fault;
    fault.status = 3;
    for (const auto& point : result.points) {
        if (!point.converged) {
            fault.errors.push_back(fmt::format(
                "point '{}' did not converge: {}; no shares are given", point.name, point.failure));
        }
    }
    return fault;
}

Json failed(const NoAnswer& fault) {
    return {{"ok", false}, {"status", fault.status}, {"errors", fault.errors}};
}

Json figures(const SolveResult& result) {
    Json json{{"ok", true}};
    add_quantities(json, result.points.front(), false);
    return json;
}

Json solved(const Request& request, const Case& c, const SolveResult& result) {
    if (!result.converged()) {
        return failed(not_converged(result));
    }
    Json html = Json::object();
    for (const auto& part : request.parts) {
        html[part] = live_fragment(part, c, result);
    }
    return {{"ok", true},
            {"bits", bits_digest(result.points)},
            {"solve", Json::parse(json_text(result))},
            {"html", std::move(html)}};
}

/// Charts of the curves over speed, from previews.
Json speeds(const Request& request, const Case& c) {
    std::vector<double> state;
    const SolveResult result = preview(c, state);
    return {{"ok", true}, {"html", {{"speeds", html::live_speeds(result, request.target)}}}};
}

/// The value of an entry that keeps the target.
/// @param open  the case with these overrides and one of its points
template <class Open>
Json chosen(const Request& request, const Open& open) {
    if (request.values.empty() || request.points.empty()) {
        throw InputError({"not a request: choose needs values and points"});
    }
    std::vector<std::vector<double>> states(request.points.size());
    std::optional<std::string> refused;  // a value that the case does not take has no result
    const auto solve_one = [&](std::size_t value, std::size_t point, bool cold) {
        auto set = request.set;
        set.push_back(request.key + "=" + request.values[value]);
        try {
            const Case c = open(set, request.points[point]);
            return cold ? certified(c, false) : preview(c, states[point]);
        } catch (const InputError& error) {
            refused = error.messages().front();
            return SolveResult{};
        }
    };
    const OneChoice choice =
        choose_one(request.values.size(), request.points.size(), request.target, solve_one);
    if (!choice.found && refused) {
        return failed({2, {*refused}});
    }
    Json json{{"ok", true},
              {"words", choice_words(choice, request.values, request.points, request.target)},
              {"solved", choice.solved}};
    if (choice.found) {
        json["value"] = request.values[choice.best.value];
        json["met"] = choice.met;
        json["spread_percent"] = geometry::to_unit(choice.best.spread, "%");
        json["slot_loss_percent"] = geometry::to_unit(choice.best.slot_loss, "%");
    }
    return json;
}

/// What a throwing answer has to say.
template <class Answer>
Json answer_or_fault(const Answer& answer) {
    try {
        return answer();
    } catch (const InputError& error) {
        return failed({2, error.messages()});
    } catch (const Json::exception& error) {
        return failed({2, {fmt::format("not a request: {}", error.what())}});
    } catch (const std::exception& error) {
        return failed({5, {fmt::format("internal fault: {}", error.what())}});
    }
}

}  // namespace

LiveModel::LiveModel(std::string case_text, std::string case_name)
    : text_(std::move(case_text)), name_(std::move(case_name)) {}

std::string LiveModel::answer(const std::string& text) {
    Json head = Json::object();
    const auto open_point = [this](const std::vector<std::string>& set,
                                   const std::optional<std::string>& point) {
        return asked_case(text_, name_, set, point);
    };
    const auto open_case = [&](const Request& request, const std::vector<std::string>& set) {
        return open_point(set, request.point);
    };
    const auto curve = [&](const Request& request) {
        Json points = Json::array();
        for (const auto& value : request.values) {
            Json entry = {{"value", value}};
            entry.update(answer_or_fault([&] {
                auto set = request.set;
                set.push_back(request.key + "=" + value);
                const auto result = preview(open_case(request, set), curve_state_);
                return result.converged() ? figures(result) : failed(not_converged(result));
            }));
            points.push_back(std::move(entry));
        }
        return Json{{"ok", true}, {"curve", std::move(points)}};
    };
    const Json body = answer_or_fault([&]() -> Json {
        const Request request = read_request(parse_json(text));
        head["id"] = request.id;
        head["kind"] = request.kind;
        if (request.kind == "curve") {
            return curve(request);
        }
        if (request.kind == "choose") {
            return chosen(request, open_point);
        }
        const Case c = open_case(request, request.set);
        if (request.kind == "speeds") {
            return speeds(request, c);
        }
        if (request.kind == "preview") {
            const auto result = preview(c, preview_state_);
            return solved(request, c, result);
        }
        if (request.kind == "certified" || request.kind == "bands") {
            return solved(request, c, certified(c, request.kind == "bands"));
        }
        return failed({2, {fmt::format("not a request: no kind of the name '{}'", request.kind)}});
    });
    head.update(body);
    return head.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace plenair

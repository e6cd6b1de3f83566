#include "cases/live/answer.hpp"

#include "cases/file/read.hpp"
#include "cases/live/fragments.hpp"
#include "cases/report/json.hpp"
#include "cases/report/json_quantities.hpp"
#include "cases/study/json_digest.hpp"
#include "geometry/error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <optional>
#include <utility>

namespace plenair {

namespace {

constexpr double preview_tolerance = 2e-4;  // shares to about a hundredth of a percent
constexpr double preview_refinement = 0.5;

constexpr std::size_t most_values = 1000;

struct Request {
    Json id;
    std::string kind, key;
    std::optional<std::string> point;
    std::vector<std::string> set, parts, values;
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
    if (request.values.size() > most_values) {
        throw InputError({fmt::format(
            "not a request: {} values; at most {} are drawn", request.values.size(), most_values)});
    }
    return request;
}

/// The case after its overrides, with the asked point alone.
Case asked_case(const std::string& text,
                const std::string& name,
                const std::vector<std::string>& set,
                const std::optional<std::string>& point) {
    Case c = parse_case(text, name, set);
    if (!point) {
        return c;
    }
    const auto found = std::find_if(
        c.points.begin(), c.points.end(), [&](const auto& p) { return p.name == *point; });
    if (found == c.points.end()) {
        throw InputError({fmt::format("{}: no point of the name '{}'", name, *point)});
    }
    c.points = {OperatingPoint(*found)};
    c.curves.clear();
    return c;
}

SolveResult preview(Case& c, std::vector<double>& state) {
    c.model.refinement = std::min(c.model.refinement, preview_refinement);
    c.model.tolerance = std::max(c.model.tolerance, preview_tolerance);
    SolveOptions options;
    options.threads = 1;
    options.start = &state;
    options.final_state = &state;
    return solve(c, options);
}

SolveResult certified(const Case& c, bool bands) {
    SolveOptions options;
    options.threads = 1;
    options.bands = bands;
    return solve(c, options);
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

/// What a throwing answer has to say.
template <class Answer>
Json answer_or_fault(const Answer& give) {
    try {
        return give();
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
    const auto open_case = [this](const Request& request, const std::vector<std::string>& set) {
        return asked_case(text_, name_, set, request.point);
    };
    const auto curve = [&](const Request& request) {
        Json points = Json::array();
        for (const auto& value : request.values) {
            Json entry = {{"value", value}};
            entry.update(answer_or_fault([&] {
                auto set = request.set;
                set.push_back(request.key + "=" + value);
                Case c = open_case(request, set);
                const auto result = preview(c, curve_state_);
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
        Case c = open_case(request, request.set);
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

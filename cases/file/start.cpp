#include "cases/file/start.hpp"

#include "cases/file/read.hpp"
#include "cases/file/start_answers.hpp"
#include "cases/file/start_rules.hpp"
#include "cases/file/start_sections.hpp"
#include "cases/file/toml.hpp"
#include "cases/file/toml_write.hpp"
#include "geometry/error.hpp"

#include <algorithm>
#include <set>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace plenair {
namespace {

using file::StartPlan;

/// Reads all answers in the order of the questions; adds what is wrong.
StartPlan plan_of(const StartRequest& request, std::vector<std::string>& faults) {
    StartPlan plan;
    for (const auto& question : start_questions()) {
        if (const auto found = request.answers.find(question.name);
            found != request.answers.end()) {
            if (auto fault = file::take_answer(plan, question.name, found->second);
                !fault.empty()) {
                faults.push_back(std::move(fault));
            }
        }
    }
    for (const auto& set : request.sets) {
        if (auto fault = file::take_set(plan, set); !fault.empty()) {
            faults.push_back(std::move(fault));
        }
    }
    return plan;
}

/// What a shipped case says of each entry, and its points.
void read_liked(const toml::table& table, const std::string& path, file::StartLiked& liked) {
    for (const auto& [name, node] : table) {
        const std::string key = file::join_keys(path, name.str());
        const file::Key* known = file::find_key(key);
        if (key == "point" && node.is_array()) {
            for (const auto& item : *node.as_array()) {
                auto& point = liked.points.emplace_back();
                for (const auto& [entry, value] : *item.as_table()) {
                    point["point." + std::string(entry.str())] = file::toml_value(value);
                }
            }
        } else if (known != nullptr && known->kind != file::Kind::list) {
            liked.values[key] = file::toml_value(node);
        } else if (const auto* inner = node.as_table(); inner && key != "assumed" &&
                                                        key != "sweep" && key != "choose" &&
                                                        key != "tolerance") {
            read_liked(*inner, key, liked);
        }
    }
}

/// Name of the case and its notes are not taken over.
file::StartLiked liked_of(const StartRequest& request) {
    file::StartLiked liked;
    if (request.like.empty()) {
        return liked;
    }
    file::Messages messages(request.like);
    if (const auto table = file::parse_toml(request.like_text, {}, messages)) {
        read_liked(*table, "", liked);
    }
    if (!liked.values.contains("engine.bore") || liked.points.empty()) {
        throw InputError({fmt::format("--like {}: is a rig without an engine; name a case with one",
                                      request.like)});
    }
    for (const std::string_view key : {"format", "case.title", "case.notes"}) {
        if (const auto found = liked.values.find(key); found != liked.values.end()) {
            liked.values.erase(found);
        }
    }
    return liked;
}

/// A message of the reader without its place: there is no file yet.
std::string without_place(const std::string& message, const std::string& path) {
    if (!message.starts_with(path + ":")) {
        return message;
    }
    const auto end = message.find(": ", path.size());
    return end == std::string::npos ? message : message.substr(end + 2);
}

std::vector<std::string> missing_answers(const StartRequest& request,
                                         const StartPlan& plan,
                                         const file::StartLiked& liked) {
    std::vector<std::string> missing;
    const auto needs = [&](const std::string& name, bool known) {
        if (!known && !request.answers.contains(name)) {
            missing.push_back("--" + name);
        }
    };
    needs("cylinders", plan.cylinders > 0 || liked.values.contains("engine.firing_order"));
    for (const std::string name : {"bore", "stroke"}) {
        needs(name,
              plan.given.contains("engine." + name) || liked.values.contains("engine." + name));
    }
    return missing;
}

}  // namespace

std::string answer_fault(const StartRequest& request,
                         std::string_view question,
                         const std::string& text) {
    std::vector<std::string> ignored;
    StartPlan plan = plan_of(request, ignored);
    return file::take_answer(plan, question, text);
}

std::string assumed_answer(const StartRequest& request, std::string_view question) {
    std::vector<std::string> ignored;
    const StartPlan plan = plan_of(request, ignored);
    const auto liked = liked_of(request);
    if (!missing_answers(request, plan, liked).empty()) {
        return {};
    }
    return file::assumed_answer_of(file::write_start(request, plan, liked), question);
}

StartedCase start_case(const StartRequest& request) {
    std::vector<std::string> faults;
    const StartPlan plan = plan_of(request, faults);
    const auto liked = liked_of(request);
    if (const auto missing = missing_answers(request, plan, liked); !missing.empty()) {
        faults.push_back(
            fmt::format("start needs {}: nothing can be assumed for {}; write e.g. plenair start "
                        "--cylinders 4 --bore \"86 mm\" --stroke \"86 mm\" -o case.toml, or begin "
                        "from a shipped case with --like",
                        fmt::join(missing, ", "),
                        missing.size() == 1 ? "it" : "them"));
    }
    if (!faults.empty()) {
        throw InputError(faults);
    }
    const auto written = file::write_start(request, plan, liked);
    StartedCase started{
        written.draft.text(), written.draft.given_count(), written.draft.assumed_count()};
    const std::string path = "case";
    try {
        (void)parse_case(started.text, path, {});
    } catch (const InputError& error) {
        std::vector<std::string> messages;
        for (const auto& message : error.messages()) {
            messages.push_back(without_place(message, path));
        }
        throw InputError(messages);
    }
    return started;
}

}  // namespace plenair

// Runs random engines through the built command, counts what fails by kind and shrinks the failing
// ones to the draws that matter. Measures, does not judge: run by scripts/soak.

#include "tests/support/random_engine.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cctype>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <map>
#include <mutex>
#include <string>
#include <thread>
#include <utility>
#include <vector>

namespace {

using plenair::test::EngineRange;
using plenair::test::random_engine;
using plenair::test::RandomEngine;

constexpr double longest_seconds = 20;  // what one point may cost on one core
constexpr double most_megabytes = 300;
constexpr double largest_balance = 1e-9;

struct Settings {
    std::string program, scratch, keep, out;
    std::uint64_t first = 1;
    int ordinary = 200, wide = 100, jobs = 1, shrink = 3;
    int seconds = 60;  // a run is ended after this much processor time
};

/// How a run ended. An empty kind: solved, nothing to complain of.
struct Verdict {
    std::string kind, detail;
    double seconds = 0, megabytes = 0, cycles = 0;
    bool unlike_engine = false;  ///< solved, but VE below 0.2 or more than half residual gas
};

struct Run {
    EngineRange range = EngineRange::ordinary;
    std::uint64_t seed = 0;
    Verdict verdict;
};

std::string slurp(const std::string& path) {
    std::ifstream file(path);
    return {std::istreambuf_iterator<char>(file), {}};
}

/// A message without its numbers and its place, so that alike failures count together.
std::string without_numbers(const std::string& text) {
    std::string out;
    for (const char c : text.substr(0, text.find('\n'))) {
        const bool digit = std::isdigit(static_cast<unsigned char>(c)) != 0;
        if (!digit) {
            out += c == '|' ? '/' : c;
        } else if (out.empty() || out.back() != '#') {
            out += '#';
        }
    }
    return out.substr(0, 110);
}

std::string kind_of_failure(const std::string& text) {
    if (text.find("physical states") != std::string::npos) {
        return "left physical states";
    }
    if (text.find("not a running engine") != std::string::npos) {
        return "refused: not a running engine";
    }
    if (text.find("not periodic") != std::string::npos ||
        text.find("repeat") != std::string::npos) {
        return "not periodic";
    }
    return "no result: " + without_numbers(text);
}

bool finite(const nlohmann::json& json) {
    if (json.is_number()) {
        return std::isfinite(json.get<double>());
    }
    return !json.is_null() && !json.is_string();
}

/// What is wrong with a point that claims to be solved.
void assess_point(const nlohmann::json& point, Verdict& v) {
    v.cycles = point.value("cycles", 0.0);
    if (!point.value("converged", false)) {
        v.detail = point.value("failure", "");
        v.kind = kind_of_failure(v.detail);
        return;
    }
    for (const char* key : {"air_flow_kg_s", "volumetric_efficiency", "spread_percent"}) {
        if (!finite(point.at(key))) {
            v.kind = fmt::format("{} is not a number", key);
            return;
        }
    }
    double sum = 0;
    for (const auto& cylinder : point.at("cylinders")) {
        for (const char* key : {"share", "air_trapped_kg", "residual_fraction"}) {
            if (!finite(cylinder.at(key)) || cylinder.at(key).get<double>() < 0) {
                v.kind = fmt::format("{} negative or not a number", key);
                return;
            }
        }
        sum += cylinder.at("share").get<double>();
        v.unlike_engine = v.unlike_engine || cylinder.at("residual_fraction").get<double>() > 0.5;
    }
    if (std::abs(sum - 1) > 1e-9) {
        v.kind = "shares do not add to 1";
    }
    for (const char* key : {"mass_balance", "energy_balance"}) {
        if (!finite(point.at(key)) || std::abs(point.at(key).get<double>()) > largest_balance) {
            v.kind = fmt::format("{} open", key);
            v.detail = point.at(key).dump();
        }
    }
    v.unlike_engine = v.unlike_engine || point.at("volumetric_efficiency").get<double>() < 0.2;
}

/// Runs the command on a case in a process of its own.
Verdict run(const Settings& settings, const RandomEngine& engine, const std::string& name) {
    const std::string base = settings.scratch + "/" + name;
    std::ofstream(base + ".toml") << engine.text;
    const pid_t child = fork();
    if (child == 0) {
        const rlimit limit{static_cast<rlim_t>(settings.seconds),
                           static_cast<rlim_t>(settings.seconds) + 2};
        setrlimit(RLIMIT_CPU, &limit);
        if (std::freopen((base + ".json").c_str(), "w", stdout) == nullptr ||
            std::freopen((base + ".err").c_str(), "w", stderr) == nullptr) {
            _exit(126);
        }
        execl(settings.program.c_str(),
              settings.program.c_str(),
              "solve",
              (base + ".toml").c_str(),
              "--json",
              "--bands",
              "off",
              static_cast<char*>(nullptr));
        _exit(127);
    }
    int status = 0;
    rusage usage{};
    wait4(child, &status, 0, &usage);
    Verdict v;
    v.seconds = static_cast<double>(usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
                1e-6 * static_cast<double>(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec);
    v.megabytes = static_cast<double>(usage.ru_maxrss) / 1024;
    const std::string errors = slurp(base + ".err");
    const int code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    if (WIFSIGNALED(status)) {
        v.kind = WTERMSIG(status) == SIGXCPU || WTERMSIG(status) == SIGKILL
                     ? fmt::format("ended after {} s", settings.seconds)
                     : fmt::format("signal {}", WTERMSIG(status));
    } else if (code == 0 || code == 3) {
        try {
            assess_point(nlohmann::json::parse(slurp(base + ".json")).at("points").at(0), v);
        } catch (const nlohmann::json::exception& e) {
            v.kind = "no result: " + without_numbers(errors.empty() ? e.what() : errors);
        }
    } else {
        v.detail = errors;
        const auto after = errors.find(".toml");
        v.kind = fmt::format("exit {}: ", code) +
                 without_numbers(after == std::string::npos ? errors : errors.substr(after + 5));
    }
    if (v.kind.empty() && v.seconds > longest_seconds) {
        v.kind = fmt::format("above {} s", longest_seconds);
    }
    if (v.kind.empty() && v.megabytes > most_megabytes) {
        v.kind = fmt::format("above {} MB", most_megabytes);
    }
    for (const char* ending : {".toml", ".json", ".err"}) {
        std::filesystem::remove(base + ending);
    }
    return v;
}

/// Sets draws back to their plain values, in ever smaller groups, as long as it fails alike.
RandomEngine shrunk(const Settings& settings, const Run& failing) {
    std::map<std::string, double> plain;
    RandomEngine best = random_engine(failing.range, failing.seed);
    Settings quick = settings;
    quick.seconds = std::min(settings.seconds, 30);
    int runs = 0;
    const auto still_fails = [&](const std::map<std::string, double>& fixed) {
        const RandomEngine tried = random_engine(failing.range, failing.seed, fixed);
        const bool same = ++runs <= 150 && run(quick, tried, "shrink").kind == failing.verdict.kind;
        if (same) {
            best = tried;
        }
        return same;
    };
    for (std::size_t group = best.remarkable().size(); group > 0; group /= 2) {
        const auto draws = best.remarkable();
        for (std::size_t i = 0; i < draws.size(); i += group) {
            auto fixed = plain;
            for (std::size_t j = i; j < std::min(i + group, draws.size()); ++j) {
                fixed[draws[j].name] = draws[j].plain;
            }
            if (still_fails(fixed)) {
                plain = fixed;
            }
        }
    }
    return best;
}

std::string name_of(EngineRange range) {
    return range == EngineRange::wide ? "wide" : "ordinary";
}

double percentile(std::vector<double> v, double share) {
    if (v.empty()) {
        return 0;
    }
    std::sort(v.begin(), v.end());
    return v[static_cast<std::size_t>(share * static_cast<double>(v.size() - 1))];
}

std::string summary(const std::vector<Run>& runs) {
    std::string text =
        "| range | engines | solved | without result | solved, VE < 0.2 or residual > 0.5 | "
        "cycles median / 95 % / most | of the others | s median / 95 % / most | MB most |\n"
        "| --- | --- | --- | --- | --- | --- | --- | --- | --- |\n";
    for (const auto range : {EngineRange::ordinary, EngineRange::wide}) {
        std::vector<double> cycles;
        std::vector<double> of_engines;
        std::vector<double> seconds;
        std::vector<double> megabytes;
        int solved = 0;
        int odd = 0;
        for (const Run& r : runs) {
            if (r.range == range) {
                seconds.push_back(r.verdict.seconds);
                megabytes.push_back(r.verdict.megabytes);
                solved += r.verdict.kind.empty() ? 1 : 0;
                odd += r.verdict.kind.empty() && r.verdict.unlike_engine ? 1 : 0;
                if (r.verdict.kind.empty()) {
                    cycles.push_back(r.verdict.cycles);
                    if (!r.verdict.unlike_engine) {
                        of_engines.push_back(r.verdict.cycles);
                    }
                }
            }
        }
        if (!seconds.empty()) {
            text += fmt::format(
                "| {} | {} | {} | {} | {} | {} / {} / {} | {} / {} / {} | {:.2f} / {:.2f} / {:.2f} "
                "| "
                "{:.0f} |\n",
                name_of(range),
                seconds.size(),
                solved,
                static_cast<int>(seconds.size()) - solved,
                odd,
                percentile(cycles, 0.5),
                percentile(cycles, 0.95),
                percentile(cycles, 1),
                percentile(of_engines, 0.5),
                percentile(of_engines, 0.95),
                percentile(of_engines, 1),
                percentile(seconds, 0.5),
                percentile(seconds, 0.95),
                percentile(seconds, 1),
                percentile(megabytes, 1));
        }
    }
    return text;
}

std::string failures(const std::vector<Run>& runs) {
    std::map<std::pair<std::string, std::string>, std::vector<const Run*>> kinds;
    for (const Run& r : runs) {
        if (!r.verdict.kind.empty()) {
            kinds[{name_of(r.range), r.verdict.kind}].push_back(&r);
        }
    }
    std::string text =
        "| range | kind | engines | seeds | as said for the first |\n"
        "| --- | --- | --- | --- | --- |\n";
    for (const auto& [kind, those] : kinds) {
        std::string seeds;
        for (std::size_t i = 0; i < std::min<std::size_t>(those.size(), 40); ++i) {
            seeds += fmt::format("{}{}", i == 0 ? "" : " ", those[i]->seed);
        }
        std::string said = those.front()->verdict.detail;
        std::replace_if(
            said.begin(), said.end(), [](char c) { return c == '\n' || c == '|'; }, ' ');
        text += fmt::format("| {} | {} | {} | {} | {} |\n",
                            kind.first,
                            kind.second,
                            those.size(),
                            seeds,
                            said.substr(0, 300));
    }
    return kinds.empty() ? "Nothing failed.\n" : text;
}

std::string shrunken(const Settings& settings, const std::vector<Run>& runs) {
    std::string text;
    std::map<std::string, int> seen;
    for (const Run& r : runs) {
        if (r.verdict.kind.empty() || ++seen[r.verdict.kind] > settings.shrink) {
            continue;
        }
        const RandomEngine small = shrunk(settings, r);
        std::string left;
        for (const auto& draw : small.remarkable()) {
            left += fmt::format("{}{} {}", left.empty() ? "" : "; ", draw.name, draw.value);
        }
        text += fmt::format("- {} {}, {}: {}\n", name_of(r.range), r.seed, r.verdict.kind, left);
        if (!settings.keep.empty()) {
            std::ofstream(fmt::format("{}/{}-{}.toml", settings.keep, name_of(r.range), r.seed))
                << small.text;
        }
    }
    return text;
}

Settings read_arguments(int count, char** values) {
    Settings s;
    for (int i = 1; i + 1 < count; i += 2) {
        const std::string key = values[i];
        const std::string value = values[i + 1];
        if (key == "--plenair") {
            s.program = value;
        } else if (key == "--scratch") {
            s.scratch = value;
        } else if (key == "--keep") {
            s.keep = value;
        } else if (key == "--out") {
            s.out = value;
        } else if (key == "--ordinary") {
            s.ordinary = std::stoi(value);
        } else if (key == "--wide") {
            s.wide = std::stoi(value);
        } else if (key == "--from") {
            s.first = std::stoull(value);
        } else if (key == "--jobs") {
            s.jobs = std::stoi(value);
        } else if (key == "--shrink") {
            s.shrink = std::stoi(value);
        } else if (key == "--seconds") {
            s.seconds = std::stoi(value);
        } else {
            std::cerr << "soak: unknown option " << key << "\n";
            std::exit(2);
        }
    }
    return s;
}

}  // namespace

int main(int count, char** values) {
    const Settings settings = read_arguments(count, values);
    std::filesystem::create_directories(settings.scratch);
    if (!settings.keep.empty()) {
        std::filesystem::create_directories(settings.keep);
    }
    std::vector<Run> runs;
    for (int i = 0; i < settings.ordinary + settings.wide; ++i) {
        const bool wide = i >= settings.ordinary;
        const int place = wide ? i - settings.ordinary : i;
        runs.push_back({wide ? EngineRange::wide : EngineRange::ordinary,
                        settings.first + static_cast<std::uint64_t>(place),
                        {}});
    }
    std::atomic<std::size_t> next{0};
    std::mutex said;
    const auto work = [&] {
        for (std::size_t i = next++; i < runs.size(); i = next++) {
            runs[i].verdict = run(
                settings, random_engine(runs[i].range, runs[i].seed), fmt::format("engine-{}", i));
            if (!runs[i].verdict.kind.empty()) {
                const std::lock_guard lock(said);
                std::cerr << fmt::format(
                    "{} {}: {}\n", name_of(runs[i].range), runs[i].seed, runs[i].verdict.kind);
            }
        }
    };
    std::vector<std::thread> threads;
    for (int j = 0; j < settings.jobs; ++j) {
        threads.emplace_back(work);
    }
    for (auto& thread : threads) {
        thread.join();
    }
    std::string text = summary(runs) + "\n" + failures(runs);
    if (settings.shrink > 0) {
        text +=
            "\nWhat is left of the first of each kind when all that does not matter is made "
            "plain:\n\n" +
            shrunken(settings, runs);
    }
    if (settings.out.empty()) {
        std::cout << text;
    } else {
        std::ofstream(settings.out) << text;
    }
    return std::any_of(
        runs.begin(), runs.end(), [](const Run& r) { return !r.verdict.kind.empty(); });
}

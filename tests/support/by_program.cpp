#include "tests/support/by_program.hpp"

#include "cases/file/read.hpp"
#include "cases/store/store.hpp"
#include "cases/study/bench.hpp"
#include "cases/study/solve.hpp"
#include "tests/support/run_process.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <cstdlib>

namespace plenair::test {

namespace {

using nlohmann::json;

const char* program() {
    return std::getenv("PLENAIR_PROGRAM");
}

BenchResult set_up_of(const json& j) {
    BenchResult r;
    r.name = j.at("name");
    r.converged = j.at("converged");
    r.failure = j.value("failure", "");
    r.iterations = j.at("iterations");
    r.residual = j.at("residual");
    r.depression = j.at("depression_pa");
    r.density = j.at("density_kg_m3");
    if (r.converged) {
        r.flow = j.at("flow_kg_s");
        r.cd = j.value("cd", 0.0);
        r.reference_area = j.value("reference_area_m2", 0.0);
        r.outlet_flow = j.value("outlet_flow_kg_s", 0.0);
        r.flow_per_runner = j.at("flow_per_runner_kg_s").get<std::vector<double>>();
        r.runners = j.at("runners").get<std::vector<int>>();
        r.x = j.at("x_m").get<std::vector<double>>();
        r.flow_per_length = j.at("flow_per_length_kg_s_m").get<std::vector<double>>();
        r.hole_flow = j.at("hole_flow_kg_s").get<std::vector<double>>();
        r.pressure_x = j.at("pressure_x_m").get<std::vector<double>>();
        r.static_pressure = j.at("static_pressure_pa").get<std::vector<double>>();
    }
    return r;
}

}  // namespace

BenchStudyResult bench_of(const std::string& text) {
    if (program() == nullptr) {
        return bench(parse_case(text, "rig.toml", {}));
    }
    const ScratchFolder scratch;
    const Outcome outcome = run_process(
        program(),
        {"bench", scratch.write("rig.toml", text), "--bands", "off", "--json", "--quiet"});
    REQUIRE_MESSAGE(!outcome.out.empty(), outcome.err);
    const json found = json::parse(outcome.out);
    BenchStudyResult study;
    for (const json& set_up : found.at("set_ups")) {
        study.set_ups.push_back(set_up_of(set_up));
    }
    return study;
}

SolveResult solve_of(const std::string& text, const std::vector<std::string>& sets) {
    if (program() == nullptr) {
        return solve(parse_case(text, "engine.toml", sets), {});
    }
    const ScratchFolder scratch;
    std::vector<std::string> words{"solve",
                                   scratch.write("engine.toml", text),
                                   "--bands",
                                   "off",
                                   "--quiet",
                                   "-o",
                                   scratch.path("out.json")};
    for (const std::string& set : sets) {
        words.emplace_back("--set");
        words.push_back(set);
    }
    const Outcome outcome = run_process(program(), words);
    REQUIRE_MESSAGE(outcome.status == 0, outcome.err);
    return read_results_json(scratch.path("out.json"));
}

}  // namespace plenair::test

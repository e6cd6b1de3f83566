#pragma once

#include "cases/study/bench.hpp"
#include "cases/study/solve_result.hpp"

#include <string>
#include <vector>

/// Rigs and engines written as case files, computed by the library that the test is linked with or,
/// where the environment has PLENAIR_PROGRAM, by that program: scripts/dev/mutate changes the
/// program and leaves the tests as they were built.
namespace plenair::test {

/// All set-ups of a case on the bench. Read back from a program: what `bench --json` holds of each
/// but its notes, bank, band and valve.
[[nodiscard]] BenchStudyResult bench_of(const std::string& text);

/// All points of a case, with these entries set. Fails the test where the program does.
[[nodiscard]] SolveResult solve_of(const std::string& text, const std::vector<std::string>& sets);

}  // namespace plenair::test

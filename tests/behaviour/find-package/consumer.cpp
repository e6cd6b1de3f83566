// A program outside this project: links the installed library, reads a case and solves it.
#include <cstdio>
#include <exception>

#include "cases/file/read.hpp"
#include "cases/study/study.hpp"
#include "geometry/error.hpp"

namespace {

int use(const char* path) {
    const auto c = plenair::read_case(path, {});
    if (plenair::check(c).numbers.empty()) {
        std::puts("check gave no numbers");
        return 1;
    }
    // A rig without engine: solve must refuse it with InputError, not print or exit.
    try {
        (void)plenair::solve(c, {});
    } catch (const plenair::InputError& error) {
        std::printf("solve refused the rig as it should: %s", error.what());
        return 0;
    }
    std::puts("solve accepted a rig without engine");
    return 1;
}

}  // namespace

int main(int argc, char** argv) {
    try {
        return argc == 2 ? use(argv[1]) : 2;
    } catch (const std::exception& error) {
        std::puts(error.what());
        return 1;
    }
}

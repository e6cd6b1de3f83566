#pragma once

#include <doctest/doctest.h>

#include <string>

#include "tests/support/run_process.hpp"

/// The distribution's Python, which has its packages; others on the path need not.
inline const std::string system_python = "/usr/bin/python3";

/// Whether a module can be imported; says so where a check is left out for want of it.
inline bool has_python_module(const std::string& module) {
    if (run_process(system_python, {"-c", "import " + module}).status == 0) {
        return true;
    }
    MESSAGE("SKIPPED: Python module " << module << " is not installed; run scripts/setup.sh");
    return false;
}

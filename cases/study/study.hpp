#pragma once

// For programs that use the library: a case and what can be asked of it. In here each file includes
// what it needs of these.
#include "cases/study/bench.hpp"
#include "cases/study/case.hpp"
#include "cases/study/check.hpp"
#include "cases/study/solve.hpp"

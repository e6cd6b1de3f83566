#!/usr/bin/env bash
# Builds plenair as people use it and runs every test; ends with the summary of the tests.
set -euo pipefail
cd "$(dirname "$0")/.."

scripts/dev/part "packages" scripts/setup.sh run report test
scripts/dev/part "build" scripts/dev/build test
scripts/dev/part "tests" ctest --preset test

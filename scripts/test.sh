#!/usr/bin/env bash
# Builds plenair as people use it and runs every test; ends with the summary of the tests.
set -euo pipefail
cd "$(dirname "$0")/.."

scripts/setup.sh
scripts/dev/build release
ctest --preset release

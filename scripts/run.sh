#!/usr/bin/env bash
# Builds plenair and solves the first shipped case: prints the table, writes build/hill-climb-four.h5.
# Builds what a solve needs: no tests, and reports without scripted charts and working model. Where
# everything has been configured before (scripts/test.sh, cmake --preset release) it stays so.
set -euo pipefail
cd "$(dirname "$0")/.."

scripts/setup.sh run
mkdir -p build
build=(cmake --build build/release -j 2 --target plenair)
echo "build: the program (log in build/run.log)"
if ! { { [[ -f build/release/build.ninja ]] || cmake --preset run; } && "${build[@]}"; } >build/run.log 2>&1; then
    # Names that clash where files compile as one must not keep anyone from the first table.
    if ! { cmake build/release -DPLENAIR_QUICK=OFF && "${build[@]}"; } >>build/run.log 2>&1; then
        tail -n 60 build/run.log >&2
        exit 1
    fi
fi

build/release/plenair solve cases/shipped/hill-climb-four/case.toml -o build/hill-climb-four.h5
echo
echo "Results with every profile: build/hill-climb-four.h5 (HDF5; ncdump and xarray open it)"

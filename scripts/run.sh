#!/usr/bin/env bash
# Builds plenair and solves the first shipped case: prints the table, writes out/hill-climb-four.h5.
set -euo pipefail
cd "$(dirname "$0")/.."

scripts/setup.sh
scripts/dev/build release

mkdir -p out
build/release/plenair solve cases/shipped/hill-climb-four/case.toml -o out/hill-climb-four.h5
echo
echo "Results with every profile: out/hill-climb-four.h5 (try: ncdump -h out/hill-climb-four.h5)"

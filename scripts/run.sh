#!/usr/bin/env bash
# Builds plenair and solves the first shipped case: prints the table, writes build/hill-climb-four.h5.
set -euo pipefail
cd "$(dirname "$0")/.."

scripts/setup.sh
scripts/dev/build release

build/release/plenair solve cases/shipped/hill-climb-four/case.toml -o build/hill-climb-four.h5
echo
echo "Results with every profile: build/hill-climb-four.h5 (try: ncdump -h build/hill-climb-four.h5)"

#!/usr/bin/env bash
# Installs, from the distribution (Debian 12), what is missing of the groups named (default: all).
#   scripts/setup.sh [run] [report] [test] [dev]
#     run     builds the program and solves
#     report  bundles charts and a working model into the program, for plenair report
#     test    builds and runs the tests
#     dev     formats, lints, measures; tests the figures of the Python package
# Safe to run again: with everything there it changes nothing. Needs root or sudo only to install.
set -euo pipefail

run=(
    g++ cmake ninja-build
    libeigen3-dev libboost-dev libhdf5-dev libtomlplusplus-dev libcli11-dev libfmt-dev
    nlohmann-json3-dev libnlopt-dev
)
report=(
    esbuild node-d3-scale node-d3-shape node-d3-axis node-d3-selection
    emscripten clang-14
)
test=(
    git doctest-dev libsundials-dev
    python3-fluids python3-h5py python3-xarray netcdf-bin
    r-base-core r-cran-jsonlite r-cran-ncdf4
    python3-ezdxf chromium firefox-esr poppler-utils fonts-dejavu-core fonts-liberation
    zsh fish groff-base
    slurm-wlm munge
    libclang-rt-14-dev bsdutils
)
dev=(ccache clang-format clang-tidy libbenchmark-dev python3-matplotlib)

# Any node runs the browser tests; the distribution's is taken where there is none.
command -v node >/dev/null || test+=(nodejs)

# From the npm registry: rules of accessibility for the browser tests, a language server for the schema.
# Without npm or network those checks say that they were skipped.
modules=(axe-core@4.14.1 @taplo/lsp@0.8.0)
wants_modules=no

packages=()
for group in "${@:-all}"; do
    case $group in
        run) packages+=("${run[@]}") ;;
        report) packages+=("${report[@]}") ;;
        test) packages+=("${test[@]}") wants_modules=yes ;;
        dev) packages+=("${dev[@]}") ;;
        all) wants_modules=yes packages+=("${run[@]}" "${report[@]}" "${test[@]}" "${dev[@]}") ;;
        *)
            echo "setup: no group '$group'; there are run, report, test, dev" >&2
            exit 2
            ;;
    esac
done

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
missing_modules=()
for module in "${modules[@]}"; do
    [[ -d $root/build/tools/node_modules/${module%@*} ]] || missing_modules+=("$module")
done
if [[ $wants_modules == yes ]] && ((${#missing_modules[@]} > 0)); then
    # All of them: npm takes away what it is not asked for.
    if command -v npm >/dev/null && npm install --silent --no-save --no-audit --no-fund --ignore-scripts \
        --prefix "$root/build/tools" "${modules[@]}" >/dev/null 2>&1; then
        echo "setup: ${missing_modules[*]} in build/tools"
    else
        echo "setup: no ${missing_modules[*]} (npm or its registry is not there): their checks are skipped" >&2
    fi
fi

missing=()
for package in "${packages[@]}"; do
    state=$(dpkg-query -W -f '${db:Status-Abbrev}' "$package" 2>/dev/null || true)
    [[ $state == ii* ]] || missing+=("$package")
done
if ((${#missing[@]} == 0)); then
    echo "setup: all ${#packages[@]} packages are there; nothing to do"
    exit 0
fi

as_root=()
if ((EUID != 0)); then
    if ! command -v sudo >/dev/null; then
        echo "setup: missing ${missing[*]}; run this as root, or install sudo" >&2
        exit 1
    fi
    as_root=(sudo)
fi

quietly=(env DEBIAN_FRONTEND=noninteractive apt-get -qq -o Dpkg::Use-Pty=0)
echo "setup: installing ${missing[*]}"
updated=no
for attempt in 1 2 3; do
    if "${as_root[@]}" "${quietly[@]}" update; then
        updated=yes
        break
    fi
    echo "setup: apt-get update failed (attempt $attempt of 3)" >&2
    sleep $((attempt * 5))
done
[[ $updated == yes ]] || echo "setup: going on with the package lists at hand" >&2
"${as_root[@]}" "${quietly[@]}" install -y --no-install-recommends "${missing[@]}" >/dev/null
echo "setup: done"

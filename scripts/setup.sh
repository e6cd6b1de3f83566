#!/usr/bin/env bash
# Installs, from the distribution (Debian 12), what is missing to build, test and check plenair.
# Safe to run again: with everything there it changes nothing. Needs root or sudo only to install.
set -euo pipefail

packages=(
    g++ cmake ninja-build ccache git
    libeigen3-dev libboost-dev libhdf5-dev libtomlplusplus-dev libcli11-dev libfmt-dev
    nlohmann-json3-dev doctest-dev libbenchmark-dev libsundials-dev
    clang-format clang-tidy
    python3-fluids python3-h5py netcdf-bin
    python3-ezdxf chromium poppler-utils
    slurm-wlm munge
    emscripten clang-14 libclang-rt-14-dev bsdutils
    esbuild node-d3-scale node-d3-shape node-d3-axis node-d3-selection
)

# Any node runs the browser tests; the distribution's is taken where there is none.
command -v node >/dev/null || packages+=(nodejs)

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

#!/usr/bin/env bash
# Runs every check of the project: formatting, lints, documentation, all tests and the comparisons
# with outside libraries. Installs what it needs into the target folder and tests/.venv only
# (and missing toolchain components, where rustup is there). Stops at the first failure.
#
#     bash tests/run.sh
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

PSYCHROLIB=2.5.0
TRIMESH=5.2.0
NUMPY=2.3.4
MEASURING=(pygeodesic==0.1.11 shapely==2.2.0)
# MIT licence; its wheel ships meshes. Only they are used, so what it needs itself is left out.
PYVISTA=0.49.1
SCIPY=1.16.3
# Reads workbooks, MIT licence.
OPENPYXL=3.1.5
# General-purpose geometry, MPL 2.
LIBIGL=2.6.3
# Drives a browser, Apache licence; the browser itself is the system's.
PLAYWRIGHT=1.65.2
# What is wrong with a page for readers, and by the HTML standard: MPL 2, MIT licence.
PAGE_CHECKERS=(axe-core@4.14.1 html-validate@10.9.0)
# General-purpose nesting, MIT licence.
SPYRROW=0.9.0
VENV=tests/.venv

stop() {
    printf '\nSTOPPED: %s\n' "$1" >&2
    exit 1
}

step() {
    local name=$1 from=$SECONDS
    shift
    printf '\n== %s\n' "$name"
    if ! "$@"; then
        stop "$name failed (command: $*)"
    fi
    printf '== %s: passed in %d s\n' "$name" $((SECONDS - from))
}

need_cargo() {
    if ! command -v cargo >/dev/null 2>&1; then
        stop "cargo was not found. Install Rust 1.89 or later: https://rustup.rs (or your system's package), open a new shell and run this again"
    fi
    cargo --version
    local part
    for part in fmt clippy; do
        if cargo "$part" --version >/dev/null 2>&1; then
            continue
        fi
        local component=$part
        [ "$part" = fmt ] && component=rustfmt
        if command -v rustup >/dev/null 2>&1 && rustup component add "$component"; then
            continue
        fi
        stop "cargo $part was not found and could not be added. Install the component $component (rustup component add $component, or your system's package)"
    done
}

document() {
    RUSTDOCFLAGS="-D warnings" cargo doc --quiet --no-deps --document-private-items --locked
}

has_psychrolib() {
    [ -x "$VENV/bin/python" ] && "$VENV/bin/python" - "$PSYCHROLIB" <<'PYTHON' >/dev/null 2>&1
import importlib.metadata, sys
sys.exit(importlib.metadata.version("psychrolib") != sys.argv[1])
PYTHON
}

prepare_python() {
    if has_psychrolib; then
        echo "psychrolib $PSYCHROLIB is there"
        return
    fi
    command -v python3 >/dev/null 2>&1 ||
        stop "python3 was not found. Install Python 3.8 or later; the comparison of dew points needs it"
    # A folder that an interrupted run left half made is made anew.
    python3 -m venv --clear "$VENV" ||
        stop "python3 -m venv failed. Install your system's package for it (python3-venv on Debian and Ubuntu)"
    "$VENV/bin/python" -m pip install --quiet --disable-pip-version-check "psychrolib==$PSYCHROLIB" ||
        stop "psychrolib $PSYCHROLIB could not be installed: is a package index in reach? Everything before this step has passed"
    has_psychrolib || stop "psychrolib $PSYCHROLIB was installed, but is not found in $VENV"
}

has_trimesh() {
    [ -x "$VENV/bin/python" ] && "$VENV/bin/python" - "$TRIMESH" "$NUMPY" <<'PYTHON' >/dev/null 2>&1
import importlib.metadata, sys
there = [importlib.metadata.version(name) for name in ("trimesh", "numpy")]
sys.exit(there != sys.argv[1:])
PYTHON
}

prepare_trimesh() {
    if has_trimesh; then
        echo "trimesh $TRIMESH is there"
        return
    fi
    "$VENV/bin/python" -m pip install --quiet --disable-pip-version-check "trimesh==$TRIMESH" "numpy==$NUMPY" ||
        stop "trimesh $TRIMESH and numpy $NUMPY could not be installed: is a package index in reach? Everything before this step has passed"
    has_trimesh || stop "trimesh $TRIMESH was installed, but is not found in $VENV"
}

compare_scans() {
    local folder
    folder=$(mktemp -d)
    cargo run --quiet --locked --example scan_shapes -- "$folder" >"$folder/read.csv" &&
        "$VENV/bin/python" tests/compare_scans.py "$folder"
    local result=$?
    rm -rf "$folder"
    return $result
}

has_scipy() {
    has_trimesh && "$VENV/bin/python" - "$SCIPY" <<'PYTHON' >/dev/null 2>&1
import importlib.metadata, sys
sys.exit(importlib.metadata.version("scipy") != sys.argv[1])
PYTHON
}

prepare_scipy() {
    if has_scipy; then
        echo "scipy $SCIPY is there"
        return
    fi
    "$VENV/bin/python" -m pip install --quiet --disable-pip-version-check \
        --only-binary :all: "scipy==$SCIPY" "numpy==$NUMPY" ||
        stop "scipy $SCIPY could not be installed: is a package index in reach, and has it wheels for this Python? Everything before this step has passed"
    has_scipy || stop "scipy $SCIPY was installed, but is not found in $VENV"
}

has_measuring() {
    has_trimesh && "$VENV/bin/python" - "${MEASURING[@]}" "pyvista==$PYVISTA" <<'PYTHON' >/dev/null 2>&1
import importlib.metadata, sys
wanted = [each.split("==") for each in sys.argv[1:]]
sys.exit(any(importlib.metadata.version(name) != version for name, version in wanted))
PYTHON
}

prepare_measuring() {
    if has_measuring; then
        echo "${MEASURING[*]} pyvista==$PYVISTA are there"
        return
    fi
    "$VENV/bin/python" -m pip install --quiet --disable-pip-version-check \
        --only-binary :all: "${MEASURING[@]}" "numpy==$NUMPY" &&
        "$VENV/bin/python" -m pip install --quiet --disable-pip-version-check \
            --only-binary :all: --no-deps "pyvista==$PYVISTA" ||
        stop "${MEASURING[*]} and pyvista $PYVISTA could not be installed: is a package index in reach, and has it wheels for this Python? Everything before this step has passed"
    has_measuring || stop "${MEASURING[*]} were installed, but are not found in $VENV"
}

compare_distances() {
    "$VENV/bin/python" tests/compare_distances.py cargo run --quiet --locked --example mesh_distances --
}

compare_public_mesh() {
    local built=${CARGO_TARGET_DIR:-target}/debug
    cargo build --quiet --locked --bin plymend --example mesh_distances &&
        "$VENV/bin/python" tests/compare_public_mesh.py "$built/plymend" "$built/examples/mesh_distances"
}

has_spyrrow() {
    has_measuring && "$VENV/bin/python" - "$SPYRROW" <<'PYTHON' >/dev/null 2>&1
import importlib.metadata, sys
sys.exit(importlib.metadata.version("spyrrow") != sys.argv[1])
PYTHON
}

prepare_spyrrow() {
    if has_spyrrow; then
        echo "spyrrow $SPYRROW is there"
        return
    fi
    "$VENV/bin/python" -m pip install --quiet --disable-pip-version-check \
        --only-binary :all: "spyrrow==$SPYRROW" ||
        stop "spyrrow $SPYRROW could not be installed: is a package index in reach, and has it wheels for this Python? Everything before this step has passed"
    has_spyrrow || stop "spyrrow $SPYRROW was installed, but is not found in $VENV"
}

has_libigl() {
    has_measuring && "$VENV/bin/python" - "$LIBIGL" <<'PYTHON' >/dev/null 2>&1
import importlib.metadata, sys
sys.exit(importlib.metadata.version("libigl") != sys.argv[1])
PYTHON
}

prepare_libigl() {
    if has_libigl; then
        echo "libigl $LIBIGL is there"
        return
    fi
    "$VENV/bin/python" -m pip install --quiet --disable-pip-version-check \
        --only-binary :all: "libigl==$LIBIGL" "numpy==$NUMPY" "scipy==$SCIPY" ||
        stop "libigl $LIBIGL could not be installed: is a package index in reach, and has it wheels for this Python? Everything before this step has passed"
    has_libigl || stop "libigl $LIBIGL was installed, but is not found in $VENV"
}

compare_flattening() {
    cargo run --quiet --locked --example flatten_traces | "$VENV/bin/python" tests/compare_flattening.py
}

compare_nest() {
    cargo run --quiet --locked --example nest_pieces -- tests/nest/pieces.json |
        "$VENV/bin/python" tests/compare_nest.py tests/nest/pieces.json
}

has_openpyxl() {
    [ -x "$VENV/bin/python" ] && "$VENV/bin/python" - "$OPENPYXL" <<'PYTHON' >/dev/null 2>&1
import importlib.metadata, sys
sys.exit(importlib.metadata.version("openpyxl") != sys.argv[1])
PYTHON
}

prepare_openpyxl() {
    if has_openpyxl; then
        echo "openpyxl $OPENPYXL is there"
        return
    fi
    "$VENV/bin/python" -m pip install --quiet --disable-pip-version-check "openpyxl==$OPENPYXL" ||
        stop "openpyxl $OPENPYXL could not be installed: is a package index in reach? Everything before this step has passed"
    has_openpyxl || stop "openpyxl $OPENPYXL was installed, but is not found in $VENV"
}

# With the examples, so that dependencies have the features they had for the tests and nothing is
# compiled anew.
compare_sheets() {
    cargo build --quiet --locked --bin plymend --examples &&
        "$VENV/bin/python" tests/compare_sheets.py "${CARGO_TARGET_DIR:-target}/debug/plymend"
}

# A reader of PDFs and a browser; systems' packages, so they are fetched only where this user may, and
# while the crate is compiled.
FETCHING=
fetch_system_packages() {
    if command -v pdftocairo >/dev/null 2>&1 && find_browser >/dev/null; then
        return
    fi
    if command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
        (apt-get update --quiet=2 &&
            DEBIAN_FRONTEND=noninteractive apt-get install --quiet=2 --yes --no-install-recommends \
                poppler-utils chromium fonts-dejavu-core) >/dev/null 2>&1 &
        FETCHING=$!
    fi
}

fetched() {
    if [ -n "$FETCHING" ]; then
        wait "$FETCHING" || true
        FETCHING=
    fi
}

find_browser() {
    local name
    for name in chromium chromium-browser google-chrome; do
        command -v "$name" && return
    done
    return 1
}

prepare_poppler() {
    fetched
    command -v pdfinfo >/dev/null 2>&1 && command -v pdftocairo >/dev/null 2>&1 ||
        stop "poppler was not found and could not be installed here. Install your system's package for it (poppler-utils on Debian and Ubuntu) and run this again. Everything before this step has passed"
    pdfinfo -v 2>&1 | sed -n 1p
}

compare_patterns() {
    cargo build --quiet --locked --bin plymend --examples &&
        "$VENV/bin/python" tests/compare_patterns.py "${CARGO_TARGET_DIR:-target}/debug/plymend"
}

prepare_browser() {
    fetched
    find_browser >/dev/null ||
        stop "Chromium was not found and could not be installed here. Install your system's package for it (chromium on Debian and Ubuntu) and run this again. Everything before this step has passed"
    "$(find_browser)" --version
}

has_page_checkers() {
    [ -x "$VENV/bin/python" ] && "$VENV/bin/python" - "$PLAYWRIGHT" <<'PYTHON' >/dev/null 2>&1 || return 1
import importlib.metadata, sys
sys.exit(importlib.metadata.version("playwright") != sys.argv[1])
PYTHON
    local checker
    for checker in "${PAGE_CHECKERS[@]}"; do
        grep --quiet "\"version\": \"${checker##*@}\"" \
            "$VENV/node/node_modules/${checker%@*}/package.json" 2>/dev/null || return 1
    done
}

prepare_page_checkers() {
    if has_page_checkers; then
        echo "playwright $PLAYWRIGHT ${PAGE_CHECKERS[*]} are there"
        return
    fi
    command -v npm >/dev/null 2>&1 ||
        stop "npm was not found. Install Node.js 20.19 or later with npm; the checks of the pages need it. Everything before this step has passed"
    "$VENV/bin/python" -m pip install --quiet --disable-pip-version-check \
        --only-binary :all: "playwright==$PLAYWRIGHT" ||
        stop "playwright $PLAYWRIGHT could not be installed: is a package index in reach, and has it wheels for this Python? Everything before this step has passed"
    mkdir -p "$VENV/node" &&
        npm install --prefix "$VENV/node" --no-save --no-audit --no-fund --loglevel=error "${PAGE_CHECKERS[@]}" >/dev/null ||
        stop "${PAGE_CHECKERS[*]} could not be installed: is an npm registry in reach? Everything before this step has passed"
    has_page_checkers || stop "playwright and ${PAGE_CHECKERS[*]} were installed, but are not found in $VENV"
}

compare_pages() {
    cargo build --quiet --locked --bin plymend --examples &&
        "$VENV/bin/python" tests/compare_pages.py "${CARGO_TARGET_DIR:-target}/debug/plymend" \
            "$(find_browser)" "$VENV/node/node_modules"
}

compare_dew_points() {
    cargo run --quiet --locked --example dew_points | "$VENV/bin/python" tests/compare_dew_points.py
}

compare_growth() {
    cargo run --quiet --locked --example growth_traces | "$VENV/bin/python" tests/compare_growth.py
}

compare_cure() {
    cargo run --quiet --locked --example slab_traces | "$VENV/bin/python" tests/compare_cure.py
}

step "toolchain" need_cargo
fetch_system_packages
step "formatting" cargo fmt --check
step "lints" cargo clippy --quiet --all-targets --locked -- -D warnings
step "documentation" document
step "tests" cargo test --quiet --locked
step "example programs" cargo build --quiet --examples --locked
step "Python for the comparison" prepare_python
step "dew points against psychrolib" compare_dew_points
step "Python for the scans" prepare_trimesh
step "scans against trimesh" compare_scans
step "Python for heat and cure" prepare_scipy
step "heat and cure against SciPy" compare_cure
step "rates and learnt growth against SciPy" compare_growth
step "Python for distances" prepare_measuring
step "distances against pygeodesic, flat areas against Shapely" compare_distances
step "Python for flattening" prepare_libigl
step "skins laid flat against closed forms and libigl" compare_flattening
step "Python for cut plans" prepare_spyrrow
step "cut plans against spyrrow and Shapely" compare_nest
step "Python for workbooks" prepare_openpyxl
step "workbooks against the JSON" compare_sheets
step "poppler for paper" prepare_poppler
step "full-size patterns read back from paper" compare_patterns
step "a browser" prepare_browser
step "checkers of pages" prepare_page_checkers
step "pages in a browser, on paper and by the keyboard" compare_pages
step "a public mesh through the whole program" compare_public_mesh

printf '\nALL PASSED in %d s\n' "$SECONDS"

#!/usr/bin/env bash
# Runs every check of the project: formatting, lints, documentation, all tests and the comparisons
# with outside libraries. Installs what it needs into the target folder, tests/.venv and tests/.node
# and, where it may, missing toolchain components and the system's packages of a PDF reader and a
# browser.
# Stops at the first failure.
#
#     bash tests/run.sh
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

# What comparisons are made with; every version is pinned. `trimesh`, `shapely`, `libigl` (MPL 2) and
# `spyrrow` (MIT) are general-purpose geometry, `openpyxl` (MIT) reads workbooks, `playwright` (Apache)
# drives a browser.
PYTHON=(
    numpy==2.3.4 scipy==1.16.3 psychrolib==2.5.0 trimesh==5.2.0 pygeodesic==0.1.11 shapely==2.2.0
    libigl==2.6.3 spyrrow==0.9.0 openpyxl==3.1.5 playwright==1.65.2
)
# MIT licence; its wheel ships meshes. Only they are used, so what it needs itself is left out.
PYTHON_ALONE=(pyvista==0.49.1)
# What is wrong with a page for readers, and by the HTML standard: MPL 2, MIT licence.
PAGE_CHECKERS=(axe-core@4.14.1 html-validate@10.9.0)
VENV=tests/.venv
NODE=tests/.node
BUILT=${CARGO_TARGET_DIR:-target}/debug

LOGS=$(mktemp -d)
trap 'kill $(jobs -p) 2>/dev/null || true; rm -rf "$LOGS"' EXIT

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

# ---- what is fetched while the crate is compiled

# Runs a fetcher in the background; `fetched NAME` waits for it and shows what it said.
fetch() {
    ("$1" >"$LOGS/$1" 2>&1) &
    echo $! >"$LOGS/$1.pid"
}

fetched() {
    local ended=0
    wait "$(cat "$LOGS/$1.pid")" || ended=$?
    cat "$LOGS/$1"
    return $ended
}

has_python() {
    [ -x "$VENV/bin/python" ] && "$VENV/bin/python" - "${PYTHON[@]}" "${PYTHON_ALONE[@]}" <<'CHECK' >/dev/null 2>&1
import importlib.metadata, sys
wanted = [each.split("==") for each in sys.argv[1:]]
sys.exit(any(importlib.metadata.version(name) != version for name, version in wanted))
CHECK
}

python_libraries() {
    if has_python; then
        echo "all libraries are there"
        return
    fi
    command -v python3 >/dev/null 2>&1 ||
        stop "python3 was not found. Install Python 3.11 or later; the comparisons need it"
    # A folder that an interrupted run left half made is made anew.
    python3 -m venv --clear "$VENV" ||
        stop "python3 -m venv failed. Install your system's package for it (python3-venv on Debian and Ubuntu)"
    # Wheels only, so that nothing is compiled here; psychrolib is plain Python and has none.
    local pip=("$VENV/bin/python" -m pip install --quiet --disable-pip-version-check --only-binary :all: --no-binary psychrolib)
    "${pip[@]}" "${PYTHON[@]}" && "${pip[@]}" --no-deps "${PYTHON_ALONE[@]}" ||
        stop "${PYTHON[*]} ${PYTHON_ALONE[*]} could not be installed: is a package index in reach, and has it wheels for this Python?"
    has_python || stop "the libraries were installed, but are not found in $VENV"
    echo "${PYTHON[*]} ${PYTHON_ALONE[*]}"
}

has_page_checkers() {
    local checker
    for checker in "${PAGE_CHECKERS[@]}"; do
        grep --quiet "\"version\": \"${checker##*@}\"" \
            "$NODE/node_modules/${checker%@*}/package.json" 2>/dev/null || return 1
    done
}

page_checkers() {
    if ! has_page_checkers; then
        command -v npm >/dev/null 2>&1 ||
            stop "npm was not found. Install Node.js 20.19 or later with npm; the checks of the pages need it"
        mkdir -p "$NODE" &&
            npm install --prefix "$NODE" --no-save --no-audit --no-fund --loglevel=error "${PAGE_CHECKERS[@]}" >/dev/null ||
            stop "${PAGE_CHECKERS[*]} could not be installed: is an npm registry in reach?"
        has_page_checkers || stop "${PAGE_CHECKERS[*]} were installed, but are not found in $NODE"
    fi
    echo "${PAGE_CHECKERS[*]}"
}

find_browser() {
    local name
    for name in chromium chromium-browser google-chrome; do
        command -v "$name" && return
    done
    return 1
}

has_poppler() {
    command -v pdfinfo >/dev/null 2>&1 && command -v pdftocairo >/dev/null 2>&1 && command -v pdftotext >/dev/null 2>&1
}

# Systems' packages are fetched only where this user may.
paper_and_browser() {
    if ! { has_poppler && find_browser >/dev/null; } &&
        command -v apt-get >/dev/null 2>&1 && [ "$(id -u)" = 0 ]; then
        apt-get update --quiet=2 &&
            DEBIAN_FRONTEND=noninteractive apt-get install --quiet=2 --yes --no-install-recommends \
                poppler-utils chromium fonts-dejavu-core >"$LOGS/apt" 2>&1 || tail -n 20 "$LOGS/apt"
    fi
    has_poppler ||
        stop "poppler was not found and could not be installed here. Install your system's package for it (poppler-utils on Debian and Ubuntu) and run this again"
    find_browser >/dev/null ||
        stop "Chromium was not found and could not be installed here. Install your system's package for it (chromium on Debian and Ubuntu) and run this again"
    # The whole of what each says is read: a pipe closed early would end it with an error.
    pdfinfo -v 2>&1 | sed -n 1p
    "$(find_browser)" --version
}

# ---- the crate by itself

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

# ---- comparisons with outside libraries: what is built is run, nothing is compiled

compare() {
    local about=$1
    shift
    "$VENV/bin/python" "tests/compare_$about.py" "$@"
}

scans() {
    mkdir "$LOGS/scans" && "$BUILT/examples/scan_shapes" "$LOGS/scans" >"$LOGS/scans/read.csv" &&
        compare scans "$LOGS/scans"
}

growth() { "$BUILT/examples/growth_traces" | compare growth; }
cure() { "$BUILT/examples/slab_traces" | compare cure; }
dew_points() { "$BUILT/examples/dew_points" | compare dew_points; }
flattening() { "$BUILT/examples/flatten_traces" | compare flattening; }
nest() { "$BUILT/examples/nest_pieces" tests/nest/pieces.json | compare nest tests/nest/pieces.json; }

page_comparisons() {
    step "pages in a browser, on paper and by the keyboard" \
        compare pages "$BUILT/plymend" "$(find_browser)" "$NODE/node_modules"
}

comparisons() {
    step "dew points against psychrolib" dew_points
    step "scans against trimesh" scans
    step "heat and cure against SciPy" cure
    step "rates and learnt growth against SciPy" growth
    step "distances against pygeodesic, flat areas against Shapely" compare distances "$BUILT/examples/mesh_distances"
    step "skins laid flat against closed forms and libigl" flattening
    step "workbooks against the JSON" compare sheets "$BUILT/plymend"
    step "full-size patterns read back from paper" compare patterns "$BUILT/plymend"
    step "a public mesh through the whole program" compare public_mesh "$BUILT/plymend" "$BUILT/examples/mesh_distances"
}

step "toolchain" need_cargo
fetch paper_and_browser
fetch page_checkers
fetch python_libraries
step "formatting" cargo fmt --check
step "lints" cargo clippy --quiet --all-targets --locked -- -D warnings
step "documentation" document
step "tests" cargo test --quiet --locked
# With the examples, so that dependencies have the features they had for the tests.
step "the program and its examples" cargo build --quiet --bin plymend --examples --locked
step "Python's libraries" fetched python_libraries
step "a reader of PDFs, a browser" fetched paper_and_browser
step "checkers of pages" fetched page_checkers
# What waits for a browser runs beside what computes.
fetch page_comparisons
comparisons
step "pages" fetched page_comparisons
# Alone: the other side of this one is given seconds, not moves.
step "cut plans against spyrrow and Shapely" nest

printf '\nALL PASSED in %d s\n' "$SECONDS"

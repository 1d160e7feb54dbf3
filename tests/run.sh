#!/bin/sh
# Runs every test, and installs first what they need: a circuit simulator,
# editors, readers of PDF and a browser from Debian, a validator of HTML from npm,
# and a Python environment with independent packages to compare with.
# Fails loudly where something cannot be installed; no test is skipped.
set -eu
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
cd "$here/.."
command -v ngspice >/dev/null 2>&1 || sh tests/outside/install.sh
sh tests/outside/python/install.sh
sh tests/paper/install.sh
# The same made-up texts every time; another seed looks elsewhere.
PROPTEST_RNG_SEED="${PROPTEST_RNG_SEED:-1}"
export PROPTEST_RNG_SEED
# Everything is built at once, and every test runs that program: built for one crate
# alone, the libraries would be asked for other features and built again.
cargo test --workspace --locked --no-run "$@"
RETIN_PROGRAM="${CARGO_TARGET_DIR:-$(pwd)/target}/debug/retin"
export RETIN_PROGRAM
sh tests/clients/run.sh
exec cargo test --workspace --locked "$@"

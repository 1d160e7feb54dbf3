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
sh tests/clients/run.sh
# The same made-up texts every time; another seed looks elsewhere.
PROPTEST_RNG_SEED="${PROPTEST_RNG_SEED:-1}"
export PROPTEST_RNG_SEED
exec cargo test --workspace --locked "$@"

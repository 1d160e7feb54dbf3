#!/bin/sh
# Creates target/python, the Python environment of the tests in tests/outside.
set -eu
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
environment="$here/../../../target/python"
python3 -m venv "$environment"
"$environment/bin/python" -m pip install --quiet --disable-pip-version-check \
    --requirement "$here/requirements.txt"
# These would bring plotting and word processing along, which no test needs.
"$environment/bin/python" -m pip install --quiet --disable-pip-version-check --no-deps \
    --requirement "$here/requirements-readers.txt"

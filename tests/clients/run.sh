#!/bin/sh
# Runs the tests of the editor packages and of the server, and installs first what
# they need. RETIN_PROGRAM names a program that is built already.
set -eu
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
sh "$here/install.sh"
cd "$here"
# A test that fails leaves its server running; nothing is to wait for that.
node --test --test-force-exit
# The same program that the tests above have built.
RETIN_PROGRAM=${RETIN_PROGRAM:-${CARGO_TARGET_DIR:-$here/../../target}/debug/retin}
export RETIN_PROGRAM
exec ../../target/clients-python/bin/python -m pytest --quiet -p no:cacheprovider python

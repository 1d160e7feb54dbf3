#!/bin/sh
# Runs the tests of the editor packages, and installs first what they need.
set -eu
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
sh "$here/install.sh"
cd "$here"
exec node --test

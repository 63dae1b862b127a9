#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Which changes to the source would no test notice? Changes one place at a time, in a copy of the tree.
#
#   sh tests/mutation/run.sh                    # 60 changes in each room of the rules; half an hour on two cores
#   sh tests/mutation/run.sh 200 coverage       # 200 in one room
#   sh tests/mutation/run.sh 0 src/music/key.c  # all that a file has

set -eu
. "$(dirname "$0")/../../src/setup.sh"
root=$(dirname "$root")

most=${1:-60}
[ $# -gt 0 ] && shift
[ $# -gt 0 ] || set -- music keyboard coverage route study
# shellcheck disable=SC2086 # one word a package
install_missing $build_packages binutils libcmocka-dev libjansson-dev python3
tree=$root/build-mutation/tree
rm -rf "$root/build-mutation"
mkdir -p "$tree"
(cd "$root" && git ls-files -z | xargs -0 cp --parents -t "$tree")
meson setup "$tree/build" "$tree" -Dbuildtype=plain -Dc_args=-O1 >/dev/null
exec python3 "$root/tests/mutation/mutate.py" "$tree" "$tree/build" "$@" --most "$most" --seed "${MUTATION_SEED:-1}" \
  --jobs "${MUTATION_JOBS:-2}"

#!/bin/sh
# Copyright 2026 the rowcall developers
# SPDX-License-Identifier: MIT

# Runs the program under valgrind: valgrind.sh BUILD [all]. By default each command with each format that it reads or
# writes, and the ways in which it is used wrongly; with `all` every run of the tests of the command line, which takes
# ten minutes. Fails where valgrind says anything of any run.

set -eu
build=$(cd "$1" && pwd)
root=$(cd "$(dirname "$0")/.." && pwd)
said=$build/valgrind
rm -rf "$said"
mkdir "$said"

cat >"$said/rowcall" <<WRAPPER
#!/bin/sh
exec valgrind -q --log-file="$said/%p.log" --leak-check=full --show-leak-kinds=definite --num-callers=30 --vgdb=no \\
  --suppressions="$root/tests/valgrind.supp" "$build/src/rowcall" "\$@"
WRAPPER
cat >"$said/run" <<'RUN'
#!/bin/sh
# run ROWCALL STATUS ARGUMENT...
rowcall=$1
status=$2
shift 2
got=0
said=$("$rowcall" "$@" 2>&1 >/dev/null) || got=$?
[ "$got" -eq "$status" ] || { echo "exit status $got, not $status: rowcall $*"; echo "$said"; exit 1; }
RUN
chmod +x "$said/rowcall" "$said/run"

# The exit status to expect, and a command.
commands() {
  cat <<'COMMANDS'
0 --help
0 --version
2 compair
0 tune --help
2 tune corpus --onn 48-8x6
0 layouts
0 layouts --format json
0 layouts layouts/60.yaml
0 layouts 48-8x6 -o out/board.svg
0 layouts 120 -o out/board.png
2 layouts 47
0 chord Bm Bm7b5/F# N.C. --on 48-8x6
0 chord Bm --on 48-8x6 --format csv
0 chord Bm --on 48-8x6 --format json
2 chord Bmx --on 48-8x6
0 compare corpus
0 compare corpus --format csv
0 compare corpus --format json
1 chord Bm Bmx --on 48-8x6
0 compare corpus -o out/coverage.png
0 compare tests/reference/scores tests/reference/songs
1 compare tests/corpus_abc/good tests/corpus_abc/bad
2 compare tests/corpus_abc/bad/prose.abc
0 sizes corpus/waltzes.yaml
0 sizes corpus/waltzes.yaml --format csv
0 sizes corpus/waltzes.yaml --format json
0 sizes corpus/waltzes.yaml -o out/sizes.pdf
0 keys corpus/waltzes.yaml --on 48-8x6
0 keys corpus/waltzes.yaml --on 48-8x6 --format csv
0 keys corpus/waltzes.yaml --on 48-8x6 --format json
0 shop corpus/window.offers corpus
0 shop corpus/window.offers corpus --format csv
0 shop corpus/window.offers corpus --format json
0 shop corpus/window.offers corpus -o out/shop.svg
2 shop corpus/waltzes.yaml corpus
0 tune corpus/waltzes.yaml --on 48-8x6
0 tune corpus/waltzes.yaml --on 48-8x6 --format csv
0 tune corpus/waltzes.yaml --on 48-8x6 --format json
0 heat corpus/waltzes.yaml --on 48-8x6
0 heat corpus/waltzes.yaml --on 48-8x6 --format csv
0 heat corpus/waltzes.yaml --on 48-8x6 --format json
0 heat corpus/waltzes.yaml --on 48-8x6 -o out/heat.svg
0 sheet corpus/waltzes.yaml --on 48-8x6 -o out/sheet.pdf
0 listen Bm --on 48-8x6 -o out/bm.wav
0 listen Bm --on 48-8x6 -o out/bm.flac
0 listen corpus/waltzes.yaml --title lamps --on 48-8x6 -o out/lamps.mid
0 report corpus/waltzes.yaml --on 48-8x6 -o out/report.pdf
2 report corpus/waltzes.yaml -o out/no/report.pdf
COMMANDS
}

status=0
if [ "${2:-}" = all ]; then
  for suite in "$root"/tests/cli/test_*.py; do
    python3 "$suite" "$said/rowcall" "$root/corpus" || status=1
  done
else
  mkdir "$said/out"
  ln -s "$root/corpus" "$root/layouts" "$root/tests" "$said"
  (cd "$said" && commands | xargs -P "$(nproc)" -L 1 ./run ./rowcall) || status=1
  echo "$(commands | wc -l) commands"
fi
find "$said" -name '*.log' -size +0 | while read -r log; do
  cat "$log"
done
[ -z "$(find "$said" -name '*.log' -size +0)" ] || status=1
exit $status

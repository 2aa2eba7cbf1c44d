#!/usr/bin/env bash
# The test command of the README and of CI.
#   ./check.sh         everything that fits in six minutes
#   ./check.sh long    also the long sets (all networks, more layouts, fuzzing)
# It installs what it needs, each only where it is missing, and fails by name
# where one cannot be had.
set -euo pipefail
cd "$(dirname "$0")"
mode=${1:-short}
build=$PWD/build
mkdir -p "$build"
started=$(date +%s)

step() { printf '== %s (%s s)\n' "$1" "$(($(date +%s) - started))"; }
fail() { printf 'check.sh: %s\n' "$1" >&2; exit 1; }

# install PACKAGE: a Debian package.
updated=
install() {
  command -v apt-get >/dev/null 2>&1 || fail "$1 is missing and there is no apt-get; install it by hand"
  local as=; [ "$(id -u)" = 0 ] || as=sudo
  if [ -z "$updated" ]; then $as apt-get update -qq >/dev/null || true; updated=yes; fi
  $as env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "$1" >/dev/null || fail "$1 cannot be had: apt-get install $1 failed"
}

# need COMMAND PACKAGE: install the package where its command is missing.
need() { command -v "$1" >/dev/null 2>&1 || install "$2"; }

step "tools"
command -v go >/dev/null 2>&1 || fail "Go is missing; install Go 1.26 or later"
need ngspice ngspice
need chromium chromium
need rsvg-convert librsvg2-bin
[ -e /usr/share/fonts/truetype/dejavu/DejaVuSans.ttf ] || install fonts-dejavu-core
need npm npm
if [ ! -x "$build/staticcheck" ]; then
  GOBIN=$build go install honnef.co/go/tools/cmd/staticcheck@v0.8.2 || fail "staticcheck cannot be had"
fi
if [ ! -e "$build/npm/node_modules/axe-core/axe.min.js" ] || [ ! -e "$build/npm/node_modules/typescript/bin/tsc" ]; then
  mkdir -p "$build/npm"
  npm install --silent --no-fund --no-audit --prefix "$build/npm" axe-core@4.14.1 typescript@5 >/dev/null || fail "axe-core and typescript cannot be had from npm"
fi

step "format"
unformatted=$(gofmt -l $(git ls-files '*.go'))
[ -z "$unformatted" ] || fail "gofmt: $unformatted"

step "vet"
go vet ./...

step "staticcheck"
"$build/staticcheck" ./...

step "script types"
node "$build/npm/node_modules/typescript/bin/tsc" --noEmit --allowJs --checkJs --strict --target es2023 --lib es2023,dom,dom.iterable internal/web/static/*.js

step "generate and compare"
before=$(cat doc/format.md doc/job.schema.json doc/published.md doc/rules.md doc/library-trailer.svg | cksum)
go run ./cmd/docgen
[ "$before" = "$(cat doc/format.md doc/job.schema.json doc/published.md doc/rules.md doc/library-trailer.svg | cksum)" ] || fail "generated documents were not up to date; they are now: look at git diff and commit them"

export BANKWRIGHT_AXE=$build/npm/node_modules/axe-core/axe.min.js
if [ "$mode" = long ]; then
  export BANKWRIGHT_LONG=1
  step "tests, long"
  go test -timeout 60m ./...
  step "fuzz"
  go test ./internal/read/job -run '^$' -fuzz '^FuzzRead$' -fuzztime 10m -fuzzminimizetime 20x
  go test ./internal/base/quantity -run '^$' -fuzz '^FuzzParse$' -fuzztime 5m
  go test ./internal/base/quantity -run '^$' -fuzz '^FuzzParseSize$' -fuzztime 5m
  go test ./internal/read/job -run '^$' -fuzz '^FuzzSet$' -fuzztime 5m -fuzzminimizetime 20x
  go test ./internal/read/series -run '^$' -fuzz '^FuzzRead$' -fuzztime 5m -fuzzminimizetime 20x
  go test ./internal/check/assess -run '^$' -fuzz '^FuzzCheck$' -fuzztime 5m -fuzzminimizetime 20x
  go test ./internal/read/catalog -run '^$' -fuzz '^FuzzLoad$' -fuzztime 5m -fuzzminimizetime 20x
else
  step "tests"
  go test -timeout 5m ./...
fi

step "tests with the race detector, where goroutines are"
go test -race -short -timeout 5m ./internal/engine/wiring ./internal/web ./internal/engine/route ./internal/engine/spread

step "done"

#!/bin/sh
# Renews requirements.lock and requirements-dev.lock from pyproject.toml; needs uv on the PATH.
# Versions already in a lock stay unless called with --upgrade. No index host is written down.
set -eu
cd -- "$(dirname -- "$0")/.."
compile() {
    uv pip compile --quiet --universal --python-version 3.11 --only-binary :all: --generate-hashes \
        --no-emit-index-url --no-annotate --custom-compile-command tools/lock.sh "$@"
}
compile "$@" pyproject.toml --output-file requirements.lock
# the same versions again, so that the tests run on what people run
compile "$@" pyproject.toml --group dev --constraint requirements.lock --output-file requirements-dev.lock

"""Help comes at once, so nothing heavy may be imported for it."""

import subprocess
import sys

import pytest

from flatstock.cli.app import app

HEAVY = {"numpy", "numba", "scipy", "typst", "toml_rs", "pydantic", "zoneinfo", "concurrent.futures"}
COMMANDS = [
    "card",
    "correct",
    "demo",
    "frame",
    "new",
    "open",
    "outlay",
    "plan",
    "promise",
    "read",
    "room",
    "stack",
    "supply",
    "wallchart",
]


def imported_by(*words):
    code = (
        "import sys; from flatstock.cli import main; main(sys.argv[1:]);"
        " print(*sys.modules, sep=chr(10), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, check=True)
    return set(done.stderr.split())


@pytest.mark.parametrize("words", [["--help"], ["card", "--help"], ["--version"]])
def test_help_imports_nothing_heavy(words):
    loaded = imported_by(*words)
    assert not loaded & HEAVY
    ours = {name for name in loaded if name.startswith("flatstock.")}
    assert not {name for name in ours if name.split(".")[1] not in ("cli", "errors", "units")}


def test_help_names_every_command_with_what_it_is_for(call):
    done = call("--help")
    assert done.code == 0
    listed = {line.split()[1] for line in done.out.splitlines() if line.startswith("│ ") and line[2] != " "}
    assert listed == {*COMMANDS, "records", "--help", "--version"}


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_takes_a_time_for_now_and_explains_each_option(command):
    arguments = app[command].assemble_argument_collection()
    assert "--now" in {name for argument in arguments for name in argument.names}
    assert [argument.name for argument in arguments if not argument.parameter.help] == []


def test_the_version_is_that_of_the_package(call):
    from flatstock import __version__

    assert call("--version").out.strip() == __version__

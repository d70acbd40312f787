"""`./flatstock` and `./check` as a person starts them."""

import ast
import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

pytestmark = pytest.mark.setup
of_the_shell = pytest.mark.skipif(
    os.name == "nt", reason="no POSIX shell: what the scripts hold is tested all the same"
)
ROOT = Path(__file__).parents[2]


@pytest.fixture
def copy(tmp_path):
    """The start scripts in a folder with a blank in its name, with a lock of their own."""
    folder = tmp_path / "my shop"
    folder.mkdir()
    for name in ("flatstock", "check", "bootstrap.py"):
        shutil.copy(ROOT / name, folder / name)
    for name in ("requirements.lock", "requirements-dev.lock"):
        (folder / name).write_text("# nothing\n")
    return folder


def call(script, *words, path=os.environ["PATH"], **environ):
    return subprocess.run(
        [shutil.which("sh"), str(script), *words],
        env={"PATH": path, **environ},
        capture_output=True,
        text=True,
    )


@of_the_shell
def test_an_environment_of_the_same_lock_starts_at_once_with_the_words_as_they_were(copy, tmp_path):
    env = tmp_path / "my env"
    (env / "bin").mkdir(parents=True)
    (env / "bin" / "python").write_text('#!/bin/sh\nfor word in "$@"; do echo "[$word]"; done\nexit 7\n')
    (env / "bin" / "python").chmod(0o755)
    (env / "stamp").write_text(f"# {copy.resolve()}\n# nothing\n")
    done = call(copy / "flatstock", "card", "a b", "", FLATSTOCK_ENV=str(env))
    assert done.stdout.split("\n")[:-1] == ["[-P]", "[-m]", "[flatstock]", "[card]", "[a b]", "[]"]
    assert done.returncode == 7


@of_the_shell
def test_the_command_knows_by_which_name_it_was_called(copy, tmp_path):
    env = tmp_path / "env"
    (env / "bin").mkdir(parents=True)
    (env / "bin" / "python").write_text('#!/bin/sh\necho "$FLATSTOCK_CALLED"\n')
    (env / "bin" / "python").chmod(0o755)
    (env / "stamp").write_text(f"# {copy.resolve()}\n# nothing\n")
    done = call(copy / "flatstock", FLATSTOCK_ENV=str(env))
    assert done.stdout == f"{copy / 'flatstock'}\n"


@of_the_shell
@pytest.mark.parametrize("script", ["flatstock", "check"])
def test_without_any_python_the_script_says_which_to_install(copy, tmp_path, script):
    tools = tmp_path / "bin"
    tools.mkdir()
    for name in ("dirname", "cat", "cmp"):
        (tools / name).symlink_to(shutil.which(name))
    done = call(copy / script, path=str(tools))
    assert done.returncode == 1
    assert done.stderr == (
        f"{script}: No Python was found. Install Python 3.11 to 3.14 (Debian: apt install python3 python3-venv).\n"
    )


@of_the_shell
def test_a_python_that_a_person_names_wrongly_is_told_in_two_sentences(copy):
    done = call(copy / "flatstock", FLATSTOCK_PYTHON="/no/such/python")
    assert done.returncode == 1
    assert "FLATSTOCK_PYTHON=/no/such/python can't be started as a Python." in done.stderr
    assert "Traceback" not in done.stderr


def test_any_python_can_read_the_bootstrap():
    """Python 2.7 and 3.4 know none of these; with them it couldn't say why it does not run."""
    newer = (
        ast.JoinedStr,
        ast.NamedExpr,
        ast.AnnAssign,
        ast.AsyncFunctionDef,
        ast.Await,
        ast.Nonlocal,
    )
    for node in ast.walk(ast.parse((ROOT / "bootstrap.py").read_text(encoding="utf-8"))):
        assert not isinstance(node, newer), f"line {node.lineno}"
        if isinstance(node, ast.FunctionDef):
            assert node.returns is None
            assert not any(arg.annotation for arg in node.args.args)
            assert not node.args.kwonlyargs
        if isinstance(node, ast.Raise):
            assert node.cause is None


def test_both_locks_name_the_same_versions_with_hashes_and_no_index_host():
    run, dev = ((ROOT / f"requirements{kind}.lock").read_text() for kind in ("", "-dev"))
    pins = re.compile(r"^([\w.-]+==\S+(?: ; .*?)?) \\$", re.MULTILINE)
    assert len(pins.findall(run)) > 10
    assert set(pins.findall(run)) <= set(pins.findall(dev))
    for lock in (run, dev):
        assert "://" not in lock
        assert "index" not in lock.split("\n    --hash")[0]
        assert all("--hash=sha256:" in part for part in re.split(r"^(?=\w)", lock, flags=re.MULTILINE)[1:])


def test_everything_that_the_project_asks_for_is_locked():
    about = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    run, dev = ((ROOT / f"requirements{kind}.lock").read_text() for kind in ("", "-dev"))
    for lock, wanted in ((run, about["project"]["dependencies"]), (dev, about["dependency-groups"]["dev"])):
        for requirement in wanted:
            name = re.match(r"[\w.-]+", requirement)[0]
            assert re.search(rf"^{name}==", lock, re.MULTILINE), name


def test_the_running_python_is_one_that_the_project_promises():
    assert (3, 11) <= sys.version_info < (3, 15)


@pytest.mark.parametrize("script", ["flatstock.cmd", "check.cmd"])
def test_a_windows_script_has_the_line_ends_that_cmd_looks_for_labels_by(script):
    """cmd.exe reads a script in blocks and may miss a label behind one where lines end as on Unix (from memory)."""
    text = (ROOT / script).read_bytes()
    assert text.count(b"\r\n") == text.count(b"\n") > 10


def test_the_two_windows_scripts_differ_only_in_what_they_start():
    run, check = (
        (ROOT / f"{name}.cmd").read_text(encoding="ascii").splitlines() for name in ("flatstock", "check")
    )
    run = [line for line in run if "FLATSTOCK_CALLED" not in line]
    assert [line.replace("bootstrap.py\" run", "bootstrap.py\" check").replace("echo flatstock:", "echo check:")
            for line in run[2:]] == check[2:]  # fmt: skip
    for line in run:
        # quoted: a folder may hold blanks, &, ( or )
        assert "%~dp0" not in line or '"%~dp0bootstrap.py"' in line


def test_every_text_of_a_checkout_has_one_form_of_line_ends_but_the_windows_scripts():
    """A checkout by git on Windows turns line ends round otherwise: scripts of the shell, checksums of files."""
    rules = (ROOT / ".gitattributes").read_text(encoding="utf-8").splitlines()
    assert [rule for rule in rules if not rule.startswith("#")] == [
        "* text=auto eol=lf",
        "*.cmd text eol=crlf",
    ]

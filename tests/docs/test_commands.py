"""Every command on every page runs, and says what the page shows.

A block that starts with ```console holds calls (`$ flatstock ...`) and, where the page shows them, lines of
what they print, in order; `…` or `...` alone on a line stands for any lines. A call ends with exit code 0;
in a block ```console refused with 1, in ```console wrong with 2. The blocks of a page run one after the
other in one empty folder.
"""

from __future__ import annotations

import re
import shlex
from dataclasses import dataclass
from pathlib import Path

import pytest

from flatstock.actions import demo
from flatstock.cli import main

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
BLOCK = re.compile(r"^```console *(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
ENDS = {"": 0, "refused": 1, "wrong": 2}
#: what sets up or checks a checkout is tried by the tests of the set-up, not from inside them
OUTSIDE = re.compile(r"((FLATSTOCK_\w+=\S+ )*\./flatstock|\./check|pip install|pip download)\b.*")


@dataclass(frozen=True)
class Said:
    """One call of a page and the lines that the page shows under it."""

    words: str
    shown: tuple[str, ...]
    code: int


def calls(text: str) -> list[Said]:
    found = []
    for how, block in BLOCK.findall(text):
        for part in re.split(r"^\$ ", block.replace("\\\n", " "), flags=re.MULTILINE)[1:]:
            words, *shown = part.rstrip("\n").split("\n")
            found.append(
                Said(words.strip(), tuple(line.strip() for line in shown if line.strip()), ENDS[how])
            )
    return found


def missing(shown: tuple[str, ...], printed: str) -> list[str]:
    """Lines that a page shows and the command did not print, in that order."""
    lines = iter([re.sub(r"\s+", " ", line.strip()) for line in printed.splitlines()])
    wanted = [re.sub(r"\s+", " ", line) for line in shown if line not in ("…", "...")]
    return [line for line in wanted if line not in lines]


@pytest.fixture(autouse=True)
def shorter(monkeypatch):
    """The demo's week and room are planned for some seconds: what a page shows of them does not depend on more."""
    monkeypatch.setattr(demo, "PLANNING", 5.0)
    monkeypatch.setattr(demo, "PLACING", 3.0)


WITH_CALLS = [page for page in PAGES if calls(page.read_text(encoding="utf-8"))]


@pytest.mark.parametrize("page", WITH_CALLS, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_the_commands_of_a_page_run_and_print_what_it_shows(page, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    for said in calls(page.read_text(encoding="utf-8")):
        if OUTSIDE.fullmatch(said.words):
            continue
        program, *words = shlex.split(said.words, comments=True)
        assert program == "flatstock", f"{said.words!r} is no call that this test knows"
        code = main(words)
        printed = capsys.readouterr()
        assert code == said.code, f"{said.words}\n{printed.err}"
        assert not missing(said.shown, printed.out + printed.err), f"{said.words}\n{printed.out}{printed.err}"


def test_the_first_page_shows_commands():
    assert ROOT / "README.md" in WITH_CALLS


def test_calls_and_what_they_show_are_found():
    text = "```console\n$ flatstock a \\\n    b\none\n…\ntwo\n$ flatstock c\n```\n```console wrong\n$ flatstock d\n```\n"
    assert calls(text) == [
        Said("flatstock a      b", ("one", "…", "two"), 0),
        Said("flatstock c", (), 0),
        Said("flatstock d", (), 2),
    ]


def test_a_line_that_was_not_printed_is_found_out():
    assert missing(("one", "…", "three"), "one\n two\nthree") == []
    assert missing(("three", "one"), "one\ntwo\nthree") == ["one"]

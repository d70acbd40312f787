"""The page about flow: its examples run, and it leaves no module of the room out."""

import doctest
import pkgutil
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

import flatstock.flow

PAGE = Path(__file__).parents[2] / "docs" / "flow.md"
MODULES = [m.name for m in pkgutil.iter_modules(flatstock.flow.__path__)]


def test_every_example_on_the_page_gives_what_it_says():
    result = doctest.testfile(str(PAGE), module_relative=False)
    assert result.attempted > 30
    assert result.failed == 0


@pytest.mark.parametrize("name", MODULES)
def test_every_example_in_the_room_gives_what_it_says(name):
    result = doctest.testmod(import_module(f"flatstock.flow.{name}"))
    assert result.attempted > 0
    assert result.failed == 0


@pytest.mark.parametrize("name", [m for m in MODULES if m != "ranges"])
def test_every_module_that_answers_a_question_is_on_the_page(name):
    assert f"`{name}`" in PAGE.read_text(encoding="utf-8")


def test_the_room_needs_nothing_but_the_standard_library_and_its_own_errors():
    """Cards start fast: neither numpy nor plastics nor a workshop comes in with the flow room."""
    names = ", ".join(f"flatstock.flow.{m}" for m in MODULES)
    code = f"import sys; import {names}; print(*sorted(sys.modules))"
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout.split()
    assert not {"numpy", "scipy", "flatstock.plastics", "flatstock.workshop"} & set(loaded)

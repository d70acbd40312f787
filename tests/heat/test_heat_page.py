"""The page about heat: its examples run, it names every module of the room and every section that the code points at."""

import doctest
import pkgutil
import re
from pathlib import Path

import pytest

import flatstock.heat

PAGE = Path(__file__).parents[2] / "docs" / "heat.md"
SOURCE = Path(__file__).parents[2] / "src" / "flatstock"
MODULES = [m.name for m in pkgutil.iter_modules(flatstock.heat.__path__)]


def sections():
    return set(re.findall(r"^## (.+)$", PAGE.read_text(encoding="utf-8"), flags=re.MULTILINE))


def pointers():
    """Sections of the page that docstrings and comments name, as `docs/heat.md, "Balance" and "Plastic"`."""
    found = set()
    for file in SOURCE.rglob("*.py"):
        for tail in re.findall(
            r'docs/heat\.md,? (?:sections? )?((?:"[A-Z][a-z ]+"(?:, | and )?)+)', file.read_text("utf-8")
        ):
            found |= set(re.findall(r'"([^"]+)"', tail))
    return found


def test_every_example_on_the_page_gives_what_it_says():
    result = doctest.testfile(str(PAGE), module_relative=False)
    assert result.attempted > 20
    assert result.failed == 0


@pytest.mark.parametrize("name", MODULES)
def test_every_module_of_the_room_is_on_the_page(name):
    assert f"`{name}`" in PAGE.read_text(encoding="utf-8")


def test_every_section_that_the_code_points_at_is_there():
    assert {"Balance", "Plastic", "Flake bed", "Contacts", "Cooling"} <= pointers()
    assert pointers() <= sections()


def test_the_defaults_on_the_page_are_those_of_the_code():
    from flatstock.heat.pile import TOLERANCE
    from flatstock.heat.polymer import Bed
    from flatstock.pressing import cooling, heating, pile_up

    page = " ".join(PAGE.read_text(encoding="utf-8").split())
    bed = Bed()
    assert f"| φ0, under the closing pressure | {bed.void:.2f} |" in page
    assert f"| {bed.form:.2f}; {bed.flattening:g} |" in page
    assert f"{TOLERANCE:g} K by default" in page
    assert (
        f"press cycle: {heating.FINE_CELLS} cells through the charge, 8 in a platen, tolerance {heating.FINE_TOLERANCE:g} K"
        in page
    )
    assert f"cooling press: {cooling.FINE_CELLS} cells, {cooling.FINE_TOLERANCE:g} K" in page
    assert f"a stack: {pile_up.CELLS} cells a sheet" in page

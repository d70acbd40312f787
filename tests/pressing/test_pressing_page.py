"""The page about cards, stacks, charts and corrections: its examples run and it explains every field of a card."""

import doctest
import re
from pathlib import Path

import pytest

PAGE = Path(__file__).parents[2] / "docs" / "pressing.md"
#: said once for all documents, or what was asked
PLAIN = {
    "format", "shop", "made_at", "order", "plastic", "colour", "thickness_mm", "press", "frame", "skins",
    "cavity_length_mm", "cavity_width_mm", "set_point_C", "demould_below_C", "cooling_press", "fans_on", "place", "room_C",
    "at",
}  # fmt: skip


def words():
    text = PAGE.read_text(encoding="utf-8")
    return set(re.findall(r"`([A-Za-z_]+)`", text))


def test_every_example_on_the_page_gives_what_it_says():
    result = doctest.testfile(str(PAGE), module_relative=False)
    assert result.attempted > 10
    assert result.failed == 0


def test_every_field_of_a_card_is_explained(card):
    assert set(card()) - PLAIN - words() == set()


@pytest.mark.parametrize("kind", ["measured", "fitted", "handbook", "computed", "from_memory", "assumed"])
def test_every_kind_of_evidence_is_explained(kind):
    assert f"| `{kind}` |" in PAGE.read_text(encoding="utf-8")

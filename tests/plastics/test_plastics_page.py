"""The page of plastics runs as it stands."""

import doctest
from pathlib import Path

PAGE = Path(__file__).parents[2] / "docs" / "plastics.md"


def test_the_examples_on_the_page_give_what_it_prints():
    result = doctest.testfile(str(PAGE), module_relative=False, encoding="utf-8")
    assert result.attempted >= 8
    assert result.failed == 0

"""The page about faults: its examples run."""

import doctest
from pathlib import Path

PAGE = Path(__file__).parents[3] / "docs" / "faults.md"


def test_every_example_on_the_page_gives_what_it_says():
    result = doctest.testfile(str(PAGE), module_relative=False)
    assert result.attempted >= 8
    assert result.failed == 0

"""The data files of intake: every number says where it is from, every source is cited, tables run one way."""

import tomllib
from itertools import pairwise
from pathlib import Path

import pytest

from flatstock import intake
from flatstock.intake.liquids import mixtures

DATA = Path(intake.__file__).parent / "data"
SOURCES = (Path(__file__).parents[2] / "docs" / "sources.md").read_text("utf-8")


@pytest.mark.parametrize("name", ["liquids", "strangers"])
def test_every_source_is_cited_in_full(name):
    for table in tomllib.loads((DATA / f"{name}.toml").read_text("utf-8")).values():
        assert f"`{table['source']}`" in SOURCES
        assert table["mark"] in ("read", "from_memory", "computed")


def test_more_solute_changes_the_density_one_way():
    for mixture in mixtures().values():
        steps = {b > a for a, b in pairwise(mixture.density)}
        assert len(steps) == 1, mixture.id


def test_every_test_that_an_origin_asks_for_is_described():
    data = tomllib.loads((DATA / "origins.toml").read_text("utf-8"))
    asked = {t for table in (*data["origin"].values(), *data["adds"].values()) for t in table["tests"]}
    assert asked == set(data["tests"])

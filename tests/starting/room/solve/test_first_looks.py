"""What is seen of a room before anything is searched."""

from __future__ import annotations

from flatstock.starting.room.question import Placement
from flatstock.starting.room.solve.answering import answer
from tests.starting.room.making import ask, box, work


def test_a_turned_thing_whose_sides_were_written_the_wrong_way_is_told_so():
    """0.6 x 0.2 m at 270° was meant; as placed it lies 0.2 m along x."""
    panel = box("PANEL", 200, 600, placed=Placement(x_mm=7800, y_mm=1000, turned_deg=270))
    found = answer(ask(panel, box("A"), grid=100), seconds=8)
    assert found.proof.status == "impossible"
    assert "PANEL would be inside as 0.20 m x 0.60 m" in found.why


def test_a_zone_shallower_than_the_way_to_its_middle_is_told_as_that():
    """0.60 m before a table and a way of 0.61 m: whoever stands in the middle stands 5 mm in the table."""
    table = box("TABLE", zones=[work("near", depth=600)])
    found = answer(ask(table, box("A"), grid=100, rules={"access_width_mm": 610}), seconds=8)
    assert found.proof.status == "impossible"
    assert "0.61 m wide to the middle of TABLE.near runs into TABLE itself" in found.why
    assert "only 0.60 m deep" in found.why

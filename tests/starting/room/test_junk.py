"""Whatever stands in a drawn plan or in room.toml: faults with a place, never a traceback."""

from __future__ import annotations

import copy
import json
import re

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from flatstock.actions.rooms import check_room
from flatstock.errors import Refused
from flatstock.starting.room.room_file import read_room

JUNK = st.one_of(
    st.none(), st.booleans(), st.integers(), st.just(10**30), st.floats(), st.text(max_size=5),
    st.lists(st.integers(), max_size=3), st.dictionaries(st.text(max_size=3), st.integers(), max_size=2),
)  # fmt: skip
TOML_JUNK = [
    '""',
    '"x"',
    "-1",
    "0",
    "1e300",
    "nan",
    "inf",
    "true",
    "[]",
    "[1, 2]",
    "{}",
    "[[]]",
    "2026-03-02",
    '"5 ft"',
    "99999999",
]


def faults_of(call):
    """What a call refuses; nothing where it answers. Anything else that it raises fails the test."""
    try:
        call()
    except Refused as refused:
        return refused.faults
    return ()


def places(document, path=()):
    """Every place in a document."""
    inner = (
        document.items()
        if isinstance(document, dict)
        else enumerate(document)
        if isinstance(document, list)
        else ()
    )
    for key, value in inner:
        yield (*path, key)
        yield from places(value, (*path, key))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_any_value_of_a_drawn_plan_replaced_by_junk_is_judged_or_refused(drawn, demo_folder, tmp_path, data):
    document = copy.deepcopy(drawn)
    asked = {
        k: document[k]
        for k in ("format", "grid_mm", "room", "rules", "items", "near", "in_line", "flows", "left_out")
    }
    path = data.draw(st.sampled_from(sorted(places(asked), key=str)))
    here = asked
    for key in path[:-1]:
        here = here[key]
    here[path[-1]] = data.draw(JUNK)
    file = tmp_path / "drawn.json"
    file.write_text(json.dumps(asked), "utf-8")
    assert all(fault.where and fault.what for fault in faults_of(lambda: check_room(demo_folder, file)))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_any_value_of_a_room_file_replaced_by_junk_is_read_or_told_with_its_place(
    demo_folder, tmp_path, data
):
    text = (demo_folder / "room.toml").read_text("utf-8")
    values = list(re.finditer(r"(?<== )(\"[^\"]*\"|[\d.]+|true|false)", text))
    spot = data.draw(st.sampled_from(values))
    changed = text[: spot.start()] + data.draw(st.sampled_from(TOML_JUNK)) + text[spot.end() :]
    (tmp_path / "room.toml").write_text(changed, "utf-8")
    assert all(fault.where.startswith("room.toml") for fault in faults_of(lambda: read_room(tmp_path)))

"""A first answer of a plan from now on does not wait for the heat model and the records to be imported."""

from __future__ import annotations

import json
import subprocess
import sys

from flatstock.actions.remembered import kinds_in
from flatstock.actions.weaker import worked_out
from flatstock.workshop.files import read


def loaded_by(words: str) -> set[str]:
    asked = f"{words}\nimport sys; print(*sys.modules, sep='\\n')"
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    return set(done.stdout.split())


def loaded_by_a_first_answer(shop, now, said):
    """`said` has to be true of the document."""
    return loaded_by(
        "from datetime import datetime\n"
        "from pathlib import Path\n"
        "from flatstock.actions.replans import plan_from_now\n"
        "from flatstock.workshop.files import read\n"
        "class Enough(Exception): pass\n"
        "def first(document):\n"
        f"    assert {said}\n"
        "    raise Enough\n"
        "try:\n"
        f"    now = datetime.fromisoformat('{now.isoformat()}')\n"
        f"    plan_from_now(read(Path({str(shop)!r})), now=now, seconds=1.0, first=first)\n"
        "except Enough:\n"
        "    print('answered')\n"
    )


def test_what_a_first_answer_needs_brings_neither_the_heat_model_nor_the_records():
    """`flatstock plan --from-now` knows its kinds of sheet from the plan before; importing takes longer than planning."""
    loaded = loaded_by("import flatstock.actions.replans")
    assert "flatstock.planning.problem.build" in loaded
    assert loaded & {"numba", "sqlalchemy", "flatstock.heat.march", "flatstock.pressing.rehearsal"} == set()


def test_its_solver_brings_no_tables_in_and_leaves_them_to_whoever_wants_them():
    """OR-Tools imports pandas, which takes as long as all the rest, for variables in tables that nothing here makes."""
    assert "pandas" not in loaded_by("import flatstock.planning.solve.search")
    assert "pandas.core.frame" in loaded_by(
        "import flatstock.planning.solve.search, pandas; pandas.DataFrame"
    )


def test_a_first_answer_to_a_held_lot_knows_without_the_heat_model_that_its_orders_wait(shop, now):
    """What is under way of that lot has its kind from the plan before; the rest is left out, whatever heat would say."""
    (shop / "changes.toml").write_text('[[held]]\nlot = "L-2304"\n', "utf-8")
    said = "['O-103'] == [one['order'] for one in document['left_out'] if 'L-2304 is held' in one['because']]"
    loaded = loaded_by_a_first_answer(shop, now, said)
    assert "answered" in loaded
    assert loaded & {"numba", "flatstock.heat.march"} == set()


def test_a_first_answer_to_failed_elements_takes_what_was_worked_out_of_them_when_the_week_was_planned(
    shop, now
):
    plan, files = json.loads((shop / "plan.json").read_text("utf-8")), read(shop)
    slowed = worked_out(files, kinds_in(plan, files))
    plan["remembered"]["weaker"] = {json.dumps(recipe): slower for recipe, slower in slowed.items()}
    (shop / "plan.json").write_text(json.dumps(plan), "utf-8")
    (shop / "changes.toml").write_text('[[out_of_order]]\nplace = "HP1"\nelements = 5\nof = 12\n', "utf-8")
    said = "any('its dwells are scaled' in words for words in document['warnings'])"
    loaded = loaded_by_a_first_answer(shop, now, said)
    assert "answered" in loaded
    assert loaded & {"numba", "flatstock.heat.march"} == set()

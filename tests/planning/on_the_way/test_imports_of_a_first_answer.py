"""A first answer of a plan from now on does not wait for the heat model and the records to be imported."""

from __future__ import annotations

import subprocess
import sys


def loaded_by(words: str) -> set[str]:
    asked = f"{words}\nimport sys; print(*sys.modules, sep='\\n')"
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    return set(done.stdout.split())


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
    loaded = loaded_by(
        "from datetime import datetime\n"
        "from pathlib import Path\n"
        "from flatstock.actions.replans import plan_from_now\n"
        "from flatstock.workshop.files import read\n"
        "class Enough(Exception): pass\n"
        "def first(document):\n"
        "    assert ['O-103'] == [one['order'] for one in document['left_out'] if 'L-2304 is held' in one['because']]\n"
        "    raise Enough\n"
        "try:\n"
        f"    now = datetime.fromisoformat('{now.isoformat()}')\n"
        f"    plan_from_now(read(Path({str(shop)!r})), now=now, seconds=1.0, first=first)\n"
        "except Enough:\n"
        "    print('answered')\n"
    )
    assert "answered" in loaded
    assert loaded & {"numba", "flatstock.heat.march"} == set()

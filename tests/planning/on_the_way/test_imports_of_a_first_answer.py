"""A first answer of a plan from now on does not wait for the heat model and the records to be imported."""

from __future__ import annotations

import subprocess
import sys


def test_what_a_first_answer_needs_brings_neither_the_heat_model_nor_the_records():
    """`flatstock plan --from-now` knows its kinds of sheet from the plan before; importing takes longer than planning."""
    asked = "import sys, flatstock.actions.replans; print(*(name for name in sys.modules), sep='\\n')"
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert "flatstock.planning.problem.build" in loaded
    assert loaded & {"numba", "sqlalchemy", "flatstock.heat.march", "flatstock.pressing.rehearsal"} == set()

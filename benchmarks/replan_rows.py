"""Planning on after something went wrong in the demo's week: how soon there is a first answer, and what it moves."""

from __future__ import annotations

import shutil
import time
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

from benchmarks.table import Row
from flatstock import demo
from flatstock.actions.plans import keep_plan, plan_week
from flatstock.actions.replans import plan_from_now
from flatstock.errors import Refused
from flatstock.workshop.files import read

__all__ = ["replan_rows"]

MONDAY = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
TARGET = 2.0  #: s
CHANGES: Mapping[str, str] = {
    "a mould 25 min late": "",
    "a person missing from now on": '[[absences]]\nperson = "OP3"\n',
    "one of twelve elements failed": '[[out_of_order]]\nplace = "HP1"\nelements = 1\nof = 12\n',
    "a lot held": '[[held]]\nlot = "L-2302"\n',
}


class _FirstAnswer(Exception):
    """Enough is known."""

    def __init__(self, document: dict[str, Any]) -> None:
        super().__init__()
        self.document = document


def replan_rows(*, quick: bool) -> Iterator[Row]:
    """A late mould, a missing person, a failed element, a lot on hold; medians of several moments of Tuesday."""
    with TemporaryDirectory() as folder:
        base = Path(folder) / "base"
        demo.copy_to(base)
        shop = read(base)
        plan = plan_week(shop, now=MONDAY, seconds=3.0 if quick else 30.0)
        keep_plan(shop, plan)
        moments = _moments(plan)[: 1 if quick else 5]
        for what, changes in CHANGES.items():
            tried = [_first_answer(base, plan, moment, what, changes) for moment in moments]
            answers = [answer for _, answer in tried if answer is not None]
            yield Row(
                work=f"first answer after {what}",
                seconds=median(seconds for seconds, _ in tried),
                target=TARGET,
                setting=f"demo week, {len(moments)} moments; slowest {max(seconds for seconds, _ in tried):.2g} s"
                + (f"; {_moved(answers)}" if answers else "")
                + (f"; {len(tried) - len(answers)} without one" if len(answers) < len(tried) else ""),
            )


def _moved(answers: Sequence[Mapping[str, Any]]) -> str:
    """What first answers move and lose, in words."""
    moved = [[abs(one["by_min"] or 0) for one in answer["since"]["moved"]] for answer in answers]
    late = [sum(sheet["late_min"] > 0 for sheet in answer["sheets"]) for answer in answers]
    lost = [len(answer["given_up"]) for answer in answers]
    return (
        f"{median(map(len, moved)):g} steps move by {median(map(sum, moved)):g} min in all, {max(late)} sheets late"
        f" and {max(lost)} charges given up at most"
    )


def _moments(plan: Mapping[str, Any]) -> list[datetime]:
    """Ten minutes into the dwell of each mould of the second day."""
    loads = sorted(datetime.fromisoformat(t["end"]) for t in plan["tasks"] if t["step"] == "load")
    second = sorted({moment.date() for moment in loads})[1]
    return [moment + timedelta(minutes=10) for moment in loads if moment.date() == second]


def _first_answer(
    base: Path, plan: Mapping[str, Any], moment: datetime, what: str, changes: str
) -> tuple[float, Mapping[str, Any] | None]:
    """Seconds to the first answer, and the answer; None: there was none."""
    folder = base.parent / "under way"
    shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(base, folder)
    late = timedelta(minutes=25) if "late" in what else timedelta(0)
    (folder / "done.csv").write_text(_done(plan, moment), "utf-8")
    (folder / "changes.toml").write_text(changes, "utf-8")
    shop = read(folder)
    began = time.perf_counter()

    def first(document: dict[str, Any]) -> None:
        raise _FirstAnswer(document)

    try:
        plan_from_now(shop, now=moment + late, seconds=1.0, first=first)
    except _FirstAnswer as found:
        return time.perf_counter() - began, found.document
    except Refused:
        pass
    return time.perf_counter() - began, None


def _done(plan: Mapping[str, Any], moment: datetime) -> str:
    """done.csv of a shop that kept to its plan until then."""
    lines = ["sheet,step,start,end,place,people"]
    for task in plan["tasks"]:
        start, end = datetime.fromisoformat(task["start"]), datetime.fromisoformat(task["end"])
        if task["people"] and start <= moment:
            ended = task["end"] if end <= moment else ""
            places, people = " ".join(task["places"]), " ".join(task["people"])
            lines.append(f"{task['sheet']},{task['step']},{task['start']},{ended},{places},{people}")
    return "\n".join(lines) + "\n"

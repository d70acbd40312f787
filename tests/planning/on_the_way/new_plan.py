"""Make the plan that these tests go on from anew: `python -m tests.planning.on_the_way.new_plan`.

It is kept as a file because a search that is given seconds finds another plan on another machine, and what may be asked
of a moment in it (who is at lunch, which mould is in the press) would differ from run to run.
"""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import flatstock.demo
from flatstock.actions.plans import keep_plan, plan_week
from flatstock.workshop.files import read

__all__ = ["FILE", "lay_out"]

FILE = Path(__file__).with_name("plan.json")
MONDAY = datetime(2026, 3, 2, 6, 30, tzinfo=UTC)
ORDERS = "id,plastic,colour,thickness_mm,sheets,due,condition_h,lots\n" + "\n".join(
    (
        "O-102,hdpe,white,18,2,2026-03-05T17:00,,L-2303 100 %",
        "O-103,pp,green,6,2,2026-03-06T15:00,0,L-2304 100 %",
        "O-104,hdpe,dark,12,4,2026-03-04T10:00,0,L-2301 100 %",
    )
)


def lay_out(folder: Path) -> None:
    """The demo's workshop with eight sheets to press."""
    shutil.copytree(Path(flatstock.demo.__file__).parent / "workshop", folder)
    (folder / "orders.csv").write_text(ORDERS + "\n", "utf-8")


def main() -> None:
    """Plan it for a while and keep what was found."""
    with TemporaryDirectory() as kept:
        folder = Path(kept) / "shop"
        lay_out(folder)
        shop = read(folder)
        keep_plan(shop, plan_week(shop, now=MONDAY, seconds=20))
        shutil.copyfile(folder / "plan.json", FILE)


if __name__ == "__main__":
    main()

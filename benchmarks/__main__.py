"""`python -m benchmarks [--quick] [--json FILE] [--only WORD …]`: measure, print a table."""

from __future__ import annotations

import argparse
import json
import platform
import sys
from collections.abc import Callable, Iterator
from dataclasses import asdict
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path

from benchmarks.cold_rows import cold_rows
from benchmarks.page_rows import page_rows
from benchmarks.plan_rows import plan_rows
from benchmarks.press_rows import press_rows
from benchmarks.replan_rows import replan_rows
from benchmarks.shop_rows import shop_rows
from benchmarks.stack_rows import stack_rows
from benchmarks.starting_rows import starting_rows
from benchmarks.table import Row, text_table

PARTS: dict[str, Callable[..., Iterator[Row]]] = {
    "press": press_rows,
    "stack": stack_rows,
    "shop": shop_rows,
    "starting": starting_rows,
    "plan": plan_rows,
    "replan": replan_rows,
    "pages": page_rows,
    "cold": cold_rows,
}


def _versions() -> dict[str, str]:
    named = {name: version(name) for name in ("numpy", "numba", "scipy", "ortools")}
    return {"python": platform.python_version(), **named}


def main(words: list[str]) -> None:
    """Measure what was asked for and print it."""
    ask = argparse.ArgumentParser(prog="python -m benchmarks", description=__doc__)
    ask.add_argument("--quick", action="store_true", help="tiny sizes: shows that it runs, measures little")
    ask.add_argument("--json", type=Path, help="write the rows to this file too")
    ask.add_argument("--only", nargs="+", choices=PARTS, default=list(PARTS), help="parts to measure")
    asked = ask.parse_args(words)
    rows: list[Row] = []
    for part in asked.only:
        print(f"measuring: {part}", file=sys.stderr, flush=True)
        rows += PARTS[part](quick=asked.quick)
    print(text_table(rows))
    if asked.json:
        document = {
            "made_at": datetime.now(UTC).isoformat(timespec="seconds"),
            "quick": asked.quick,
            "versions": _versions(),
            "rows": [asdict(row) for row in rows],
        }
        asked.json.write_text(json.dumps(document, indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])

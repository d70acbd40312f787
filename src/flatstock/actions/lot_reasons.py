"""Where the numbers on a lot's page come from."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flatstock.actions.lot_page import LotPage
from flatstock.actions.lot_tests import SHORT
from flatstock.prints.words import day as day_of

__all__ = ["lot_reasons"]

MOST = 12  #: entries of the book that are told one by one


def lot_reasons(page: LotPage, mass: Callable[[float], str]) -> dict[str, Any]:
    """A document with a lot's numbers and a `why` of each; `mass` writes kilograms as the shop reads them."""
    lot, book = page.lot, page.book
    entries: list[dict[str, Any]] = [
        {
            "name": one.kind.replace("_", " "),
            "value": f"{'+' if one.change > 0 else '−'}{mass(abs(one.change))}",
            "kind": "measured",
            "source": f"{day_of(one.at)}, {' + '.join(one.who) or 'nobody named'}"
            + (f": {one.why}" if one.why else ""),
        }
        for one in book[:MOST]
    ]
    if len(book) > MOST:
        rest = sum(one.change for one in book[MOST:])
        entries.append(
            {"name": f"{len(book) - MOST} earlier entries", "value": mass(rest), "kind": "computed",
             "source": "the book, below"}
        )  # fmt: skip
    if not book:
        entries.append(
            {"name": "as written", "value": mass(lot.mass), "kind": "measured", "source": "lots.csv"}
        )
    return {
        "on_hand": mass(lot.mass),
        "tests_in": f"{len(page.tests) - page.missing} of {len(page.tests)}",
        "why": [
            {
                "of": "on_hand",
                "title": "On hand",
                "formula": "what was written when it came + every change since: weighed out, given back, counted",
                "source": "docs/records.md",
                "note": "each weighing may be off by half a step of the scale; counting the lot puts the book right",
                "inputs": entries,
            },
            {
                "of": "tests_in",
                "title": "Tests in",
                "formula": "what its origin, colour and form ask for; a test counts by its last result",
                "source": "docs/intake.md",
                "note": "passing them lifts no rule of what is never pressed",
                "inputs": [
                    {
                        "name": SHORT.get(one.test, one.test.replace("_", " ")),
                        "value": one.result or "not in",
                        "kind": "measured" if one.result else "assumed",
                        "source": one.told or one.because.replace("_", " "),
                    }
                    for one in page.tests
                ],
            },
        ],
    }

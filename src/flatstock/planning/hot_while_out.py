"""Heaters that a plan leaves on in a press that is out of order: said, so that nobody works at it hot unawares."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from flatstock.planning.problem.clock import Span, joined
from flatstock.planning.problem.week import Week

__all__ = ["hot_while_out"]


def hot_while_out(document: Mapping[str, Any], week: Week) -> Iterator[str]:
    """One sentence a press and stretch from now on in which it is out of order and heated.

    A mould that is in it is still brought to its end: whether that may be depends on what is out of order, which
    nobody tells the plan. Else heaters are off through an outage (`problem.stretches`).
    """
    moment = week.clock.moment
    for press in week.of_kind("hot_press"):
        hot = joined(
            Span(max(week.now, _minute(week, one["start"])), _minute(week, one["end"]))
            for one in document["settings"]
            if one["place"] == press.id and one["kind"] != "off" and _minute(week, one["end"]) > week.now
        )
        for out in press.absent:
            for span in hot:
                start, end = max(span.start, out.start), min(span.end, out.end)
                if start < end:
                    yield (
                        f"{press.id} is out of order, and by this plan its heaters are on from {moment(start):%a %H:%M}"
                        f" to {moment(end):%a %H:%M}: pressure off, heaters off at the isolator and cold before anybody"
                        f' works at it (the machine\'s manual); once they are off write cold = ["{press.id}"] into'
                        " changes.toml and plan again."
                    )


def _minute(week: Week, text: str) -> int:
    return week.clock.minute(datetime.fromisoformat(text))

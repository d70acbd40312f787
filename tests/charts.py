"""One wall chart a workshop: it takes a quarter of a minute of computing, and several calls ask for the same one."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from copy import deepcopy
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest

from flatstock.actions import charts
from flatstock.pressing.wallchart import WallchartAnswer, answer_wallchart
from flatstock.workshop.shop import Workshop

__all__ = ["charts_once"]

_MADE: dict[str, WallchartAnswer] = {}


@contextmanager
def charts_once() -> Iterator[None]:
    """Within it the chart of a workshop that is equal to one before is that one, dated as it is asked for.

    What a chart says is the tests' of `pressing`; here it is whether a call makes, prints and writes one.
    """

    def once(shop: Workshop, now: datetime) -> WallchartAnswer:
        key = repr(replace(shop, folder=Path(), form="files"))
        if key not in _MADE:
            _MADE[key] = answer_wallchart(shop, now)
        document = deepcopy(_MADE[key].document)
        return replace(_MADE[key], document={**document, "made_at": now.isoformat()})

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(charts, "answer_wallchart", once)
        yield

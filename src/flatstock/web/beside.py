"""What is asked before the first sheet is worked out once for as long as the files and the shop stay as they are."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from fastapi import Request

from flatstock.actions.workshops import Beside, shop_beside
from flatstock.errors import Refused
from flatstock.web.answers import Answers, Rest
from flatstock.web.page import place_of

__all__ = ["beside_of", "known_before"]

Answer = TypeVar("Answer")


def beside_of(request: Request) -> Beside:
    """The workshop, where there is one that can be read: these questions need none."""
    place = place_of(request)
    try:
        return (place.shop(), []) if place.started else shop_beside(place.folder)
    except Refused:  # its faults are told where they matter
        return shop_beside(place.folder)


def known_before(
    request: Request, key: object, work_out: Callable[[Beside], Answer], *, rests_on: Rest
) -> Answer:
    """What `work_out` gives, from before where no file of the workshop and nothing of its lots that counts changed."""
    place, beside = place_of(request), beside_of(request)
    answers: Answers = request.app.state.answers
    if beside[0] is None:
        return work_out(beside)
    return answers.kept(
        beside[0], ("before", key, place.written()), lambda: work_out(beside), rests_on=rests_on
    )

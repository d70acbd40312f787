"""Where no plan was found in the time given, what to type: the app has no such option."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from flatstock.actions.plan_rounds import NotInTime

__all__ = ["more_time"]


@contextmanager
def more_time() -> Iterator[None]:
    """Say with a plan that was not found how the call is given more time."""
    try:
        yield
    except NotInTime as error:
        raise NotInTime(replace(one, instead="give it more with --seconds") for one in error.faults) from None

"""Answers kept for as long as the workshop stays as it is: the same question is worked out once."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import replace
from datetime import datetime
from threading import Lock
from typing import Any, TypeVar, cast

from flatstock.actions.cards import CardAnswer, CardQuestion, make_card
from flatstock.actions.stacks import StackAnswer, StackQuestion, look_at_stack
from flatstock.workshop.shop import Workshop

__all__ = ["Answers"]

MOST = 200
Answer = TypeVar("Answer")


class Answers:
    """The latest answers; a workshop that was read again starts afresh."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._of: Workshop | None = None
        self._kept: OrderedDict[Hashable, Any] = OrderedDict()

    def card(self, shop: Workshop, question: CardQuestion, now: datetime) -> CardAnswer:
        """A card. Raises `Refused` as `make_card` does."""
        key = ("card", repr(replace(question, made_at=None)))  # its lots are a mapping, which has no hash
        return self.kept(shop, key, lambda: make_card(shop, replace(question, made_at=now)))

    def stack(self, shop: Workshop, question: StackQuestion) -> StackAnswer:
        """A stack. Raises `Refused` as `look_at_stack` does."""
        return self.kept(
            shop, ("stack", replace(question, made_at=None)), lambda: look_at_stack(shop, question)
        )

    def kept(self, shop: Workshop, key: Hashable, work_out: Callable[[], Answer]) -> Answer:
        """What `work_out` gives for `key`, from before where it is the same workshop."""
        with self._lock:
            if self._of is not shop:
                self._of = shop
                self._kept.clear()
            if key in self._kept:
                self._kept.move_to_end(key)
                return cast(Answer, self._kept[key])
        answer = work_out()
        with self._lock:
            if self._of is shop:
                self._kept[key] = answer
                while len(self._kept) > MOST:
                    self._kept.popitem(last=False)
        return answer

"""Answers kept for as long as what they rest on stays as it is: the same question is worked out once."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import replace
from datetime import datetime
from threading import Lock
from typing import Any, Literal, TypeVar, cast

from flatstock.actions.cards import CardAnswer, CardQuestion, begin_card
from flatstock.actions.stacks import StackAnswer, StackQuestion, look_at_stack
from flatstock.workshop.lot_changes import lot_changes
from flatstock.workshop.shop import Workshop

__all__ = ["Answers", "Rest"]

MOST = 200
Answer = TypeVar("Answer")
#: what of the lots an answer rests on besides the rest of the shop: nothing; what they are and whether they may be
#: pressed; and what they hold too, which every weighing changes
Rest = Literal["no lot", "lots", "stock"]


class Answers:
    """The latest answers. All are thrown away when anything of the shop but its lots changes."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._seen: Workshop | None = None
        self._rest = object()  #: another one, when anything of the shop but its lots has changed
        self._numbers: dict[Rest, int] = {
            "no lot": 0,
            "lots": 0,
            "stock": 0,
        }  #: of a change, by what it was of
        self._kept: OrderedDict[Hashable, Any] = OrderedDict()

    def card(self, shop: Workshop, question: CardQuestion, now: datetime) -> CardAnswer:
        """A card. Raises `Refused` as `make_card` does.

        Its lots are chosen and held against what they hold each time, which is quick; the heat rests on what they are.
        """
        begun = begin_card(shop, replace(question, made_at=now))
        # mappings, such as shares by lot, have no hash: their text stands for them
        key = ("card", repr(replace(question, made_at=None)), begun.rests_on)
        return self.kept(shop, key, begun.answer, rests_on="no lot")

    def stack(self, shop: Workshop, question: StackQuestion) -> StackAnswer:
        """A stack. Raises `Refused` as `look_at_stack` does. A mould in it is told by its plastic, not by a lot."""
        key = ("stack", replace(question, made_at=None))
        return self.kept(shop, key, lambda: look_at_stack(shop, question), rests_on="no lot")

    def kept(
        self, shop: Workshop, key: Hashable, work_out: Callable[[], Answer], *, rests_on: Rest = "stock"
    ) -> Answer:
        """What `work_out` gives for `key`, from before where nothing that it rests on has changed."""
        with self._lock:
            self._look_at(shop)
            whole = (key, rests_on, self._numbers[rests_on])
            if whole in self._kept:
                self._kept.move_to_end(whole)
                return cast(Answer, self._kept[whole])
            rest = self._rest
        answer = work_out()
        with self._lock:
            if self._rest is rest:
                self._kept[whole] = answer
                while len(self._kept) > MOST:
                    self._kept.popitem(last=False)
        return answer

    def _look_at(self, shop: Workshop) -> None:
        """Count what has changed since the shop was seen last."""
        before, self._seen = self._seen, shop
        if before is shop:
            return
        if before is None or replace(before, lots={}) != replace(shop, lots={}):
            self._rest = object()
            self._kept.clear()
        changed = lot_changes({} if before is None else before.lots, shop.lots)
        if changed:
            self._numbers["stock"] += 1
        if any(old is None or new is None or replace(old, mass=new.mass) != new for old, new in changed):
            self._numbers["lots"] += 1

"""How long moulds rest that lie on each other in a stack, as they lie there."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from flatstock.actions.press_dwell import Recipe
from flatstock.pressing.questions import MouldWords, StackQuestion
from flatstock.pressing.setting import plastics_of
from flatstock.pressing.stack import answer_stack
from flatstock.workshop.shop import Workshop

__all__ = ["carried_at", "rest_in_stack"]

EPOCH = datetime(2000, 1, 1, tzinfo=UTC)  # the heat model knows no clock: any moment does to count from


def carried_at(shop: Workshop, plastic: str) -> float | None:
    """The core of a mould that was carried from its cooling press [°C]: no board lets one go that is hotter. None: no
    limit is on file."""
    known = plastics_of(shop).get(plastic)
    process = None if known is None else known.process
    return None if process is None or process.open_below is None else process.open_below.value


def rest_in_stack(shop: Workshop, place: str, moulds: Sequence[tuple[Recipe, float]]) -> list[float | None]:
    """Seconds after its arrival until each mould may be demoulded, at the late end of the band; None: not known.

    Parameters
    ----------
    place
        A stack of the shop.
    moulds
        What lies there, lowest first, with when it came [s]. Each came as `carried_at` says.

    Raises
    ------
    Refused
        As `answer_stack` does.
    """
    came = [EPOCH + timedelta(seconds=seconds) for _, seconds in moulds]
    asked = []
    for number, ((recipe, _), arrives) in enumerate(zip(moulds, came, strict=True)):
        whole = sum(mass for _, mass in recipe.lots)
        asked.append(
            MouldWords(
                plastic=recipe.plastic,
                thickness=recipe.thickness,
                arrives=arrives,
                core=carried_at(shop, recipe.plastic),
                name=f"M{number}",
                lots=tuple((lot, mass / whole) for lot, mass in recipe.lots) if whole else (),
            )
        )
    answer = answer_stack(shop, StackQuestion(moulds=tuple(asked), at=max(came), place=place)).document
    ready = {one["mould"]: one["open_after"] for one in answer["moulds"]}
    return [
        None if (one := ready[f"M{number}"]) is None
        else (datetime.fromisoformat(one["high"]) - arrives).total_seconds()
        for number, arrives in enumerate(came)
    ]  # fmt: skip

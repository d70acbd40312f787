"""Plan a week: physics and files make the question, a search the plan, a judge that knows no search lets it pass."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from flatstock.actions.workshops import zone_of
from flatstock.errors import Fault, Refused
from flatstock.planning.check import judge
from flatstock.planning.document import plan_document
from flatstock.planning.problem.build import set_out
from flatstock.plastics.safety import cautions_for
from flatstock.pressing.forecast import Forecast, forecast
from flatstock.pressing.platens import hold_power, time_between
from flatstock.workshop.shop import Order, Workshop

__all__ = ["Physics", "keep_plan", "plan_week"]

TOPICS = ("hot", "opening", "press", "unattended", "fume", "lifting", "saw", "claims")


class Physics:
    """The heat model of one shop, as `planning.problem.build` asks for it."""

    def __init__(self, shop: Workshop) -> None:
        self.shop = shop

    def recipe(self, order: Order, press: str) -> Forecast:
        """One order's sheets on one press."""
        return forecast(
            self.shop,
            plastic=order.plastic,
            thickness=order.thickness,
            press=press,
            lots=order.lots,
            colour=order.colour,
        )

    def between(self, press: str, start: float, end: float) -> float:
        """Seconds in which empty platens go from one temperature to another."""
        return time_between(self.shop.hot_presses[press], start, end, room=self.shop.room.value)

    def hold(self, press: str, temperature: float) -> float:
        """What an empty press takes to stay at a temperature [W]."""
        return hold_power(self.shop.hot_presses[press], temperature, room=self.shop.room.value)


def plan_week(
    shop: Workshop,
    *,
    now: datetime,
    seconds: float,
    tell: Callable[[str, float, float], bool] = lambda *_: False,
) -> dict[str, Any]:
    """The week from `now` on, as `flatstock.plan/1`; `tell` hears of progress and says whether to stop.

    Raises `Refused` where nothing can be planned at all.
    """
    from flatstock.planning.solve.search import search  # OR-Tools takes a second to come

    if not shop.orders:
        raise Refused(Fault("orders.csv", "there is no order", "write one line an order"))
    physics = Physics(shop)
    week = set_out(shop, physics, zone=zone_of(shop), start=now)
    found = search(week, seconds=seconds, tell=tell)
    if found.schedule is None:
        raise Refused(
            Fault(
                "the plan",
                "no plan was found in the time given" if found.status == "unknown" else "no plan is possible",
                "give it more with --seconds"
                if found.status == "unknown"
                else "look at people, places and times",
            )
        )
    document = plan_document(
        week,
        found.schedule,
        found.people,
        made_at=now.isoformat(),
        lots=_lots(shop),
        proof={
            "status": found.status,
            "objective": [
                {"name": level.name, "value": level.value, "bound": level.bound} for level in found.levels
            ],
            "seconds": round(found.seconds, 1),
        },
        cautions=cautions_for(*TOPICS),
    )
    broken = judge(document)
    if broken:
        raise Refused(
            Fault(one.where, one.what, "this is a mistake of the planner: pass it on") for one in broken
        )
    return document


def keep_plan(shop: Workshop, document: Mapping[str, Any]) -> Path:
    """Write plan.json into the workshop's folder, whole or not at all. Raises `Refused` where it can't be."""
    path, half = shop.folder / "plan.json", shop.folder / "plan.json.part"
    try:
        half.write_text(json.dumps(document, ensure_ascii=False, indent=1) + "\n", "utf-8")
        half.replace(path)
    except OSError as error:
        raise Refused(
            Fault(
                str(path), f"can't be written ({error.strerror or error})", "make room, or make it writable"
            )
        ) from None
    return path


def _lots(shop: Workshop) -> list[dict[str, Any]]:
    return [
        {
            "id": lot.id,
            "plastic": lot.plastic.lower(),
            "colour": lot.colour,
            "status": lot.status,
            "mass_kg": lot.mass,
        }
        for lot in sorted(shop.lots.values(), key=lambda lot: lot.id)
    ]

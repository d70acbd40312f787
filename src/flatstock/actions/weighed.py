"""What was weighed for the sheets of a plan: on record, or told in done.csv alone."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from flatstock.errors import Fault, Refused
from flatstock.planning.problem.begun import figures_of
from flatstock.running.event import Event
from flatstock.workshop.shop import Workshop
from flatstock.workshop.today import Today

__all__ = ["book_what_was_weighed", "count_once", "weighed_on_record"]


def weighed_on_record(shop: Workshop, sheets: Collection[str]) -> Mapping[str, Mapping[str, float]]:
    """What is on record as weighed for these sheets, by lot [kg], which the lots' book is less by."""
    if shop.form != "records":
        return {}
    from flatstock.records import open_store
    from flatstock.records.lots import weighed_for

    with open_store(shop.folder) as store, store.reading() as db:
        return weighed_for(db, sorted(sheets))


def count_once(plan: dict[str, Any], shop: Workshop) -> None:
    """Tell the lots of a plan as they were before anything was weighed for its sheets.

    Its sheets say what they take, weighed or not; the book of the lots is less by what was weighed already. What was
    weighed for a charge that is given up is gone, whether the book knows it or not.
    """
    given_up = (*plan.get("given_up", ()), *plan.get("set_aside", ()))
    weighed = weighed_on_record(
        shop, [*(one["id"] for one in plan["sheets"]), *(one["sheet"] for one in given_up)]
    )
    back: dict[str, float] = {}
    for one in given_up:
        for part in one["lots"]:
            if one["tasks"] and part["lot"] not in weighed.get(one["sheet"], {}):
                back[part["lot"]] = back.get(part["lot"], 0.0) - part["mass_kg"]
    for one in plan["sheets"]:
        for part in one["lots"]:
            if part["lot"] in weighed.get(one["id"], {}):
                back[part["lot"]] = back.get(part["lot"], 0.0) + part["mass_kg"]
    for lot in plan["lots"]:
        if lot["id"] in back:
            lot["mass_kg"] = max(0.0, round(lot["mass_kg"] + back[lot["id"]], 6))


def book_what_was_weighed(shop: Workshop, plan: Mapping[str, Any], today: Today) -> list[str]:
    """Put weighings on record that done.csv tells of and no tap did; the sheets that they are of.

    done.csv says no masses: those of the plan are booked. Told again it changes nothing. Without records nothing is
    done.

    Raises
    ------
    Refused
        A lot is held, so that nothing can have been weighed from it; nothing of the file is on record then.
    """
    if shop.form != "records":
        return []
    rows = {row.sheet: row for row in today.done if row.step == "weigh" and row.end is not None}
    known = weighed_on_record(shop, rows.keys())
    planned = {name: one for name, one in figures_of(plan).items() if name in rows}
    events = []
    for sheet, one in planned.items():
        row = rows[sheet]
        at = row.end or row.start
        for part in one["lots"]:
            if part["lot"] in known.get(sheet, {}):
                continue
            facts = {"lot": part["lot"], "mass_kg": part["mass_kg"], "target_kg": part["mass_kg"]}
            name = f"done.csv {sheet} {part['lot']} {at.isoformat()}"
            events.append(
                Event(id=name, at=at, noted_at=at, kind="weighed", who=row.people, sheet=sheet, facts=facts)
            )
    if not events:
        return []
    from flatstock.actions.recipes import recipe_in_force
    from flatstock.records import open_store
    from flatstock.records.failing import Broken

    made_by = {sheet: recipe_in_force(sheet, plan, shop) for sheet in planned}
    with open_store(shop.folder) as store:
        try:
            store.append(events, {sheet: one for sheet, one in made_by.items() if one is not None})
        except Broken as error:
            said = ", ".join(dict.fromkeys(str(one.sheet) for one in events))
            what = f"it says that {said} was weighed, and {error.faults[0].what}"
            instead = "take the line out and set the sheet aside, or release the lot with who and why"
            raise Refused(Fault("done.csv", what, instead)) from None
    return list(dict.fromkeys(str(one.sheet) for one in events))

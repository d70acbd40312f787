"""Why a week's plan is called as good as it is, and where its numbers come from."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

__all__ = ["GOAL_TITLES", "plan_reasons"]

Document = Mapping[str, Any]
PAGE = "docs/planning.md"
GOAL_TITLES = {
    "over_latest_min": "Minutes in a hot press past the latest dwell",
    "late_sheets": "Sheets late or without a time",
    "late_min": "Minutes late, over all sheets",
    "sheets_after_closing": "Sheets not done by closing",
    "moved_min": "Minutes that steps move from the plan before",
    "overtime_min": "Minutes outside people's hours",
    "heaters_Wh": "Wh for heating up and holding",
    "changeover_min": "Minutes of changing set-point and colour",
}
CHANGES = {"raise": "set-points raised", "lower": "set-points lowered", "clean": "colours wiped off"}
_FORMULAS = {
    "over_latest_min": "transfer less latest, over the moulds that were in a hot press when the plan was made",
    "late_sheets": "sheets whose ready time is after their order's due time, and sheets that found no time",
    "late_min": "ready less due, over the late sheets, in whole minutes",
    "sheets_after_closing": "sheets with a step still to come at the closing of the week",
    "moved_min": "start less start in the plan before, either way, over the steps that are still to begin",
    "overtime_min": "minutes of each person's steps that lie outside their hours on file: none is planned there,"
    " what was begun may have run over",
    "heaters_Wh": "heat-up energy of each press by its power, mass and loss + loss x hours held at each set-point",
    "changeover_min": "minutes of raise, lower and clean over the settings of every hot press: to another set-point by"
    " the power, mass and loss of its platens, and settling; from light to dark and from dark to light as on file",
}


def plan_reasons(plan: Document) -> list[dict[str, Any]]:
    """A `why` of each goal, of the energy, and of the currents, from what the plan itself carries."""
    sheets, due = plan["sheets"], sorted({one["due"] for one in plan["sheets"] if one.get("due")})
    search = {
        "name": "search",
        "value": f"{plan['proof']['seconds']:.0f} s, {plan['proof']['status']}",
        "kind": "computed",
        "source": "the search for this plan",
    }
    counted = [
        _number("sheets planned", len(sheets), "measured", "the order book"),
        _number("due times that differ", len(due), "measured", "the order book"),
        _number("sheets left out", len(plan["left_out"]), "computed", "this plan"),
    ]
    changed = [one for one in plan["settings"] if one["kind"] in CHANGES]
    changes = [
        _number(words, sum(one["kind"] == kind for one in changed), "computed", "this plan")
        for kind, words in CHANGES.items()
    ]
    heats = [
        _number("set-points held", len(plan["settings"]), "computed", "this plan"),
        _number(
            "energy of the whole plan, kWh",
            plan["energy_kWh"],
            "computed",
            "heat model and power of each press",
        ),
    ]
    of = {"heaters_Wh": heats, "changeover_min": changes}
    found = []
    for goal in plan["proof"]["objective"]:
        name, bound = goal["name"], goal["bound"]
        least = "" if bound is None else f"{bound:,.0f}".replace(",", " ")
        best = (
            f"no plan can have less than {least}, proven"
            if least
            else "the least that any plan can have is not known"
        )
        found.append(
            {
                "of": name,
                "title": GOAL_TITLES.get(name, name.replace("_", " ")),
                "formula": _FORMULAS.get(name, "counted over the plan"),
                "source": PAGE,
                "note": f"{best}; a goal counts only where those before it are equal",
                "inputs": [*of.get(name, counted), search],
            }
        )
    rehearsal = plan.get("rehearsal")
    if rehearsal:
        found.append(
            {
                "of": "rehearsal",
                "title": "When a mould may be opened",
                "formula": "every mould of the plan run through the heat model one after another, with what was in the"
                " press before it and what is piled on it; times that did not hold were planned again",
                "source": PAGE,
                "note": "",
                "inputs": [
                    _number("times run through", rehearsal["rounds"], "computed", "this plan"),
                    _number("sheets rehearsed", len(rehearsal["sheets"]), "computed", "this plan"),
                ],
            }
        )
    return found


def _number(name: str, value: float, kind: str, source: str) -> dict[str, Any]:
    return {"name": name, "value": value, "unit": "", "kind": kind, "source": source}

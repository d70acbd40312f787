"""What to ask the electrician, and what to tell them: a page to hand over."""

from __future__ import annotations

from flatstock.starting.supply.cable import Cable
from flatstock.starting.supply.leakage import Leakage
from flatstock.starting.supply.oven import heaters_power
from flatstock.starting.supply.remedies import Remedy
from flatstock.starting.supply.starts import Start
from flatstock.starting.supply.worst import Worst
from flatstock.workshop.supply import Supply

__all__ = ["CAUTIONS", "questions"]

CAUTIONS = [
    {
        "text": "This is arithmetic on the numbers in supply.toml. It is no design, no test and no permission to"
        " connect anything; everything at a terminal is a licensed electrician's work.",
        "defer_to": "licensed electrician; the network operator for the connection",
    },
    {
        "text": "Limits and tables differ by country and edition; the rule of the place goes before any number here.",
        "defer_to": "local wiring rules, in their edition in force",
    },
    {
        "text": "Heaters that have stood in a damp store are measured and dried out before they see full voltage.",
        "defer_to": "licensed electrician; the heaters' maker",
    },
]


def questions(
    supply: Supply, worst: Worst, ways: list[Remedy], cable: Cable, leak: Leakage, starting: list[Start]
) -> list[str]:
    """Questions in the order an electrician would take them; each with the number it rests on."""
    amps = " / ".join(f"{a:.1f}" for a in worst.needed)
    asked = [
        f"Main device {supply.rated:g} A, type {supply.characteristic}: is that what is fitted, and what does the "
        f"network allow here? Everything that may be on together comes to {amps} A.",
    ]
    fitting = [one for one in ways if one.fits]
    if worst.verdict != "fits":
        over = ", ".join(f"L{n} by {a:.1f} A" for n, a in worst.over(supply.rated).items())
        if over:
            ways_out = "; ".join(one.what for one in fitting) or "none found that fits; what would"
            asked.append(
                f"Over the rating on {over}. Which of these can be done here, and what does it cost: {ways_out}?"
            )
    wired = [rule for rule in supply.rules if rule.wired]
    if wired:
        listed = "; ".join(f"{r.then} held to {r.share:.0%} while {r.when} runs" for r in wired)
        asked.append(f"These interlocks are counted on ({listed}): are they in place, and tested?")
    habits = [rule for rule in supply.rules if not rule.wired]
    if habits:
        listed = "; ".join(f"{r.then} while {r.when} runs" for r in habits)
        asked.append(f"Kept apart by habit only, so not counted: {listed}. What would an interlock cost?")
    asked.append(_about_cable(supply, cable))
    asked += _about_starts(starting)
    if heaters_power(supply) > 0:
        asked += _about_heaters(supply, leak)
    if supply.kind == "generator":
        asked.append(
            "The generator's maker sizes it: largest motor start, heaters switched as one step of load, and"
            f" {worst.apparent / 1000:.1f} kVA running. What size and what voltage dip does the maker state?"
        )
    asked.append("Which way to isolate and lock off the press for work inside it, and where is it labelled?")
    asked.append("Who tests the installation after the work, and what record is left with us?")
    return asked


def _about_cable(supply: Supply, cable: Cable) -> str:
    if cable.carries is None:
        known = "; ".join(cable.why) or "not known"
        return f"Cable: {known}. Which size and way of laying carries {supply.rated:g} A here?"
    drop = (
        ""
        if cable.drop is None
        else f", and drops {cable.drop:.1f} V ({cable.drop_percent:.1f} %) at that current"
    )
    return (
        f"By the table the cable carries {cable.carries:.0f} A for a device of {cable.needed:g} A{drop}."
        " Grouping, insulation around it and the true route are yours to judge: is it enough?"
    )


def _about_starts(starting: list[Start]) -> list[str]:
    asked = []
    for one in starting:
        if one.verdict == "may_trip":
            limit = (
                one.trips_from
                if one.trips_from is not None and one.peak >= one.trips_from
                else one.own_trips_from
            )
            asked.append(
                f"{one.load} starts at about {one.start:.0f} A, {one.peak:.0f} A with what runs beside it; a device may"
                f" act from {limit:.0f} A. Another type, star-delta or a soft starter?"
            )
    if any(one.verdict == "unknown" for one in starting):
        listed = ", ".join(f"{one.load} {one.peak:.0f} A" for one in starting)
        asked.append(f"Starts against the fuse's own curve ({listed}, for a second or two): does it hold?")
    if any(one.assumed for one in starting):
        names = ", ".join(one.load for one in starting if one.assumed)
        asked.append(
            f"Starting current of {names} is a usual 7 times, not the plate's: what does the plate say?"
        )
    return asked


def _about_heaters(supply: Supply, leak: Leakage) -> list[str]:
    stands, kW = "", heaters_power(supply) / 1000
    if leak.may_stand is not None:
        device, most = (supply.residual or 0) * 1000, leak.may_stand * 1000
        stands = f" A residual device of {device:g} mA should stand {most:g} mA of it at most."
    joined = (
        "Are the elements built for star or for delta, and for which voltage? Joined the other way they give a third,"
        " or three times their power."
        if supply.lines == 3
        else "For which voltage are the elements built? At another they give its square: at 208 V, 82 % of what they"
        " give at 230 V."
    )
    return [
        f"Heaters of {kW:g} kW may leak up to {leak.expected * 1000:.0f} mA at the works' test"
        f" limit.{stands} Which residual device, and on which circuit, for the heaters and for the sockets?",
        "Insulation resistance of the heaters cold, before first heat: who measures it, and how are damp ones"
        " dried out, at low voltage or in steps?",
        joined,
    ]

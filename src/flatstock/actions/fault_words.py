"""What was noted about a fault, in words: for a sheet's way and its papers."""

from __future__ import annotations

from flatstock.errors import OutOfRange
from flatstock.quality.faults.guide import guide
from flatstock.quality.faults.places import cells_of, place_words
from flatstock.running.event import Event

__all__ = ["KINDS", "fault_words"]

KINDS = ("fault", "fault_tested", "remedy_picked", "remedy_proved", "fault_closed")


def fault_words(event: Event) -> str:
    """One event of a fault; names that the data no longer have are said as they are."""
    known, facts = guide(), event.facts
    cause = known.causes.get(str(facts.get("cause")))
    name = cause.name if cause is not None else str(facts.get("cause") or "")
    if event.kind == "fault":
        picture = known.pictures.get(str(facts.get("fault")))
        words = picture.words.lower() if picture is not None else str(facts.get("fault"))
        return f"{words}, {_place(str(facts.get('spot') or ''))}"
    if event.kind == "fault_tested":
        asked = {one.id: one for fault in known.faults.values() for one in fault.questions}
        question, answer = asked.get(str(facts.get("question"))), str(facts.get("answer"))
        if question is None:
            return f"{facts.get('question')}: {answer}"
        said = question.words(answer) if answer in ("yes", "no") else "not tried"  # type: ignore[arg-type]
        return f"{question.ask}: {said}"
    if event.kind == "remedy_picked":
        after = f", proved by {facts['next_sheet']}" if facts.get("next_sheet") else ""
        return f"for {name}{after}"
    if event.kind == "remedy_proved":
        return f"{'clean' if facts.get('clean') else 'the same again'}, after the remedy for {name}"
    dried = f"; dried before use: {facts['dried_lots']}" if facts.get("dried_lots") else ""
    return ("noted by mistake" if name == "mistake" else name) + dried


def _place(spot: str) -> str:
    try:
        return place_words(cells_of(spot))
    except OutOfRange:
        return spot

"""What follows from an answer or a proof: a lot that is dried before use, one that is held, a fault closed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from flatstock.actions.fault_case import Case
from flatstock.actions.setting_up import change, sheaf_of
from flatstock.errors import Fault, Refused
from flatstock.quality.faults.guide import Answer, Cause

__all__ = ["answer_of_number", "closes_with", "dry_first", "evidence_words", "from_typed"]

MOST_PERCENT = 50.0  #: of water: the list of lots takes no more


def closes_with(case: Case) -> Cause | None:
    """The cause that the last answer or proof closes the case with; None: it stays open.

    The cause has to be first: by a clean sheet after its remedy, or by a test that decides, where it stands out.
    """
    first = case.causes[case.ranked[0].cause]
    answers = {one.question.closes for one in case.told if one.answer == "yes"}
    proved = {one.cause.id for one in case.picked if one.clean}
    decided = first.id in proved or (case.settled and first.id in answers)
    return first if case.closed is None and decided else None


def evidence_words(case: Case, cause: str) -> str:
    """What speaks for a cause, the strongest first, as it is written on record."""
    (ranked,) = [one for one in case.ranked if one.cause == cause]
    speaks = sorted((one for one in ranked.factors if one.times > 1), key=lambda one: -one.times)
    said = "; ".join(one.words for one in speaks[:4])
    return f"{100 * ranked.share:.0f} of 100 by assumed odds: {said}" if said else "by its odds alone"


def from_typed(case: Case, question: str, number: float) -> Answer:
    """The answer that a number is. Raises `Refused` where the question takes none, or it can't be."""
    asked = next((one for one in case.fault.questions if one.id == question), None)
    if asked is None or asked.number is None:
        raise Refused(Fault("number", "nothing is typed here", "tap an answer"))
    if not 0 <= number <= MOST_PERCENT:
        what = f"{number:g} {asked.number.unit} {asked.number.words} can hardly be"
        raise Refused(Fault("number", what, "read the scale again"))
    return answer_of_number(number, asked.number.least)


def answer_of_number(number: float, least: float) -> Answer:
    """Yes from the limit on.

    >>> answer_of_number(0.35, 0.1), answer_of_number(0.05, 0.1)
    ('yes', 'no')
    """
    return "yes" if number >= least else "no"


def dry_first(
    folder: Path, lots: Sequence[str], dried: bool, *, at: datetime, who: Sequence[str], why: str
) -> list[str]:
    """Write into the list of lots that they are dried before use, or no longer; those that changed."""
    changed = []
    for lot in lots:
        entry = next((one for one in sheaf_of(folder, "lots").entries if one.title == lot), None)
        if entry is None or (entry.values.get("dry_first", "").lower() in ("true", "yes")) == dried:
            continue
        said = {"dry_first": "true" if dried else "false"}
        faults = change(folder, "lots", entry.at, entry.of, said, at=at, who=who, why=why)
        if faults:
            raise Refused(faults)
        changed.append(lot)
    return changed

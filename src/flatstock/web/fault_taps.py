"""Taps on a fault's page: what each of them notes, and what follows from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fastapi import Request

from flatstock.actions.fault_case import Case
from flatstock.actions.fault_steps import closes_with, dry_first, evidence_words, from_typed
from flatstock.actions.lot_book import give_status
from flatstock.actions.lot_results import write_down
from flatstock.errors import Fault, Refused
from flatstock.units import parse_number
from flatstock.web.floorwork import Floorwork
from flatstock.web.noting import Told, note
from flatstock.web.page import place_of

__all__ = ["UNDO", "do"]

UNDO = 10  #: seconds in which a tap is taken back; common practice, no source
Said = Mapping[str, str]


def do(request: Request, case: Case, said: Said, again: Callable[[], Case], told: Told | None = None) -> None:
    """One tap: `said["do"]` is its name and what it is about, with colons between. Raises `Refused`, `WrongWords`.

    `again` works the case out anew, with what has just been noted. `told`: what a device says of a tap that it kept.
    """
    name, _, rest = said.get("do", "").partition(":")
    who = [said["who"]] if said.get("who") else []
    if not who:
        raise Refused(Fault("who", "nobody says so", "tap who it is"))
    if name == "undo":
        _take_back(request, case, rest, who, told)
        return
    if name == "answer":
        _answer(request, case, rest, who, told)
    elif name == "typed":
        _typed(request, case, rest, said, who, told)
    elif name == "pick":
        _pick(request, case, rest, said, who, told)
    elif name == "proof":
        _prove(request, case, rest, who, told)
    elif name == "close":
        _close(request, case, rest, who, told)
        return
    elif name == "hold":
        _hold(request, case, rest, who)
        return
    else:
        raise Refused(
            Fault("tap", "nothing is tapped", "tap an answer, a remedy, or what the next sheet is like")
        )
    now = again()
    cause = closes_with(now)
    if cause is not None and name in ("answer", "proof"):
        _close(request, now, cause.id, who, None if told is None else told.part("closed"))


def _answer(request: Request, case: Case, rest: str, who: list[str], told: Told | None) -> None:
    question, _, answer = rest.partition(":")
    if question not in {one.id for one in case.fault.questions} or answer not in ("yes", "no", "not_tried"):
        raise Refused(Fault("answer", "there is no such answer", "tap one of them"))
    facts = {"of": case.id, "question": question, "answer": answer}
    note(request, "fault_tested", who=who, sheet=case.sheet, facts=facts, told=told)


def _typed(
    request: Request, case: Case, question: str, said: Said, who: list[str], told: Told | None
) -> None:
    """A number of a test: as it is typed, or from the sample before and after; a test of the lot as well."""
    if said.get("before") and said.get("after"):
        before, after = (parse_number(said[name], where=f"sample {name}") for name in ("before", "after"))
        if not 0 < after <= before:
            raise Refused(Fault("sample", f"{after:g} after {before:g} is no drying", "weigh it again"))
        number = round(100 * (before - after) / before, 4)
    elif said.get("number"):
        number = parse_number(said["number"], where="number")
    else:
        raise Refused(
            Fault("number", "nothing is typed yet", "write the number, or the sample before and after")
        )
    answer = from_typed(case, question, number)
    facts: dict[str, str | float] = {"of": case.id, "question": question, "answer": answer, "number": number}
    note(request, "fault_tested", who=who, sheet=case.sheet, facts=facts, told=told)
    if question == "mass_loss" and len(case.lots) == 1:
        _of_lot(request, case.lots[0], number, answer, who, None if told is None else told.part("lot"))


def _of_lot(
    request: Request, lot: str, number: float, answer: str, who: list[str], told: Told | None
) -> None:
    place = place_of(request)
    shop = place.shop()
    if lot not in shop.lots:
        return
    result = "failed" if answer == "yes" else "passed"
    facts: dict[str, str | float] = {"lot": lot, "test": "moisture", "result": result, "number": number}
    event = note(request, "tested", who=who, facts=facts, told=told).event
    faults = write_down(place.folder, shop, event, device=request.state.device or None)
    if faults:
        raise Refused(faults)


def _pick(request: Request, case: Case, cause: str, said: Said, who: list[str], told: Told | None) -> None:
    if cause not in case.causes:
        raise Refused(Fault("remedy", "there is no such cause of this fault", "tap one that is listed"))
    facts: dict[str, str | float] = {"of": case.id, "cause": cause}
    if after := said.get(f"next-{cause}"):
        facts["next_sheet"] = after
    note(request, "remedy_picked", who=who, sheet=case.sheet, facts=facts, told=told)
    if case.causes[cause].lot == "hold":
        _hold(request, case, cause, who)


def _hold(request: Request, case: Case, cause: str, who: list[str]) -> None:
    """Hold every lot of the sheet that may be used now."""
    place = place_of(request)
    lots = place.shop().lots
    if cause not in case.causes:
        raise Refused(Fault("hold", "there is no such cause of this fault", "tap one that is listed"))
    why = f"{case.sheet}: {case.picture.words.lower()}; {case.causes[cause].name} suspected"
    for lot in case.lots:
        if lot in lots and lots[lot].status == "released":
            give_status(
                place.folder,
                lot,
                "quarantine",
                at=place.instant(),
                who=who,
                why=why,
                device=request.state.device or None,
            )


def _prove(request: Request, case: Case, clean: str, who: list[str], told: Told | None) -> None:
    remedy = case.open_remedy
    if remedy is None or clean not in ("yes", "no"):
        raise Refused(Fault("proof", "no remedy waits for its proof", "pick one first"))
    note(
        request,
        "remedy_proved",
        who=who,
        sheet=remedy.next_sheet or case.sheet,
        facts={"of": case.id, "cause": remedy.cause.id, "clean": clean == "yes"},
        told=told,
    )


def _close(request: Request, case: Case, cause: str, who: list[str], told: Told | None) -> None:
    """Close it; `mistake`: it was none. What made bubbles by its water is dried before use from then on."""
    if case.closed is not None and (told is None or case.closed.event != told.id):
        raise Refused(
            Fault("closing", f"{' + '.join(case.closed.who)} closed it meanwhile", "look at it again")
        )
    facts: dict[str, str | float] = {"of": case.id, "cause": cause}
    if cause != "mistake":
        if cause not in case.causes:
            raise Refused(Fault("cause", "there is no such cause of this fault", "tap one that is listed"))
        facts["evidence"] = evidence_words(case, cause)
    place = place_of(request)
    if cause in case.causes and case.causes[cause].lot == "dry_first":
        why = f"{case.sheet}: {case.picture.words.lower()}; {facts['evidence']}"
        lots = [lot for lot in case.lots if lot in place.shop().lots]
        if changed := dry_first(place.folder, lots, True, at=place.instant(), who=who, why=why[:200]):
            facts["dried_lots"] = " ".join(changed)
    note(request, "fault_closed", who=who, sheet=case.sheet, facts=facts, told=told)


def _take_back(request: Request, case: Case, entry: str, who: list[str], told: Told | None) -> None:
    """The last entry, tapped within ten seconds; a lot that it marked to be dried is as it was.

    The tap counts from when the device says that it was made: on its way to the server it grows no older. Told a
    second time, it was taken back the first time.
    """
    if told is not None and _known(request, told.id):
        return
    _, last = case.last_entry
    if entry != last:
        what = "something was noted of it meanwhile, and that is the last entry now"
        raise Refused(Fault("undo", what, "look at it again"))
    note(request, "undone", who=who, sheet=case.sheet, corrects=last, told=told)
    if case.closed is not None and last == case.closed.event and case.closed.dried_lots:
        at, why = place_of(request).instant(), f"{case.sheet}: taken back"
        dry_first(place_of(request).folder, case.closed.dried_lots, False, at=at, who=who, why=why)


def _known(request: Request, name: str) -> bool:
    """Whether an event of this id was noted lately."""
    work: Floorwork = request.app.state.floor
    return any(one.id == name for one in work.board().events(place_of(request).instant()))

"""The end of a shift or a day: what stands where and until when, the closing check, and two who sign."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from flatstock.errors import Fault, Refused, UserError
from flatstock.plastics.safety import rules
from flatstock.running.words import minute_up
from flatstock.web.floorwork import Floorwork
from flatstock.web.noting import Told, done, note, told_of
from flatstock.web.page import in_units, place_of, show
from flatstock.web.pages.today import KIND_WORDS, STATE_WORDS

__all__ = ["router"]

router = APIRouter()
CLOSES, GOES_ON = "the shop closes", "work goes on"


@router.get("/handover", response_class=HTMLResponse)
def handover(request: Request) -> Response:
    """What has to be known by whoever comes next."""
    return _page(request, (), ())


@router.post("/handover")
async def sign(request: Request) -> Response:
    """The closing check gone through, and what stands handed over by two."""
    form = await request.form()
    seen = [str(one) for one in form.getlist("line")]
    then = GOES_ON if form.get("then") == GOES_ON else CLOSES
    told = told_of(request, form)
    who = [str(one) for one in form.getlist("who")]
    try:
        if then == CLOSES:
            _gone_through(seen)
        if len(set(who)) != 2:
            raise Refused(Fault("who", "two different people sign", "tap both"))
        heated = await run_in_threadpool(_heaters_on, request)
        if then == CLOSES:
            await run_in_threadpool(_close, request, who, heated, told)
        elif heated and not any(_may_stay(request, one) for one in who):
            what = f"{', '.join(heated)} heats, and neither of the two may be left with it"
            raise Refused(
                Fault(
                    "who", what, "somebody trained for hot transfers takes over, or the heaters go off first"
                )
            )
        await run_in_threadpool(note, request, "handed_over", who=who, facts={"then": then}, told=told)
    except UserError as error:
        return _page(request, error.faults, seen, then, who)
    return done(request, "/happened")


def _gone_through(seen: Collection[str]) -> None:
    """Every line of the closing check. Raises `Refused` with those that are not."""
    left = [line for line in rules().closing_check.lines if line not in seen]
    if left:
        raise Refused(Fault("closing check", f"not done: {' '.join(left)}", "go and look, then tap it"))


def _close(request: Request, who: Sequence[str], heated: Sequence[str], told: Told | None) -> None:
    """The closing check says that the heaters are off: so does the board from then on."""
    for press in heated:
        off = None if told is None else told.part(f"off {press}")
        note(request, "heating_off", who=who[:1], place=press, told=off)
    check = None if told is None else told.part("closing")
    note(request, "checked", who=who[:1], facts={"list": "closing"}, told=check)


def _heaters_on(request: Request) -> list[str]:
    work: Floorwork = request.app.state.floor
    return [one.id for one in work.floor()[1].places if one.heat is not None and one.heat.on]


def _may_stay(request: Request, person: str) -> bool:
    """Whether somebody may be the one who stays with a heated press."""
    found = place_of(request).shop().people.get(person)
    return found is not None and "hot_transfer" in found.skills


def _page(
    request: Request,
    faults: tuple[Fault, ...],
    done: Collection[str],
    then: str = CLOSES,
    signed: Collection[str] = (),
) -> HTMLResponse:
    work: Floorwork = request.app.state.floor
    place = place_of(request)
    shop = place.shop()
    _, floor = work.floor()
    check = rules().closing_check
    return show(
        request,
        "handover.html",
        status=422 if faults else 200,
        floor=floor,
        say=in_units(place),
        zone=place.zone(),
        up=minute_up,
        check=check,
        done=done,
        people=list(shop.people),
        away=work.away(),
        signed=signed,
        faults=faults,
        kind_words_=KIND_WORDS,
        state_words=STATE_WORDS,
        heaters_on=[one.id for one in floor.places if one.heat is not None and one.heat.on],
        thens=(CLOSES, GOES_ON),
        then=then,
    )

"""The board's clocks by the heat model: what a card says of the same mould, and what no card can say."""

from __future__ import annotations

import threading
import time
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from flatstock.actions.board import open_board
from flatstock.actions.cards import CardQuestion, make_card
from flatstock.actions.heat_clocks import HeatClocks
from flatstock.actions.kept import kept_plan
from flatstock.actions.stacks import MouldWords, StackQuestion, look_at_stack
from flatstock.actions.workshops import open_workshop
from flatstock.running.courses import Course
from flatstock.running.danger import Heat
from flatstock.running.event import Event
from flatstock.running.sheets import planned
from flatstock.running.stays import Stay
from flatstock.running.supply_cuts import Calm
from flatstock.running.view import Floor as FloorView
from flatstock.running.view import MouldHere
from tests.web.conftest import demo_folder

NINE = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
SHEET = "O-104-01"  # HDPE dark 12 mm


class Floor:
    """The demo's shop, its plan, and clocks that wait for the model."""

    def __init__(self, folder: Path) -> None:
        self.shop = open_workshop(folder)
        self.sheets = planned(kept_plan(folder))
        self.clocks = HeatClocks(lambda: self.shop, waits=True)

    def course(
        self, place: str, *before: Stay, heat: Heat | None = None, calms: Sequence[Calm] = ()
    ) -> Course:
        here = Stay(sheet=SHEET, place=place, hot=place == "HP1", since=NINE, since_early=NINE)
        heats = {"HP1": heat} if heat is not None else {}
        return self.clocks.courses([*before, here], self.sheets, heats, now=NINE, calms=calms)[SHEET]


@pytest.fixture(scope="module")
def floor(tmp_path_factory: pytest.TempPathFactory) -> Floor:
    return Floor(demo_folder(tmp_path_factory.mktemp("clocks") / "shop"))


def minutes(course: Course, kind: str) -> float:
    moment = course.gates[kind].not_before
    assert moment is not None
    return (moment - NINE).total_seconds() / 60


def card(floor: Floor) -> dict[str, object]:
    question = CardQuestion(plastic="hdpe", thickness=0.012, lots={"L-2301": 1.0})
    return dict(make_card(floor.shop, question).document)


def test_a_mould_in_the_hot_press_waits_for_the_late_end_of_its_cards_band(floor: Floor) -> None:
    """Another grid than the card's: within 3 %."""
    course, said = floor.course("HP1"), card(floor)
    assert minutes(course, "transferred") == pytest.approx(said["dwell_min"]["high"], rel=0.03)
    assert course.latest is not None
    assert (course.latest - NINE).total_seconds() / 60 == pytest.approx(
        said["dwell_latest_min"]["low"], rel=0.03
    )


@pytest.mark.parametrize("moulds_before", [0, 1, 2])
def test_a_mould_in_the_cooling_press_waits_as_the_card_says_of_its_place_in_the_row(
    floor: Floor, moulds_before: int
) -> None:
    """The band of a later mould is taken from the first's: within 20 % of the card's late end."""
    row = [
        Stay(
            sheet=f"before-{n}", place="CP1", hot=False, since=NINE - timedelta(minutes=45 * n),
            since_early=NINE - timedelta(minutes=45 * n), until=NINE - timedelta(minutes=45 * n - 40),
        )
        for n in range(1, moulds_before + 1)
    ]  # fmt: skip
    course, said = floor.course("CP1", *row), card(floor)
    assert minutes(course, "moved") == pytest.approx(said["press_cool_min"][moulds_before]["high"], rel=0.2)


def test_the_core_passes_its_limit_when_the_gate_opens_and_not_before(floor: Floor) -> None:
    course = floor.course("CP1")
    gate = course.gates["moved"]
    assert gate.not_before is not None
    assert gate.limit is not None
    before, at = (course.core_at(gate.not_before - timedelta(minutes=m)) for m in (1, 0))
    assert before is not None
    assert at is not None
    assert before > gate.limit
    assert at == pytest.approx(gate.limit, abs=1.5)


def cut(start: float, end: float | None, read: float | None = None) -> Heat:
    """Heaters without supply from minute `start` to `end`, platens measured at `end`."""
    back = None if end is None else NINE + timedelta(minutes=end)
    reads = () if read is None or back is None else ((back, read),)
    return Heat(
        press="HP1", on=end is not None, since=NINE, set_point=195.0, reads=reads,
        cuts=((NINE + timedelta(minutes=start), back),),
    )  # fmt: skip


def test_a_power_cut_lengthens_the_dwell_by_less_than_it_lasted_since_the_platens_stay_hot(
    floor: Floor,
) -> None:
    """Story 13: "not simply +9"; the whole is the dwell that the card advises."""
    whole = card(floor)["dwell_advised_min"]
    after = minutes(floor.course("HP1", heat=cut(2, 11)), "transferred")
    assert whole < after < whole + 9


def test_colder_platens_after_a_cut_lengthen_it_more(floor: Floor) -> None:
    warm, cold = (
        minutes(floor.course("HP1", heat=cut(2, 11, read)), "transferred") for read in (185.0, 140.0)
    )
    assert warm < cold


def test_while_the_heat_is_off_nothing_says_when_it_is_ready(floor: Floor) -> None:
    course = floor.course("HP1", heat=cut(2, None))
    assert course.gates["transferred"].not_before is None
    assert "cut a corner" in " ".join(course.notes)


def test_until_the_model_has_answered_the_plans_times_count(floor: Floor) -> None:
    told: list[bool] = []
    clocks = HeatClocks(lambda: floor.shop, ready=lambda: told.append(True))
    here = Stay(sheet=SHEET, place="HP1", hot=True, since=NINE, since_early=NINE)
    first = clocks.courses([here], floor.sheets, {}, now=NINE)[SHEET]
    assert first.basis == "the plan"
    assert first.awaited
    assert "being worked out" in " ".join(first.notes)
    for one in list(clocks._answers.values()):
        one.result()
    later = clocks.courses([here], floor.sheets, {}, now=NINE)[SHEET]
    assert (later.basis, later.awaited) == ("the heat model", False)
    assert told


def test_a_mould_without_a_planned_time_stays_closed_until_the_model_has_answered(floor: Floor) -> None:
    clocks = HeatClocks(lambda: floor.shop)
    here = Stay(sheet=SHEET, place="HP1", hot=True, since=NINE, since_early=NINE)
    first = clocks.courses([here], floor.sheets, {"HP1": cut(2, 11)}, now=NINE + timedelta(minutes=12))[SHEET]
    assert first.awaited
    assert first.gates["transferred"].not_before is None


def test_where_no_plan_has_put_it_a_mould_stays_closed_until_the_model_has_answered(floor: Floor) -> None:
    clocks = HeatClocks(lambda: floor.shop)
    here = Stay(sheet=SHEET, place="R1", hot=False, since=NINE, since_early=NINE)
    first = clocks.courses([here], floor.sheets, {}, now=NINE)[SHEET]
    assert first.awaited
    assert first.gates["demoulded"].not_before is None


def test_late_in_its_dwell_a_mould_is_nearly_as_hot_as_its_platens(floor: Floor) -> None:
    """What the board shows before the transfer is what the cooling press takes over."""
    course = floor.course("HP1")
    late = course.core_at(NINE + timedelta(minutes=28))
    assert late is not None
    point = floor.sheets[SHEET].set_point
    assert point is not None
    assert point - 6 < late <= point


def test_when_the_supply_fails_no_fan_counts_on_what_stands_in_the_cooling_press(floor: Floor) -> None:
    """Story 5: 12 mm is cool enough to open within 15 min with fans, and takes longer in still air."""
    blown, calm = floor.course("CP1"), floor.course("CP1", calms=[Calm(NINE + timedelta(minutes=1), None)])
    late = floor.course("CP1", calms=[Calm(NINE + timedelta(minutes=6), None)])
    ready = [minutes(one, "demoulded") for one in (blown, late, calm)]
    assert ready == sorted(ready)
    assert ready[2] > 1.2 * ready[0]
    assert "without fans" in " ".join(calm.notes)


def test_once_somebody_says_that_the_fans_run_again_they_count_from_then(floor: Floor) -> None:
    blown, cut = floor.course("CP1"), NINE + timedelta(minutes=1)
    again = Calm(cut, cut + timedelta(minutes=2), "CP1")
    short, calm = (
        floor.course("CP1", calms=calms) for calms in ([again, Calm(cut, None)], [Calm(cut, None)])
    )
    assert minutes(blown, "demoulded") < minutes(short, "demoulded") < minutes(calm, "demoulded")
    assert minutes(short, "demoulded") < minutes(blown, "demoulded") + 2.5
    assert "without fans" not in " ".join(short.notes)


def test_a_cut_while_the_mould_before_was_in_the_press_leaves_its_plates_warmer(floor: Floor) -> None:
    earlier = NINE - timedelta(minutes=45)
    before = Stay(sheet="O-104-02", place="CP1", hot=False, since=earlier, since_early=earlier, until=NINE)
    warm = floor.course("CP1", before, calms=[Calm(NINE - timedelta(minutes=40), None)])
    assert minutes(warm, "demoulded") > minutes(floor.course("CP1", before), "demoulded")


def test_until_the_model_has_answered_a_cut_leaves_the_cooling_press_closed(floor: Floor) -> None:
    here = Stay(sheet=SHEET, place="CP1", hot=False, since=NINE, since_early=NINE)
    clocks = HeatClocks(lambda: floor.shop)
    first = clocks.courses(
        [here], floor.sheets, {}, now=NINE, calms=[Calm(NINE + timedelta(minutes=1), None)]
    )[SHEET]
    assert [gate.not_before for gate in first.gates.values()] == [None, None]


def test_an_answer_is_on_the_board_in_the_second_in_which_it_came(tmp_path: Path) -> None:
    """What was made of the floor in that second, by the plan's times, is made anew."""
    folder = demo_folder(tmp_path / "shop")
    shop, plan, go = open_workshop(folder), kept_plan(folder), threading.Event()
    board = open_board(folder, lambda: shop)
    with board.store as store:
        loaded = Event(
            id="in", at=NINE, noted_at=NINE, kind="loaded", sheet=SHEET, place="HP1", who=("OP1", "OP2")
        )
        store.append([loaded])
        assert isinstance(board.clocks, HeatClocks)
        board.clocks._worker.submit(go.wait)
        assert mould(board.floor(shop, plan, NINE)[1]).awaited
        go.set()
        until = time.monotonic() + 120
        while mould(board.floor(shop, plan, NINE)[1]).awaited:
            assert time.monotonic() < until, "the answer is not on the board"
            time.sleep(0.05)


def mould(floor: FloorView) -> MouldHere:
    return next(one for place in floor.places if place.id == "HP1" for one in place.moulds)


def heated(since: float, *, point: float = 195.0, reads: Sequence[tuple[float, float]] = ()) -> Heat:
    """Heaters on since minute `since`, and platens read, minutes from when the mould is laid in."""
    on = NINE + timedelta(minutes=since)
    return Heat(
        press="HP1", on=True, since=on, set_point=point, points=((on, point),), cuts=(),
        reads=tuple((NINE + timedelta(minutes=at), value) for at, value in reads),
    )  # fmt: skip


def test_a_mould_laid_between_platens_that_heat_up_has_its_dwell_from_where_they_stood(floor: Floor) -> None:
    usual, half, cold = (
        floor.course("HP1", heat=heated(since, reads=[(-0.1, read)] if read else ()))
        for since, read in ((-120, None), (-30, 160.0), (-30, 120.0))
    )
    advised = card(floor)["dwell_advised_min"]
    assert usual.notes == ()
    assert advised < minutes(half, "transferred") < minutes(cold, "transferred")
    assert "between platens at about 120 °C, set to 195 °C" in cold.notes[0]
    assert "cut a corner" in cold.notes[0]


def test_what_its_platens_read_as_it_is_pressed_counts(floor: Floor) -> None:
    known, read = (floor.course("HP1", heat=heated(-120, reads=reads)) for reads in ((), ((0.5, 120.0),)))
    assert minutes(read, "transferred") > minutes(known, "transferred") + 5


def test_heaters_set_lower_than_its_recipe_lengthen_its_dwell(floor: Floor) -> None:
    lower = floor.course("HP1", heat=heated(-120, point=185.0))
    assert minutes(lower, "transferred") > minutes(floor.course("HP1", heat=heated(-120)), "transferred") + 2
    assert "set to 185 °C" in lower.notes[0]


def test_until_a_cold_start_is_worked_out_the_mould_stays_closed(floor: Floor) -> None:
    clocks = HeatClocks(lambda: floor.shop)
    here = Stay(sheet=SHEET, place="HP1", hot=True, since=NINE, since_early=NINE)
    course = clocks.courses([here], floor.sheets, {"HP1": heated(-20)}, now=NINE)[SHEET]
    assert course.awaited
    assert course.gates["transferred"].not_before is None


def test_what_no_plan_has_in_a_stack_rests_by_the_heat_of_all_that_lies_there(floor: Floor) -> None:
    """By the same answer that the night's stack has: alone sooner than under an 18 mm mould, which came as hot."""

    def stay(sheet: str, minutes: float) -> Stay:
        came = NINE + timedelta(minutes=minutes)
        return Stay(sheet=sheet, place="ST1", hot=False, since=came, since_early=came)

    sheets = {name: replace(one, tasks={}) for name, one in floor.sheets.items()}
    alone, on_it = stay(SHEET, 0), stay("O-101-01", 20)

    def rest(*there: Stay) -> timedelta:
        course = floor.clocks.courses(there, sheets, {}, now=NINE)[SHEET]
        ready = course.gates["demoulded"].not_before
        assert ready is not None
        return ready - NINE

    moulds = tuple(
        MouldWords(plastic="hdpe", thickness=thickness, arrives=one.since, core=90, lots=lots)
        for one, thickness, lots in (
            (alone, 0.012, (("L-2301", 1.0),)),
            (on_it, 0.018, (("L-2302", 15.8 / 17.6), ("L-2308", 1 / 17.6), ("L-2309", 0.8 / 17.6))),
        )
    )
    question = StackQuestion(moulds=moulds, at=on_it.since, place="ST1")
    answer = look_at_stack(floor.shop, question).document["moulds"][0]
    assert rest(alone) + timedelta(minutes=30) < rest(alone, on_it)
    assert rest(alone, on_it).total_seconds() == pytest.approx(
        (datetime.fromisoformat(answer["open_after"]["high"]) - NINE).total_seconds(), abs=60
    )


def test_beside_a_mould_that_nobody_knows_one_in_a_stack_stays_closed(floor: Floor) -> None:
    sheets = {SHEET: replace(floor.sheets[SHEET], tasks={})}
    there = [
        Stay(sheet=one, place="ST1", hot=False, since=NINE, since_early=NINE) for one in (SHEET, "unknown")
    ]
    course = floor.clocks.courses(there, sheets, {}, now=NINE)[SHEET]
    assert course.gates["demoulded"].not_before is None

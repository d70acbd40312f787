"""What the heat model finds wrong becomes minutes in the next plan; what no minutes mend is named."""

from dataclasses import replace
from datetime import UTC, datetime
from math import inf

from flatstock.actions.mending import asked, conflicts
from flatstock.actions.workshops import open_workshop
from flatstock.demo import copy_to
from flatstock.planning.problem.week import Site
from flatstock.planning.solve.search import search
from flatstock.pressing.card import work_out
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.rehearsal import Going, Verdict, rehearse
from tests.planning.proof.tiny import person, tiny_kind, tiny_week

MONDAY = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
MINUTE, HOUR = 60.0, 3600.0
STACK = Site(id="ST1", kind="stack", capacity=3, more={"order": "last_in_first_out"})


def three_thick_moulds(folder, *, second_cools):
    """18 mm moulds laid on each other as they come from the press, the second one after these minutes of cooling."""
    copy_to(folder)
    shop = open_workshop(folder)
    question = CardQuestion(plastic="hdpe", thickness=18e-3, lots={"L-2301": 1.0}, colour="dark", press="HP1")
    card, goings = work_out(shop, question), []
    for n, cool in enumerate((1, second_cools, 1)):
        laid = n * 48 * MINUTE
        lifted = laid + 42 * MINUTE
        clamped = lifted + 3 * MINUTE
        left = clamped + cool * MINUTE
        goings.append(
            Going(
                sheet=str(n + 1), card=card, press="HP1", cooling="CP1", hot_from=-HOUR, ramp=0.0, laid=laid,
                lifted=lifted, clamped=clamped, left=left, stay="ST1", stayed=left + 3 * MINUTE,
                opened=(40 - n) * HOUR,
            )
        )  # fmt: skip
    return {one.sheet: one for one in rehearse(shop, goings)}


def test_a_mould_that_melts_its_neighbour_in_the_stack_again_is_named_with_the_minutes_it_lacked(tmp_path):
    verdicts = three_thick_moulds(tmp_path / "shop", second_cools=1)
    assert "melts again" in verdicts["3"].verdict
    assert verdicts["3"].heated_by == "2"
    assert 0 < verdicts["2"].more_before < inf


def test_with_the_minutes_that_it_lacked_nothing_melts_again(tmp_path):
    more = three_thick_moulds(tmp_path / "first", second_cools=1)["2"].more_before
    verdicts = three_thick_moulds(tmp_path / "again", second_cools=1 + more / 60)
    assert not any("melts again" in one.verdict or one.heated_by for one in verdicts.values())


def verdict(sheet, words="good", **more):
    return Verdict(sheet=sheet, core_at_transfer=170.0, core_at_open=80.0, peak_after=121.0, core_at_demould=40.0, verdict=words, **more)  # fmt: skip


def stacked_week(stack_least=0):
    kind = tiny_kind("dark", dwell=3, cool=2, whole=200, rest={"ST1": 8}, frames=("F1", "F2"))
    week = tiny_week(
        [(kind, 90), (kind, 90)], end=90, people=[person("A", (0, 90)), person("B", (0, 90))], stays=(STACK,),
        frames=("F1", "F2"),
    )  # fmt: skip
    return replace(week, sheets=tuple(sheet.asks(stack=stack_least) for sheet in week.sheets))


def in_press(week):
    """Minutes under pressure of every sheet of the plan that is found."""
    found = search(week, seconds=5)
    return found.schedule, [
        run.leave - run.transfer - week.times.transfer for run in found.schedule.runs.values()
    ]


def test_a_melting_again_makes_what_comes_onto_the_stack_cool_longer_before_it():
    week = stacked_week()
    schedule, before = in_press(week)
    again = asked(
        week, schedule, [verdict("01", "melts again", heated_by="02"), verdict("02", more_before=330.0)]
    )
    assert again is not None
    needed = before[1] + 6  # 330 s are six whole minutes
    assert {sheet.stack_least for sheet in again.sheets} == {needed}
    _, after = in_press(again)
    assert min(after) >= needed


def test_what_asks_more_before_a_stack_may_still_leave_for_a_rack_at_once():
    week = stacked_week(stack_least=30)
    rack = Site(id="R1", kind="rack", capacity=2)
    kinds = {sheet.kind.key: replace(sheet.kind, rest={"ST1": 8, "R1": 8}) for sheet in week.sheets}
    sheets = tuple(replace(sheet, kind=kinds[sheet.kind.key], due=24) for sheet in week.sheets)
    schedule, cooled = in_press(replace(week, sheets=sheets, sites={**week.sites, "R1": rack}))
    assert {run.stay for run in schedule.runs.values()} == {"R1"}
    assert max(cooled) < 30


def test_what_melts_another_again_is_kept_from_such_as_that_alone():
    week = stacked_week()
    soft, hot = week.sheets
    week = replace(week, sheets=(replace(soft, kind=replace(soft.kind, key="soft")), hot))
    schedule, _ = in_press(week)
    again = asked(
        week,
        schedule,
        [verdict("01", "melts again", heated_by="02"), verdict("02", more_before=330.0, melts=("01",))],
    )
    assert {sheet.id: (sheet.stack_least > 0, sheet.melts) for sheet in again.sheets} == {
        "01": (False, frozenset()), "02": (True, frozenset({"soft"}))
    }  # fmt: skip


def test_what_is_too_warm_out_of_a_stack_asks_longer_there_and_nowhere_else():
    week = stacked_week()
    schedule, _ = in_press(week)
    run = schedule.runs["01"]
    assert run.stay == "ST1"
    again = asked(week, schedule, [verdict("01", "too warm to demould", more_rest=90.0), verdict("02")])
    needed = run.demould - run.leave - week.times.move + 2  # 90 s are two whole minutes
    assert {(sheet.rests("ST1"), sheet.rest_least) for sheet in again.sheets} == {(needed, 0)}


def test_a_hot_kind_that_would_melt_a_soft_one_is_told_though_it_lay_elsewhere(tmp_path):
    """HDPE 18 mm that is taken out after a minute melts what it is laid on; so would 12 mm that lies on the rack."""
    copy_to(tmp_path / "shop")
    shop, found = open_workshop(tmp_path / "shop"), []
    cards = {
        mm: work_out(
            shop,
            CardQuestion(
                plastic="hdpe", thickness=mm * 1e-3, lots={"L-2301": 1.0}, colour="dark", press="HP1"
            ),
        )
        for mm in (12, 18)
    }
    for n, (mm, cool, stay) in enumerate([(18, 1, "ST1"), (18, 1, "ST1"), (18, 1, "ST1"), (12, 1, "R1")]):
        laid = n * 48 * MINUTE
        lifted = laid + (42 if mm == 18 else 28) * MINUTE
        left = lifted + (3 + cool) * MINUTE
        found.append(
            Going(
                sheet=str(n + 1), card=cards[mm], press="HP1", cooling="CP1", hot_from=-HOUR, ramp=0.0, laid=laid,
                lifted=lifted, clamped=lifted + 3 * MINUTE, left=left, stay=stay, stayed=left + 3 * MINUTE,
                opened=(40 - n) * HOUR,
            )
        )  # fmt: skip
    verdicts = {one.sheet: one for one in rehearse(shop, found)}
    assert verdicts["3"].heated_by == "2"
    assert "3" in verdicts["2"].melts
    assert "3" in verdicts["4"].melts
    assert 0 < verdicts["4"].more_before < inf


def test_what_no_time_mends_is_named_with_what_it_never_does():
    (said,) = conflicts([verdict("A-01"), verdict("A-02", "raw", more_dwell=inf)])
    assert said.startswith("A-02: raw when the plan is run through the heat model")
    assert "it never melts through there" in said


def test_a_conflict_names_the_mould_that_melts_another_again():
    (said,) = conflicts([verdict("A-01", "melts again", heated_by="B-03")])
    assert "up to 121 °C, from B-03" in said

"""A week that is under way is planned again: what was done stands, what changed holds, what moved is told."""

from __future__ import annotations

import json
import shutil
from datetime import datetime, timedelta

import pytest

from flatstock.actions.replans import plan_from_now
from flatstock.errors import Refused
from flatstock.planning.check import judge
from flatstock.workshop.files import read
from tests.planning.on_the_way.conftest import done_by


def go_on(folder, now, *, seconds=6):
    first = []
    document = plan_from_now(read(folder), now=now, seconds=seconds, first=first.append)
    return document, first


def at(text):
    return datetime.fromisoformat(text)


def tasks(document):
    return {(one["sheet"], one["step"]): one for one in document["tasks"]}


def in_press(folder):
    """The sheet that done.csv leaves in the hot press."""
    rows = [line.split(",")[:2] for line in (folder / "done.csv").read_text("utf-8").splitlines()]
    loaded = [sheet for sheet, step in rows if step == "load"]
    return next(sheet for sheet in loaded if [sheet, "transfer"] not in rows)


def done_in(folder):
    """Sheets and steps that done.csv tells of."""
    rows = (folder / "done.csv").read_text("utf-8").splitlines()[1:]
    return {tuple(line.split(",")[:2]) for line in rows}


def kept(folder):
    return json.loads((folder / "plan.json").read_text("utf-8"))


def test_a_shop_that_kept_to_its_plan_keeps_it(shop, now):
    document, _ = go_on(shop, now)
    assert judge(document) == []
    assert sum(abs(one["by_min"]) for one in document["since"]["moved"]) <= 5
    assert [one["order"] for one in document["late"]] == []


def test_what_was_done_stands_as_it_was_done(shop, now):
    lines = (shop / "done.csv").read_text("utf-8").splitlines()[1:]
    document, _ = go_on(shop, now)
    now_planned = tasks(document)
    for line in lines:
        sheet, step, start, end, _, people = line.split(",")
        task = now_planned[sheet, step]
        assert at(task["start"]) == at(start)
        assert sorted(task["people"]) == sorted(people.split())
        if end:
            assert at(task["end"]) == at(end)


def test_nothing_that_has_not_begun_begins_before_now(shop, now):
    begun = {tuple(line.split(",")[:2]) for line in (shop / "done.csv").read_text("utf-8").splitlines()[1:]}
    document, _ = go_on(shop, now)
    for key, task in tasks(document).items():
        if task["people"] and key not in begun:
            assert at(task["start"]) >= now, key


def test_nobody_works_while_away_and_what_moved_says_so(shop, now):
    before = tasks(kept(shop))
    away = now + timedelta(hours=2)  # the mould in the press is out by then
    (shop / "changes.toml").write_text(
        f'[[absences]]\nperson = "OP2"\nfrom = {away:%Y-%m-%dT%H:%M:%S}\nwhy = "doctor"\n', "utf-8"
    )
    document, _ = go_on(shop, now)
    later = [t for t in document["tasks"] if at(t["end"]) > away]
    assert not any("OP2" in task["people"] for task in later)
    assert judge(document) == []
    moved = {(one["sheet"], one["step"]): one for one in document["since"]["moved"]}
    hers = [
        key for key, t in before.items() if "OP2" in t["people"] and at(t["start"]) >= now and key in moved
    ]
    assert any("OP2 is away (doctor)" in moved[key]["because"] for key in hers)


def test_a_lot_on_hold_is_left_out_with_its_reason_and_drawn_no_more(shop, now):
    (shop / "changes.toml").write_text('[[held]]\nlot = "L-2304"\nwhy = "under test"\n', "utf-8")
    document, _ = go_on(shop, now)
    assert [one["order"] for one in document["left_out"]] == ["O-103"]
    assert "L-2304" in document["left_out"][0]["because"]
    hot = {sheet for sheet, step in done_in(shop) if step == "load"}
    drawn = {one["id"] for one in document["sheets"] if any(lot["lot"] == "L-2304" for lot in one["lots"])}
    assert drawn <= hot
    gone = [one for one in document["since"]["moved"] if one["sheet"].startswith("O-103")]
    assert gone
    assert all(one["to"] is None and "L-2304 is held (under test)" in one["because"] for one in gone)


def test_a_mould_in_the_press_is_finished_though_its_lot_is_held_and_the_platens_change_after_it(
    planned, tmp_path
):
    """No sheet of its kind is begun any more, so nothing else asks for its set-point."""
    shop = tmp_path / "shop"
    shutil.copytree(planned, shop)
    before = kept(shop)
    first = min(
        (t for t in before["tasks"] if t["step"] == "load" and t["sheet"].startswith("O-103")),
        key=lambda task: at(task["start"]),
    )
    now = at(first["end"]) + timedelta(minutes=5)
    (shop / "done.csv").write_text(done_by(before, now), "utf-8")
    (shop / "changes.toml").write_text('[[held]]\nlot = "L-2304"\nwhy = "under test"\n', "utf-8")
    document, _ = go_on(shop, now)
    assert {finding.rule for finding in judge(document)} <= {"released"}  # it was when the mould went in
    then = tasks(document)
    assert at(then[first["sheet"], "transfer"]["start"]) > now
    later = [at(t["start"]) for t in document["tasks"] if t["step"] == "load" and at(t["start"]) > now]
    cooled = [one for one in document["settings"] if one["kind"] == "lower" and at(one["start"]) > now]
    same_day = [start for start in later if start.date() == now.date()]
    assert not same_day or any(at(one["end"]) <= min(same_day) for one in cooled)


def test_a_press_out_of_order_takes_no_new_mould_and_gives_back_the_one_in_it(shop, now):
    until = now + timedelta(hours=4)
    (shop / "changes.toml").write_text(
        f'[[out_of_order]]\nplace = "HP1"\nuntil = {until:%Y-%m-%dT%H:%M:%S}\nwhy = "hose"\n', "utf-8"
    )
    document, _ = go_on(shop, now)
    assert judge(document) == []
    begun = {
        line.split(",")[0] for line in (shop / "done.csv").read_text("utf-8").splitlines() if ",load," in line
    }
    for task in document["tasks"]:
        if task["step"] == "load" and task["sheet"] not in begun:
            assert at(task["start"]) >= until
    assert any("HP1 is out of order (hose)" in one["because"] for one in document["since"]["moved"])


def test_a_press_with_failed_elements_takes_longer(shop, now):
    (shop / "changes.toml").write_text('[[out_of_order]]\nplace = "HP1"\nelements = 4\nof = 12\n', "utf-8")
    document, _ = go_on(shop, now, seconds=8)
    before = {one["id"]: one["dwell_min"] for one in kept(shop)["sheets"]}
    begun = {
        line.split(",")[0]
        for line in (shop / "done.csv").read_text("utf-8").splitlines()
        if ",transfer," in line
    }
    longer = {one["id"]: one["dwell_min"] - before[one["id"]] for one in document["sheets"]}
    assert all(longer[sheet] == 0 for sheet in begun)
    thick = {one["id"] for one in document["sheets"] if one["thickness_mm"] > 6}
    assert all(longer[sheet] > 0 for sheet in thick - begun)


def test_a_mould_that_is_late_moves_what_follows_it(shop, now):
    """Nothing was done for three quarters of an hour: the mould that stands prepared is loaded as soon as can be."""
    document, _ = go_on(shop, now + timedelta(minutes=45))
    assert any("it had not begun by" in one["because"] for one in document["since"]["moved"])
    for task in document["tasks"]:
        if at(task["start"]) < now + timedelta(minutes=45) and task["people"]:
            assert at(task["start"]) <= now


def test_the_first_answer_is_judged_too_and_comes_before_the_rest(shop, now):
    document, first = go_on(shop, now)
    assert len(first) == 1
    assert judge(first[0]) == []
    assert first[0]["rehearsal"]["rounds"] == 0
    assert document["rehearsal"]["rounds"] >= 1


def test_a_mould_taken_out_too_late_is_told_as_it_was_done(shop, now):
    """The dwell that was too long is a fact: the plan goes on, and says so."""
    lines = (shop / "done.csv").read_text("utf-8").splitlines()
    loads = [line for line in lines if ",load," in line]
    sheet = loads[-1].split(",")[0]
    rest = [line for line in lines if not line.startswith(sheet)] + [
        line
        for line in lines
        if line.startswith(sheet) and line.split(",")[1] in ("weigh", "prepare", "load")
    ]
    (shop / "done.csv").write_text("\n".join(rest) + "\n", "utf-8")
    late = at(loads[-1].split(",")[2]) + timedelta(hours=3)
    document, _ = go_on(shop, late)
    assert any(sheet in words and "As it was done" in words for words in document["warnings"])


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("O-999-01,load,2026-03-02T06:40,2026-03-02T06:43,HP1,OP1 OP2", "plan.json has no such sheet"),
        ("O-102-01,melt,2026-03-02T06:40,2026-03-02T06:43,HP1,OP1 OP2", "none of the choices"),
        ("O-102-01,weigh,2026-03-09T12:00,,SCALE60,OP1", "it lies after now"),
        ("O-102-01,weigh,2026-03-02T06:45,2026-03-02T06:40,SCALE60,OP1", "it ends before it begins"),
        ("O-102-01,weigh,2026-03-02T06:40,2026-03-02T06:44,HP9,OP1", "the nearest is HP1"),
        ("O-102-01,weigh,2026-03-02T06:40,2026-03-02T06:44,SCALE60,OP7", "nobody of this name"),
        ("O-102-01,load,2026-03-02T06:40,2026-03-02T06:43,CP1,OP1 OP2", "correct the place: HP1"),
        (
            "O-102-01,press_cool,2026-03-02T06:43,,R1,",
            "R1 is a rack, which press_cool has nothing to do with",
        ),
    ],
)
def test_what_cannot_have_happened_is_refused_with_its_line(shop, now, line, says):
    (shop / "done.csv").write_text(f"sheet,step,start,end,place,people\n{line}\n", "utf-8")
    with pytest.raises(Refused) as no:
        go_on(shop, now)
    assert "done.csv line 2" in no.value.faults[0].sentence()
    assert says in no.value.faults[0].sentence()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('[[absences]]\nperson = "OPX"\n', "nobody of this name"),
        ('[[out_of_order]]\nplace = "HP9"\n', "the nearest is HP1"),
        ('[[out_of_order]]\nplace = "CP1"\nelements = 2\n', "only a hot press has heating elements"),
        ('[[out_of_order]]\nplace = "HP1"\nelements = 12\nof = 12\n', "is all of it"),
        ('[[held]]\nlot = "L-1"\n', "no such lot"),
        ('[[absence]]\nperson = "OP2"\n', "the nearest is absences"),
    ],
)
def test_changes_that_name_nothing_are_refused_with_their_line(shop, now, text, says):
    (shop / "changes.toml").write_text(text, "utf-8")
    with pytest.raises(Refused) as no:
        go_on(shop, now)
    assert "changes.toml line" in no.value.faults[0].sentence()
    assert says in no.value.faults[0].sentence()


def test_without_a_plan_there_is_nothing_to_go_on_from(shop, now):
    (shop / "plan.json").unlink()
    with pytest.raises(Refused, match="no plan to go on from"):
        go_on(shop, now)


def test_two_moulds_in_one_press_are_refused(shop, now):
    loads = [line for line in (shop / "done.csv").read_text("utf-8").splitlines() if ",load," in line]
    (shop / "done.csv").write_text(
        "\n".join(["sheet,step,start,end,place,people", *loads[:2]]) + "\n", "utf-8"
    )
    with pytest.raises(Refused, match="at once"):
        go_on(shop, now)


def test_what_has_begun_is_ended_next_week_where_nobody_comes_any_more_in_this_one(shop):
    plan = kept(shop)
    evening = next(at(one["start"]) for one in plan["settings"] if one["kind"] == "off")
    lying = [t["sheet"] for t in plan["tasks"] if t["step"] in ("rack", "stack", "press_cool")
             and at(t["start"]) <= evening < at(t["end"])]  # fmt: skip
    assert lying
    (shop / "done.csv").write_text(done_by(plan, evening), "utf-8")
    people = [one["id"] for one in plan["resources"] if one["kind"] == "person"]
    monday = "2026-03-09T00:00:00"
    (shop / "changes.toml").write_text(
        "".join(f'[[absences]]\nperson = "{name}"\nuntil = {monday}\nwhy = "snow"\n' for name in people),
        "utf-8",
    )
    document, first = go_on(shop, evening + timedelta(minutes=1))
    demoulds = {t["sheet"]: at(t["start"]) for t in document["tasks"] if t["step"] == "demould"}
    assert first
    assert all(demoulds[sheet] >= at(f"{monday}+00:00") for sheet in lying)


def test_what_heating_up_took_this_morning_is_not_told_by_what_the_weaker_press_would_take(shop, now):
    (shop / "changes.toml").write_text('[[out_of_order]]\nplace = "HP1"\nelements = 4\nof = 12\n', "utf-8")
    document, _ = go_on(shop, now, seconds=3)

    def soaks(plan):
        return [
            (one["start"], one["end"])
            for one in plan["settings"]
            if one["kind"] == "soak" and at(one["end"]) < now
        ]

    assert soaks(kept(shop))
    assert soaks(document) == soaks(kept(shop))
    assert not any(words.startswith("As it was done: HP1") for words in document["warnings"])

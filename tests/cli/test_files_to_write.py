"""Names of files that a call is to write are judged before anything is worked out."""

from __future__ import annotations

import pytest

ROOM, CARD = ("room", "--seconds", "30"), ("card", "--plastic", "HDPE", "--thickness", "12mm")


@pytest.fixture
def nothing_worked_out(monkeypatch):
    """Fails where a room is looked for, an outlay staged, a card or a week worked out."""

    def never(*_, **__):
        raise AssertionError("this was worked out before the file's name was judged")

    monkeypatch.setattr("flatstock.starting.room.solve.answering.answer", never)
    monkeypatch.setattr("flatstock.actions.outlays.plan_outlay", never)
    monkeypatch.setattr("flatstock.actions.supplies.look_at_supply", never)
    monkeypatch.setattr("flatstock.actions.cards.make_card", never)
    monkeypatch.setattr("flatstock.actions.plans.plan_week", never)


@pytest.mark.parametrize(
    ("words", "option", "name", "said"),
    [
        (ROOM, "--pdf", "room.svg", "is no name for a PDF; write room.pdf"),
        (ROOM, "--svg", "room.pdf", "is no name for a drawing; write room.svg"),
        (ROOM, "--pdf", "nowhere/room.pdf", "there is no folder"),
        (ROOM, "--svg", "nowhere/room.svg", "there is no folder"),
        (ROOM, "--pdf", "folder.pdf", "is there already and is no PDF"),
        (ROOM, "--svg", "folder.svg", "is there already and is no drawing"),
        (ROOM, "--pdf", "notes.pdf", "is there already and is no PDF"),
        (ROOM, "--svg", "notes.svg", "is there already and is no drawing"),
        (ROOM, "--svg", "x" * 300 + ".svg", "can't be written (File name too long)"),
        (("supply",), "--pdf", "nowhere/supply.pdf", "there is no folder"),
        (("outlay",), "--pdf", "outlay.csv", "is no name for a PDF; write outlay.pdf"),
        (("outlay",), "--csv", "months.pdf", "is no name for a table; write months.csv"),
        (("outlay",), "--csv", "nowhere/months.csv", "there is no folder"),
        (("outlay",), "--csv", "notes.csv", "is there already and is another table"),
        (CARD, "--pdf", "nowhere/card.pdf", "there is no folder"),
        (("plan",), "--pdf", "nowhere/papers", "can't be written (No such file or directory)"),
        (("plan",), "--pdf", "notes.pdf", "can't be written (File exists)"),
    ],
)
def test_a_file_that_cannot_be_written_is_told_before_anything_is_worked_out(
    call, demo_folder, tmp_path, nothing_worked_out, words, option, name, said
):
    for suffix in ("pdf", "svg"):
        (tmp_path / f"folder.{suffix}").mkdir()
    for suffix in ("pdf", "svg", "csv"):
        (tmp_path / f"notes.{suffix}").write_text("not ours")
    before = sorted(tmp_path.rglob("*"))
    done = call(words[0], demo_folder, *words[1:], option, tmp_path / name)
    assert (done.code, done.out) == (1, "")
    assert done.err.startswith(f"{option}: ")
    assert said in done.err
    assert sorted(tmp_path.rglob("*")) == before
    assert (tmp_path / "notes.pdf").read_text() == "not ours"


@pytest.mark.parametrize(("option", "name"), [("--pdf", "room.pdf"), ("--svg", "room.svg")])
def test_a_name_that_is_tried_leaves_nothing_behind_where_the_answer_is_no(
    call, demo_folder, tmp_path, option, name
):
    done = call("room", demo_folder, "--without", "NOBODY", option, tmp_path / name)
    assert done.code == 1
    assert list(tmp_path.iterdir()) == []


def test_papers_of_an_earlier_call_are_written_again(call, tmp_path):
    folder, paper = tmp_path / "demo", tmp_path / "supply.pdf"
    call("new", folder, "--demo")
    paper.write_bytes(b"%PDF-1.7 of last week")
    assert call("supply", folder, "--pdf", paper).code == 1  # the demo's supply is over
    assert paper.stat().st_size > 10_000

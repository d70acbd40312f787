"""`flatstock demo`: the whole job, once."""

import json
import re
from pathlib import Path

import jsonschema
import pytest

from flatstock.schemas import load


@pytest.fixture(scope="module", autouse=True)
def shorter():
    """A few seconds find a week and a room that pass; how good they get in more is asked elsewhere."""
    from flatstock.actions import demo

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(demo, "PLANNING", 5.0)
        patch.setattr(demo, "PLACING", 4.0)
        patch.setattr(demo, "LOOKS", 6)  # however slow the machine is
        yield


@pytest.fixture(scope="module")
def told(tmp_path_factory, shorter):
    """What the demo prints, and its folder; made once for all tests here."""
    from flatstock.actions.demo import run_demo
    from flatstock.cli.demo_story import tell

    folder = tmp_path_factory.mktemp("demo") / "flatstock-demo"
    said = []
    return tell(run_demo(folder, say=said.append)), folder, said


def test_each_order_has_a_card_on_the_screen_and_on_paper(told):
    text, folder, _ = told
    for order in (f"O-10{n}" for n in range(1, 8)):
        assert f"\n{order}  " in text
        assert (folder / "papers" / f"card-{order}.pdf").read_bytes().startswith(b"%PDF-")


def test_its_times_are_rounded_to_the_safe_side_as_on_the_card(told):
    text, folder, _ = told
    for order in (f"O-10{n}" for n in range(1, 8)):
        card = json.loads((folder / "papers" / f"card-{order}.json").read_text(encoding="utf-8"))
        short = text.split(f"\n{order}  ")[1].split("\n\n")[0]
        latest = float(re.search(r"at the latest ([\d.]+);", short)[1])
        waits = [float(one) for one in re.search(r"cool +(.*) min under", short)[1].split(", ")]
        assert latest <= card["dwell_latest_min"]["low"]
        assert [said >= cool["high"] - 1e-6 for said, cool in zip(waits, card["press_cool_min"], strict=True)] == [
            True, True, True,
        ]  # fmt: skip


def test_every_file_that_it_names_was_written_with_a_document_beside_it(told):
    text, _, _ = told
    named = [line.strip() for line in text.splitlines() if line.endswith(".pdf")]
    assert len(named) == 12
    for path in named:
        document = json.loads(Path(path).with_suffix(".json").read_text(encoding="utf-8"))
        assert document["format"].startswith("flatstock.")


def test_its_documents_fit_their_schemas(told):
    _, folder, _ = told
    for path in sorted((folder / "papers").glob("*.json")):
        document = json.loads(path.read_text(encoding="utf-8"))
        name = document["format"].removeprefix("flatstock.").removesuffix("/1")
        jsonschema.validate(document, load(name))


def test_it_fits_eighty_columns_and_says_how_far_it_is(told):
    text, folder, said = told
    assert [line for line in text.replace(str(folder), "DIR").splitlines() if len(line) > 80] == []
    assert said[0] == "card for O-101"


def test_the_stack_of_the_day_is_asked_for_the_next_morning(told):
    _, folder, _ = told
    stack = json.loads((folder / "papers" / "stack.json").read_text(encoding="utf-8"))
    assert stack["at"] == "2026-03-03T08:00:00+00:00"
    assert [m["thickness_mm"] for m in stack["moulds"]] == [18, 18, 18, 12, 12, 12, 6, 6]


def test_a_second_run_keeps_what_a_person_changed(told, monkeypatch):
    from flatstock.actions import demo
    from flatstock.actions.demo import run_demo

    monkeypatch.setattr(demo, "PLANNING", 2.0)
    monkeypatch.setattr(demo, "PLACING", 1.0)

    _, folder, _ = told
    orders = folder / "orders.csv"
    kept = orders.read_text(encoding="utf-8")
    lines = [line for line in kept.splitlines() if not line.startswith("O-") or line.startswith("O-104")]
    orders.write_text("\n".join(lines) + "\n", encoding="utf-8")
    again = run_demo(folder)
    orders.write_text(kept, encoding="utf-8")
    assert not again.copied
    assert [paper.document["order"] for paper in again.cards] == ["O-104"]


def test_its_overloaded_supply_is_an_answer_and_its_purchases_have_their_proof(told):
    text, folder, _ = told
    assert "NO: it fits only by phase angle" in " ".join(text.split())
    assert "no order leaves more, proven" in " ".join(text.split())
    assert json.loads((folder / "papers" / "supply.json").read_text("utf-8"))["over"]
    assert json.loads((folder / "papers" / "outlay.json").read_text("utf-8"))["proof"]["status"] == "optimal"


def test_its_room_is_drawn_for_paper_and_screen_with_everything_in_its_place(told):
    text, folder, _ = told
    assert "m walked a day" in " ".join(text.split())
    assert str(folder / "papers" / "room.svg") in text
    assert "<svg" in (folder / "papers" / "room.svg").read_text("utf-8")
    room = json.loads((folder / "papers" / "room.json").read_text("utf-8"))
    assert all(item["x_mm"] is not None for item in room["items"])


def test_a_paper_that_is_open_elsewhere_is_told_in_one_sentence(call, tmp_path, monkeypatch):
    """Windows lets nobody replace a PDF that a reader has open."""

    def held(*_):
        raise PermissionError(
            13, "Permission denied", ".card.part", None, str(tmp_path / "d" / "card-O-101.pdf")
        )

    monkeypatch.setattr("flatstock.actions.demo.card_pdf", held)
    done = call("demo", "--to", tmp_path / "d", "--no-app")
    assert done.code == 1
    assert (
        "card-O-101.pdf: can't be written (Permission denied); make room, make it writable, or close it"
        in done.err
    )

"""`flatstock new` and `flatstock read`."""

import io

import pytest

from flatstock.cli.asking import answer_of, ask_all
from flatstock.errors import Refused, WrongWords
from flatstock.workshop.start import QUESTIONS, StartAnswers


def test_a_new_workshop_takes_defaults_where_nobody_can_be_asked_and_reads_back(call, tmp_path):
    done = call("new", tmp_path / "mine")
    assert done.code == 0
    assert f"flatstock read {tmp_path / 'mine'}" in done.out
    assert call("read", tmp_path / "mine").code == 0


def test_a_copy_of_the_demo_is_the_demo(call, tmp_path):
    assert call("new", tmp_path / "copy", "--demo").code == 0
    read = call("read", tmp_path / "copy", "--json")
    assert (read.code, read.document["format"]) == (0, "flatstock.read/1")
    assert read.document["counts"]["orders"] == 7


def test_a_folder_that_holds_something_is_left_alone(call, tmp_path):
    (tmp_path / "letter.txt").touch()
    done = call("new", tmp_path)
    assert done.code == 1
    assert "there is something in it already" in done.err
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_every_fault_of_a_broken_workshop_is_told_at_once(call, tmp_path):
    call("new", tmp_path / "w", "--demo")
    shop = tmp_path / "w" / "shop.toml"
    lots = tmp_path / "w" / "lots.csv"
    shop.write_text(shop.read_text(encoding="utf-8") + "\nroom_temprature = 3\n", encoding="utf-8")
    lots.write_text(lots.read_text(encoding="utf-8").replace("released", "relesed", 1), encoding="utf-8")
    done = call("read", tmp_path / "w")
    assert (done.code, done.out) == (1, "")
    *faults, last = done.err.splitlines()
    assert any("shop.toml" in fault for fault in faults)
    assert any("lots.csv" in fault and "relesed" in fault for fault in faults)
    assert last == f"{len(faults)} faults in {tmp_path / 'w'}; nothing was changed."
    as_json = call("read", tmp_path / "w", "--json")
    assert as_json.code == 1
    assert as_json.document["format"] == "flatstock.refusal/1"
    assert len(as_json.document["faults"]) == len(faults)


def test_a_folder_without_a_workshop_is_told(call, tmp_path):
    done = call("read", tmp_path / "nowhere")
    assert done.code == 1
    assert "nowhere" in done.err


def answering(monkeypatch, *lines):
    monkeypatch.setattr("sys.stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    return ask_all()


def test_enter_takes_the_usual_answers(monkeypatch):
    assert answering(monkeypatch, *[""] * len(QUESTIONS)) == StartAnswers()


def test_an_answer_that_is_none_is_asked_again(monkeypatch, capsys):
    answers = answering(monkeypatch, "Shed", "us", "warm", "64F", *[""] * len(QUESTIONS))
    assert (answers.name, answers.units) == ("Shed", "us")
    assert answers.room == pytest.approx(17.78, abs=0.01)
    assert "'warm'" in capsys.readouterr().err


def test_input_that_ends_before_the_last_answer_starts_no_workshop(monkeypatch):
    with pytest.raises(Refused, match="nothing was written"):
        answering(monkeypatch, "Shed", "metric")


def test_nobody_is_asked_for_fans_of_a_press_that_is_not_there(monkeypatch, capsys):
    lines = ["no" if question.field == "cooling_press" else "" for question in QUESTIONS]
    assert not answering(monkeypatch, *lines).cooling_press
    assert "fans" not in capsys.readouterr().err


def test_a_bare_number_is_metric_in_a_metric_shop_alone():
    length = next(q for q in QUESTIONS if q.field == "platen_length")
    assert answer_of(length, "650", "metric") == pytest.approx(0.65)
    with pytest.raises(WrongWords, match="has no unit"):
        answer_of(length, "24", "us")


@pytest.mark.parametrize(
    ("field", "word", "choice"),
    [
        ("units", "inches", "us"),
        ("platen_metal", "steel", "mild_steel"),
        ("platen_metal", "aluminum", "aluminium"),
    ],
)
def test_plain_words_for_a_choice_are_understood(field, word, choice):
    assert answer_of(next(q for q in QUESTIONS if q.field == field), word) == choice


def test_every_usual_answer_answers_its_question():
    for question in QUESTIONS:
        given = answer_of(question, question.default)
        assert given == getattr(StartAnswers(), question.field), question.field


def test_several_thicknesses_in_inches_are_one_answer():
    question = next(q for q in QUESTIONS if q.dimension == "lengths")
    assert answer_of(question, "1/4in, 1/2 in") == (0.00635, 0.0127)
    with pytest.raises(WrongWords, match="has no unit"):
        answer_of(question, "6, 12")


@pytest.mark.parametrize(("word", "given"), [("y", True), ("yes", True), ("No", False)])
def test_yes_and_no_may_be_short(word, given):
    question = next(q for q in QUESTIONS if q.dimension == "yes_no")
    assert answer_of(question, word) is given


def test_read_tells_what_does_not_fit_together_in_a_room_once(call, tmp_path, demo_folder):
    folder = tmp_path / "shop"
    folder.mkdir()
    for file in demo_folder.iterdir():
        (folder / file.name).write_bytes(file.read_bytes())
    room = folder / "room.toml"
    room.write_text(
        room.read_text("utf-8")
        .replace("x1_mm = 9200", "x1_mm = 9000")
        .replace("grid_mm = 100", "gird_mm = 100"),
        "utf-8",
    )
    done = call("read", folder)
    assert done.code == 1
    assert done.err.count("lies in no wall") == 1
    assert done.err.count("unknown key 'gird_mm'") == 1
    assert "2 faults" in done.err

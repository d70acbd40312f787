"""The questions of `flatstock new`: at a terminal, and answered by another program."""

from __future__ import annotations

import io
import math

import pytest

from flatstock.actions.workshops import faults_of_answers
from flatstock.cli.answers import answer_of
from flatstock.cli.asking import anybody_there, ask_all
from flatstock.errors import Refused, WrongWords
from flatstock.workshop.files import check
from flatstock.workshop.start import StartAnswers, write_new
from flatstock.workshop.start_questions import QUESTIONS, usual_answer

PLACES = {question.fields[0]: n for n, question in enumerate(QUESTIONS)}


class Terminal(io.StringIO):
    def isatty(self):
        return True


def lines(**answers):
    """An empty line a question, but for the answers given by the question's first field."""
    said = [""] * len(QUESTIONS)
    for field, text in answers.items():
        said[PLACES[field]] = text
    return "".join(f"{line}\n" for line in said)


@pytest.fixture
def at_a_terminal(monkeypatch):
    def ask(text):
        monkeypatch.setattr("sys.stdin", Terminal(text))
        return ask_all(faults_of_answers)

    return ask


@pytest.fixture
def from_a_program(monkeypatch):
    def ask(text):
        monkeypatch.setattr("sys.stdin", io.StringIO(text))
        return ask_all(faults_of_answers)

    return ask


def said(field, text, units="metric"):
    question = QUESTIONS[PLACES[field]]
    usual = usual_answer(question, StartAnswers(units=units))
    return answer_of(question, text, units=units, usual=usual)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_enter_takes_the_usual_answers_and_marks_them_assumed(at_a_terminal, units, tmp_path):
    answers = at_a_terminal(lines(units=units))
    assert set(answers.assumed) >= {"room", "cavity_length", "frame_land", "rated_current", "room_length"}
    assert "units" not in answers.assumed
    write_new(tmp_path / "shop", answers)
    assert check(tmp_path / "shop")[1] == []


def test_a_shop_in_inches_is_offered_figures_in_inches(at_a_terminal, capsys):
    at_a_terminal(lines(units="us"))
    offered = capsys.readouterr().err
    assert "[68F]" in offered
    assert "[28in x 28in x 1in]" in offered
    assert "[24in x 24in]" in offered
    for metric in ("mm]", "20C]", "kg]", "8m x"):
        assert metric not in offered


def test_a_dozen_or_so_questions_are_asked_in_plain_words():
    assert len(QUESTIONS) <= 20
    assert all(question.text.rstrip(")").endswith(("?", ".")) for question in QUESTIONS)


@pytest.mark.parametrize(
    ("field", "wrong", "right", "why"),
    [
        ("room", "warm", "18C", "'warm' is not a temperature"),
        ("room", "200C", "18C", "200 °C can't be meant: a room is -30 °C to 60 °C"),
        ("time_zone", "Berlinn", "Berlin", "the nearest is Europe/Berlin"),
        ("power", "6W", "6kW", "too little"),
        (
            "cavity_length",
            "900mm x 600mm",
            "600mm x 600mm",
            "larger than the platen, 700 mm long; at most 640 mm fits",
        ),
        ("frame_thicknesses", "500mm", "6mm", "doesn't go into a press that opens 150 mm"),
        ("scale_capacity", "10g, 30kg", "30kg, 10g", "largest load first"),
        ("platen_length", "700mm x 700mm", "700mm x 700mm x 20mm", "2 measures where 3 should be"),
        ("platen_metal", "gold", "steel", "none of the choices"),
        ("door_width", "2m x 9m", "2m x 2m", "higher than the room"),
    ],
)
def test_an_answer_that_cannot_be_is_asked_for_again_at_once_with_one_sentence(
    at_a_terminal, capsys, field, wrong, right, why
):
    at_a_terminal(lines(**{field: f"{wrong}\n{right}"}))
    said = capsys.readouterr().err
    assert said.count(why) == 1
    assert said.count(QUESTIONS[PLACES[field]].text) == 2


def test_a_sheet_is_offered_that_fits_the_platens_just_given(at_a_terminal, capsys):
    answers = at_a_terminal(lines(platen_length="1350mm x 950mm x 20mm"))
    assert "[1250mm x 850mm]" in capsys.readouterr().err
    assert (answers.cavity_length, answers.cavity_width) == pytest.approx((1.25, 0.85))


@pytest.mark.parametrize("text", ["", "Shed\n", "Shed\nmetric\n\n"])
def test_a_terminal_that_ends_before_the_last_answer_starts_no_workshop(at_a_terminal, text):
    with pytest.raises(Refused, match="nothing was written"):
        at_a_terminal(text)


def test_ctrl_c_starts_no_workshop(call, tmp_path, monkeypatch):
    class Stopped(Terminal):
        def readline(self, *_):
            raise KeyboardInterrupt

    monkeypatch.setattr("sys.stdin", Stopped())
    done = call("new", tmp_path / "mine")
    assert (done.code, list(tmp_path.iterdir())) == (130, [])
    assert "Nothing was written" in done.err


def test_answers_from_another_program_are_used(call, tmp_path, monkeypatch):
    monkeypatch.setattr(
        "sys.stdin", io.StringIO(lines(name="Shed 12", units="us", heated="top", force="20 ton"))
    )
    assert call("new", tmp_path / "mine").code == 0
    text = (tmp_path / "mine/shop.toml").read_text("utf-8")
    assert 'name = "Shed 12"' in text
    assert "force_lbf = 40000" in text
    assert "bottom_power_kW = 0 " in text


def test_an_answer_from_another_program_that_cannot_be_is_refused_with_its_number(
    call, tmp_path, monkeypatch
):
    monkeypatch.setattr("sys.stdin", io.StringIO(lines(room="warm")))
    done = call("new", tmp_path / "mine")
    assert (done.code, list(tmp_path.iterdir())) == (1, [])
    assert "answer 4" in done.err
    assert "'warm' is not a temperature" in done.err


def test_answers_from_another_program_that_end_early_start_nothing(from_a_program):
    with pytest.raises(Refused, match="ended before 'Which time zone"):
        from_a_program("Shed\nmetric\n")


def test_an_input_without_a_line_stands_for_the_usual_answers(from_a_program):
    assert from_a_program("").assumed == ask_nothing().assumed


def ask_nothing():
    from flatstock.workshop.start import usual_answers

    return usual_answers()


def test_nobody_is_there_where_the_input_is_closed_or_missing():
    closed = io.StringIO()
    closed.close()
    assert not anybody_there(closed)
    assert not anybody_there(None)


def test_a_folder_with_something_in_it_is_told_before_the_first_question(call, tmp_path, monkeypatch):
    (tmp_path / "letter.txt").touch()
    monkeypatch.setattr("sys.stdin", Terminal(lines()))
    done = call("new", tmp_path)
    assert done.code == 1
    assert "something in it already" in done.err
    assert "What is the workshop called" not in done.err


@pytest.mark.parametrize(
    ("text", "units", "metres"),
    [
        ("700 x 600 x 25", "metric", (0.7, 0.6, 0.025)),
        ("700x600x25 mm", "metric", (0.7, 0.6, 0.025)),
        ("700mm, 600mm, 25mm", "metric", (0.7, 0.6, 0.025)),
        ("70,5cm by 60cm by 25mm", "metric", (0.705, 0.6, 0.025)),
        ('28 1/2" x 2ft x 1in', "us", (0.7239, 0.6096, 0.0254)),
        ("28 x 24 x 1", "us", (0.7112, 0.6096, 0.0254)),
    ],
)
def test_several_measures_are_one_answer(text, units, metres):
    assert list(said("platen_length", text, units).values()) == pytest.approx(metres)


def test_a_bare_number_beside_different_units_is_asked_for_again():
    with pytest.raises(WrongWords, match="'24' has no unit"):
        said("platen_length", "24 x 2ft x 1in", "us")


def test_load_and_step_of_a_scale_have_each_its_own_unit():
    assert said("scale_capacity", "60, 20") == {"scale_capacity": 60, "scale_step": pytest.approx(0.02)}


@pytest.mark.parametrize(
    ("text", "units", "newtons"),
    [
        ("300kN", "metric", 300e3),
        ("30t", "metric", 30 * 9806.65),
        ("30 tonnes", "metric", 30 * 9806.65),
        ("20 ton", "us", 177928.86),
        ("40000", "us", 177928.86),
        ("250", "metric", 250e3),
        ("140mm, 195bar", "metric", math.pi / 4 * 0.14**2 * 195e5),
        ("5 1/2in at 3000psi", "us", math.pi / 4 * 0.1397**2 * 3000 * 6894.757),
        ("140mm 195bar", "metric", math.pi / 4 * 0.14**2 * 195e5),
        ("unknown", "metric", None),
        ("?", "metric", None),
    ],
)
def test_a_force_is_said_as_it_stands_on_the_press_or_by_bore_and_gauge(text, units, newtons):
    given = said("force", text, units)["force"]
    assert given is None if newtons is None else given == pytest.approx(newtons)


@pytest.mark.parametrize(
    ("units", "force", "bore"), [("metric", "300kN", "140mm 195bar"), ("us", "60000lbf", "5.5in 2800psi")]
)
def test_examples_of_a_force_are_in_the_shops_units_and_are_answers_themselves(units, force, bore):
    (question,) = (one for one in QUESTIONS if one.kind == "force")
    with pytest.raises(WrongWords) as wrong:
        said("force", "300kN, 10kN, 5kN", units)
    for words in (question.words(units), str(wrong.value)):
        assert force in words
        assert bore in words
    for one in (force, bore):
        assert 250e3 < said("force", one, units)["force"] < 310e3


@pytest.mark.parametrize("text", ["strong", "3mm", "140mm", "300kN, 10kN, 5kN"])
def test_what_is_no_force_is_none(text):
    with pytest.raises(WrongWords):
        said("force", text)


@pytest.mark.parametrize(
    ("field", "word", "choice"),
    [
        ("units", "inches", "us"), ("platen_metal", "steel", "mild_steel"), ("platen_metal", "aluminum", "aluminium"),
        ("heated", "lower", "bottom"), ("phases", "three phase", "3"), ("phases", "single phase", "1"),
        ("time_zone", "lisbon", "Europe/Lisbon"), ("time_zone", "new york", "America/New_York"),
        ("time_zone", "utc", "UTC"),
    ],
)  # fmt: skip
def test_plain_words_for_a_choice_are_understood(field, word, choice):
    assert said(field, word) == {field: choice}


@pytest.mark.parametrize(
    ("word", "press", "fans"),
    [("yes", True, False), ("y", True, False), ("no", False, False), ("fans", True, True)],
)
def test_a_cooling_press_may_be_there_with_fans_or_without_or_not_at_all(word, press, fans):
    assert said("cooling_press", word) == {"cooling_press": press, "fans": fans}


def test_a_door_that_no_press_passes_is_written_as_it_is_and_told(call, tmp_path, monkeypatch):
    monkeypatch.setattr("sys.stdin", io.StringIO(lines(door_width="0.8m x 2m")))
    done = call("new", tmp_path / "mine")
    assert done.code == 0
    assert "To be settled: room.toml" in done.out
    assert "passes no door" in done.out

"""What `flatstock supply` says: the document, the words it never uses, the exit code."""

import json

import pytest
from jsonschema import Draft202012Validator

from flatstock import demo, schemas
from flatstock.actions.supplies import look_at_supply
from flatstock.cli import main
from flatstock.prints.text.supply import supply_text


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    demo.copy_to(tmp_path_factory.mktemp("shops") / "demo")
    return next(tmp_path_factory.getbasetemp().glob("shops*/demo"))


@pytest.fixture(scope="module")
def document(folder):
    return look_at_supply(folder).document


def test_the_document_holds_to_its_schema(document):
    assert list(Draft202012Validator(schemas.load("supply")).iter_errors(document)) == []


def test_the_demo_says_what_story_11_asks_for(document):
    assert document["worst"]["arithmetic_A"] == pytest.approx([41.04, 41.04, 38.34], abs=0.005)
    assert document["worst"]["phasor_A"] == pytest.approx([38.8, 38.8, 37.2], abs=0.05)
    assert [one["phase"] for one in document["over"]] == [1, 2]
    assert document["least_worst_phase_A"] == pytest.approx(41.04, abs=0.005)


def test_the_demos_heat_up_is_that_of_its_press(document):
    """Job.md 4.2: 18 to 195 °C in 39.5 min."""
    assert document["heat_up_min"]["value"] == pytest.approx(39.5, abs=0.1)


@pytest.mark.parametrize("word", ["safe", "compliant", "complies", "connect the", "terminal l"])
def test_words_that_are_not_ours_to_say_are_not_said(document, word):
    """Nothing is called what only an electrician can call it, and nobody is told how to join wires."""
    assert word not in json.dumps(document, ensure_ascii=False).lower()
    assert word not in supply_text(document).lower()


def test_an_overloaded_supply_ends_with_1_and_prints_its_document(folder, capsys):
    assert main(["supply", str(folder), "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["verdict"] == "only_by_phase_angle"


def test_a_supply_that_fits_ends_with_0(folder, capsys):
    assert main(["supply", str(folder), "--without", "SAW", "EXTRACT"]) == 0
    assert "No phase is over" in capsys.readouterr().out


def test_a_supply_alone_is_enough(folder, tmp_path, capsys):
    (tmp_path / "supply.toml").write_text((folder / "supply.toml").read_text("utf-8"), "utf-8")
    assert main(["supply", str(tmp_path), "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["heat_up_min"]["kind"] == "assumed"


def test_lines_fit_a_terminal(document):
    assert max(map(len, supply_text(document).splitlines())) <= 80


def test_nobody_is_asked_for_star_or_delta_where_there_is_one_phase(tmp_path):
    text = (
        'format = "flatstock.supply/1"\n[supply]\nphases = 1\nvolts_LN = 230\nrated_A = 63\n'
        '[[loads]]\nid = "HEAT"\nconnection = "LN"\ninput_kW = 9\ncontrol = "on_off"\n'
    )
    (tmp_path / "supply.toml").write_text(text, "utf-8")
    asked = " ".join(look_at_supply(tmp_path).document["ask_the_electrician"])
    assert "star" not in asked
    assert "which voltage are the elements built" in asked

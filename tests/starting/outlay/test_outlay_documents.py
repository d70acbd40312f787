"""What `flatstock outlay` says: the document, the table of months, two sheets of paper, the exit code."""

import csv
import io
import json

import pytest
from jsonschema import Draft202012Validator
from pypdf import PdfReader

from flatstock import demo, schemas
from flatstock.actions.outlays import months_csv, plan_outlay
from flatstock.cli import main
from flatstock.prints.pdf.outlay import outlay_pdf
from flatstock.prints.text.outlay import outlay_text


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("outlays") / "demo"
    demo.copy_to(made)
    return made


@pytest.fixture(scope="module")
def answer(folder):
    return plan_outlay(folder, runs=400)


@pytest.fixture(scope="module")
def document(answer):
    return answer.document


def test_the_document_holds_to_its_schema(document):
    assert list(Draft202012Validator(schemas.load("outlay")).iter_errors(document)) == []


def test_the_months_of_the_document_follow_the_rules_as_formats_has_them(document):
    """The rules of flatstock.outlay/1, written again from the document alone."""
    cash = document["cash_start"]
    for row in document["by_month"]:
        t = row["month"]
        cash -= sum(p["cost"] for p in document["purchases"] if p["order_month"] == t)
        assert row["cash_paid_to"] == pytest.approx(cash, abs=0.02)
        here = [p for p in document["purchases"] if p["arrive_month"] is not None and p["arrive_month"] <= t]
        needed = [p for p in document["purchases"] if p["necessity"].startswith("cannot")]
        sums = [sum(p["gives"].get(r, 0) for p in here) for r in document["resources"]]
        capacity = min(sums) if all(p in here for p in needed) else 0
        made = min(capacity, document["demand_per_week"][t]) * document["weeks_per_month"]
        cash += made * document["yield"] * document["price_per_sheet"] - made * document["variable_per_sheet"]
        cash -= document["fixed_per_month"] + sum(p["cost_per_month"] for p in here)
        assert (row["capacity_per_week"], row["made"]) == pytest.approx((capacity, made), rel=1e-5)
        assert row["cash_end"] == pytest.approx(cash, abs=0.02)
        assert min(row["cash_paid_to"], row["cash_end"]) >= -document["overdraft"]
    assert document["cash_end"] == pytest.approx(cash, abs=0.02)


def test_the_demo_buys_two_fans_and_moulds_before_a_second_press(document):
    """Job.md A7: money spent on a second hot press when fans or moulds would have doubled output."""
    bought = {one["id"] for one in document["purchases"] if one["order_month"] is not None}
    assert {"FANS", "MOULDS2"} <= bought
    assert "PRESS2" not in bought
    assert document["next"][0]["buy"] == ["FANS", "MOULDS2"]


def test_every_safety_purchase_is_there_when_the_first_sheet_is_made(document):
    first = next(row["month"] for row in document["by_month"] if row["made"] > 0)
    safety = [one for one in document["purchases"] if one["necessity"] == "cannot_press_safely"]
    assert all(one["arrive_month"] <= first for one in safety)


def test_the_checklist_is_sorted_by_id_and_told_in_the_order_in_which_it_is_wanted(document):
    ids = [one["id"] for one in document["checklist"]]
    assert ids == sorted(ids)
    said = outlay_text(document)
    places = [said.index(f"{name}: ") for name in ("LANDLORD", "AIR", "PRODUCT")]
    assert places == sorted(places), "lease, first melt, first sale"


def test_lines_fit_a_terminal(document):
    assert max(map(len, outlay_text(document).splitlines())) <= 80


def test_the_table_of_months_has_a_line_a_month_that_a_spreadsheet_reads(document):
    rows = list(csv.DictReader(io.StringIO(months_csv(document).removeprefix("\ufeff"))))
    assert len(rows) == 24
    assert float(rows[-1]["cash_end"]) == document["cash_end"]
    assert rows[2]["order"] == "GUARD HOOD MOULDS SAW"


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_dossier_takes_two_sheets(answer, tmp_path, paper):
    assert outlay_pdf(answer.document, tmp_path / "o.pdf", paper, premises=answer.premises) == []
    first, second = (" ".join(page.extract_text().split()) for page in PdfReader(tmp_path / "o.pdf").pages)
    assert first.startswith("Purchases and cash")
    assert "Room of 51.5 m²" in first
    assert "To be settled first" in second


def test_no_plan_that_works_ends_with_1_and_says_why(folder, tmp_path, capsys):
    text = (folder / "outlay.toml").read_text("utf-8")
    (tmp_path / "outlay.toml").write_text(
        text.replace("cash_start = 46000.0", "cash_start = 16000.0"), "utf-8"
    )
    assert main(["outlay", str(tmp_path), "--json"]) == 1
    document = json.loads(capsys.readouterr().out)
    assert document["refused"].startswith(
        "What is needed to press and sell costs 39 600, cash and overdraft are 20 000"
    )
    assert document["proof"]["status"] == "impossible"
    assert list(Draft202012Validator(schemas.load("outlay")).iter_errors(document)) == []


def test_the_months_are_written_where_they_are_asked_for(folder, tmp_path, capsys):
    assert main(["outlay", str(folder), "--runs", "50", "--csv", str(tmp_path / "m.csv")]) == 0
    assert (tmp_path / "m.csv").read_text("utf-8-sig").startswith("month,order")
    (tmp_path / "other.csv").write_text("mine", "utf-8")
    assert main(["outlay", str(folder), "--runs", "50", "--csv", str(tmp_path / "other.csv")]) == 1
    assert (tmp_path / "other.csv").read_text("utf-8") == "mine"
    capsys.readouterr()


@pytest.mark.parametrize("words", [("--runs", "0"), ("--seed", "-1")])
def test_runs_and_seeds_that_can_not_be_are_wrong_words(folder, words, capsys):
    assert main(["outlay", str(folder), *words]) == 2
    capsys.readouterr()


def test_the_same_seed_gives_the_same_document(folder):
    first, second = (plan_outlay(folder, runs=200, seed=3).document for _ in range(2))
    first["proof"]["seconds"] = second["proof"]["seconds"] = 0
    assert first == second


def test_a_shop_whose_rent_eats_the_cash_before_the_first_sheet_is_refused(folder, tmp_path, capsys):
    """44 000 there, 39 600 needed, three months of 1750 before anything can be sold and little demand after."""
    text = (folder / "outlay.toml").read_text("utf-8")
    (tmp_path / "outlay.toml").write_text(
        text.replace("cash_start = 46000.0", "cash_start = 40000.0"), "utf-8"
    )
    assert main(["outlay", str(tmp_path), "--json"]) == 1
    refused = json.loads(capsys.readouterr().out)["refused"]
    assert refused.startswith("Every order that would press and sell runs out of cash")
    assert "from month 3 at the earliest" in refused


def test_a_shop_that_could_sell_but_does_not_pay_is_told_to_buy_nothing(folder, tmp_path, capsys):
    text = (
        (folder / "outlay.toml")
        .read_text("utf-8")
        .replace("price_per_sheet = 64.0", "price_per_sheet = 24.0")
    )
    (tmp_path / "outlay.toml").write_text(
        text.replace("cash_start = 46000.0", "cash_start = 460000.0"), "utf-8"
    )
    assert main(["outlay", str(tmp_path), "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["refused"] is None
    assert all(one["order_month"] is None for one in document["purchases"])
    assert any("Buying nothing leaves most cash" in words for words in document["warnings"])


def test_two_rooms_stand_beside_each_other(folder, tmp_path, capsys):
    """The second has a smaller connection and no room on file."""
    for name in ("supply.toml", "outlay.toml"):
        (tmp_path / name).write_text(
            (folder / name).read_text("utf-8").replace("rated_A = 40", "rated_A = 25"), "utf-8"
        )
    words = ["outlay", str(folder), "--runs", "20", "--beside", str(tmp_path)]
    assert main([*words, "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    first, second = document["side_by_side"]
    assert first["room_m2"] == pytest.approx(51.52)
    assert second["room_m2"] is None
    assert (first["rated_A"], second["rated_A"]) == (40, 25)
    assert second["supply_verdict"] == "over"
    assert first["cash_end"] == second["cash_end"] == document["cash_end"]
    assert list(Draft202012Validator(schemas.load("outlay")).iter_errors(document)) == []
    assert main(words) == 0
    said = capsys.readouterr().out
    assert "Beside each other" in said
    assert max(map(len, said.splitlines())) <= 80


def test_a_folder_without_any_of_the_files_can_not_stand_beside(folder, tmp_path, capsys):
    assert main(["outlay", str(folder), "--runs", "20", "--beside", str(tmp_path)]) == 1
    assert "it has none of room.toml, supply.toml, outlay.toml" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("ranges", "said"),
    [
        ({"demand_per_week", "price_per_sheet"}, "Demand and price of a sheet low together:"),
        ({"price_per_sheet"}, "Price of a sheet low:"),
        ({"yield"}, None),
    ],
)
def test_a_slump_is_told_only_of_what_has_a_range(document, ranges, said):
    kept = [one for one in document["ranges"] if one["of"] in ranges]
    words = " ".join(outlay_text({**document, "ranges": kept}).split())
    assert (said in words) if said else (" low together:" not in words and " low:" not in words)


def test_an_outlay_without_ranges_of_demand_or_price_says_that_no_slump_is_looked_at(folder, tmp_path):
    words = (folder / "outlay.toml").read_text("utf-8").partition("[[ranges]]")[0]
    (tmp_path / "outlay.toml").write_text(words, "utf-8")
    assert (
        "no range of demand or price is given"
        in plan_outlay(tmp_path, runs=20).document["risk"]["assumes"][-1]
    )

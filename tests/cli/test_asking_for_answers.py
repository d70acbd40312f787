"""`card`, `correct`, `stack` and `wallchart` on the demo workshop: the words arrive, the answer comes back."""

import pytest

CARD = ("--plastic", "hdpe", "--thickness", "12mm", "--lot", "L-2301")


def test_a_card_is_text_for_people(call, demo_folder):
    done = call("card", demo_folder, *CARD)
    assert (done.code, done.err) == (0, "")
    assert "HDPE 12 mm" in done.out
    assert max(map(len, done.out.splitlines())) <= 80


def test_the_words_of_a_card_arrive_in_its_document(call, demo_folder):
    words = ("--set-point", "383F", "--frame", "F12-2", "--now", "2026-03-04T10:30")
    card = call("card", demo_folder, *CARD, *words, "--json").document
    assert card["format"] == "flatstock.card/1"
    assert (card["plastic"], card["thickness_mm"], card["frame"]) == ("hdpe", 12, "F12-2")
    assert card["set_point_C"] == pytest.approx(195)
    assert card["made_at"] == "2026-03-04T10:30:00+00:00"


def test_inches_and_millimetres_ask_for_the_same_sheet(call, demo_folder):
    inches = call("card", demo_folder, "--plastic", "HDPE", "--thickness", "1/2 in", "--json").document
    metric = call("card", demo_folder, "--plastic", "HDPE", "--thickness", "12,7mm", "--json").document
    assert inches == metric


def test_lots_share_the_charge_as_was_said(call, demo_folder):
    words = ("--plastic", "HDPE", "--thickness", "18mm", "--lot", "L-2302=90%", "L-2308=0.1")
    card = call("card", demo_folder, *words, "--json").document
    masses = {row["lot"]: row["mass_kg"] for row in card["weigh"]}
    assert masses["L-2308"] / sum(masses.values()) == pytest.approx(0.1, abs=0.002)


def test_why_explains_one_number(call, demo_folder):
    done = call("card", demo_folder, *CARD, "--why", "dwell_min")
    assert done.code == 0
    assert "dwell_min" in done.out


def test_why_in_the_document_is_of_the_number_asked_for(call, demo_folder):
    card = call("card", demo_folder, *CARD, "--why", "dwell_min", "--json").document
    assert {reason["of"] for reason in card["why"]} == {"dwell_min"}


def test_a_card_on_paper_is_written_where_it_was_asked_for(call, demo_folder, tmp_path):
    done = call("card", demo_folder, *CARD, "--pdf", tmp_path / "card.pdf")
    assert (done.code, done.err) == (0, f"Written: {tmp_path / 'card.pdf'}\n")
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF-")


def test_paper_that_cannot_be_written_is_told(call, demo_folder, tmp_path):
    (tmp_path / "folder.pdf").mkdir()
    done = call("card", demo_folder, *CARD, "--pdf", tmp_path / "folder.pdf")
    assert done.code == 1
    assert "is there already and is no PDF" in done.err or "can't be written" in done.err


def test_a_paper_never_takes_the_place_of_another_file(call, demo_folder, tmp_path):
    notes = tmp_path / "notes.pdf"
    notes.write_text("not a print")
    shop = (demo_folder / "shop.toml").read_bytes()
    for path, said in (
        (demo_folder / "shop.toml", "is no name for a PDF"),
        (notes, "is there already and is no PDF"),
        (tmp_path / "nowhere" / "card.pdf", "there is no folder"),
    ):
        done = call("card", demo_folder, *CARD, "--pdf", path)
        assert done.code == 1
        assert said in done.err
    assert (demo_folder / "shop.toml").read_bytes() == shop
    assert notes.read_text() == "not a print"
    assert not (tmp_path / "nowhere").exists()


def test_a_shop_that_lives_by_the_clock_prints_too(call, tmp_path):
    """A practice day has no microseconds; the real clock has."""
    call("new", tmp_path / "mine")
    done = call(
        "card", tmp_path / "mine", "--plastic", "HDPE", "--thickness", "12mm", "--pdf", tmp_path / "card.pdf"
    )
    assert done.code == 0
    assert (tmp_path / "card.pdf").read_bytes()[:5] == b"%PDF-"


def test_a_refused_card_tells_every_reason(call, demo_folder):
    done = call("card", demo_folder, "--plastic", "ABS", "--thickness", "12mm", "--lot", "L-2306")
    assert (done.code, done.out) == (1, "")
    assert "quarantine" in done.err
    assert len(done.err.splitlines()) >= 2


def test_a_measured_sheet_corrects_the_next_charge(call, demo_folder):
    words = ("--charge", "11.74kg", "--measured", "11.82mm", "--flash", "0.3kg")
    done = call("correct", demo_folder, "--plastic", "HDPE", "--thickness", "12mm", *words, "--json")
    assert (done.code, done.document["format"]) == (0, "flatstock.correct/1")


MOULDS = ("--mould", "HDPE,18mm,09:00,189C", "HDPE,12mm,11:10,189C", "--mould", "PP,6mm,12:36,205C")


def test_a_stack_takes_its_moulds_from_the_call(call, demo_folder):
    done = call("stack", demo_folder, *MOULDS, "--at", "08:00", "--room", "-2C", "--json")
    assert done.code == 0
    stack = done.document
    assert (stack["at"], stack["room_C"]) == ("2026-03-03T08:00:00+00:00", -2)
    assert [mould["thickness_mm"] for mould in stack["moulds"]] == [18, 12, 6]
    assert stack["moulds"][0]["arrives"] == "2026-03-02T09:00:00+00:00"


@pytest.mark.parametrize(
    "text",
    [
        "plastic,thickness_mm,arrives,core_C\nHDPE,18,09:00,189\nHDPE,12,11:10,189\nPP,6,12:36,205\n",
        "\ufeffplastic;thickness;arrives;core_C\nHDPE;18 mm;09:00;189,0\nHDPE;12mm;11:10;189\nPP;6mm;12:36;205\n",
    ],
)
def test_a_stack_takes_its_moulds_from_a_file(call, demo_folder, tmp_path, text):
    file = tmp_path / "moulds.csv"
    file.write_text(text, encoding="utf-8")
    from_file = call("stack", demo_folder, "--moulds", file, "--at", "08:00", "--json")
    from_call = call("stack", demo_folder, *MOULDS, "--at", "08:00", "--json")
    assert from_file.document == from_call.document


def test_a_file_of_moulds_that_is_not_there_is_told(call, demo_folder, tmp_path):
    done = call("stack", demo_folder, "--moulds", tmp_path / "gone.csv", "--at", "08:00")
    assert done.code == 1
    assert "there is no such file" in done.err


def test_a_wall_chart_is_text_and_paper(call, demo_folder, tmp_path):
    done = call("wallchart", demo_folder, "--json", "--pdf", tmp_path / "chart.pdf")
    assert (done.code, done.document["format"]) == (0, "flatstock.wallchart/1")
    assert (tmp_path / "chart.pdf").read_bytes().startswith(b"%PDF-")
    assert call("wallchart", demo_folder).code == 0

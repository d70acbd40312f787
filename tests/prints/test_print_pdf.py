"""Prints on paper: one page, tagged, text that can be read out, whatever a name holds."""

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pypdf import PdfReader
from pypdf.generic import DictionaryObject
from typst import Compiler, Fonts, TypstError

import flatstock.prints.pdf as pdf_room
from flatstock.prints.pdf import card_pdf, stack_pdf, wallchart_pdf
from flatstock.prints.pdf.glyphs import letters_of, missing

FONTS = sorted((Path(pdf_room.__file__).parent / "fonts").glob("*.otf"))


def text_of(path):
    return " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())


def pages_of(path):
    return len(PdfReader(path).pages)


def claims_accessibility(path):
    return b"pdfuaid" in (
        PdfReader(path).metadata and PdfReader(path).trailer["/Root"]["/Metadata"].get_data()
    )


@pytest.fixture
def print_of(card, stack, wallchart, thickness_picture, stack_picture):
    return {
        "card": lambda path, paper: card_pdf(card, thickness_picture, path, paper),
        "stack": lambda path, paper: stack_pdf(stack, stack_picture, path, paper),
        "wallchart": lambda path, paper: wallchart_pdf(wallchart, path, paper),
    }


@pytest.mark.parametrize(
    ("what", "paper", "size"),
    [
        ("card", "a4", (595, 842)),
        ("card", "letter", (612, 792)),
        ("stack", "a4", (595, 842)),
        ("stack", "letter", (612, 792)),
        ("wallchart", "a3", (1191, 842)),
        ("wallchart", "a4", (842, 595)),
        ("wallchart", "tabloid", (1224, 792)),
        ("wallchart", "letter", (792, 612)),
    ],
)
def test_a_print_is_one_tagged_page_of_the_paper_asked_for(tmp_path, print_of, what, paper, size):
    path = tmp_path / "print.pdf"
    assert print_of[what](path, paper) == []
    (page,) = PdfReader(path).pages
    assert (round(page.mediabox.width), round(page.mediabox.height)) == size
    root = PdfReader(path).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"].value is True
    assert root["/Lang"] == "en"
    assert claims_accessibility(path)


def test_a_card_says_what_to_weigh_how_hot_and_how_long(tmp_path, card, thickness_picture):
    card_pdf(card, thickness_picture, tmp_path / "card.pdf")
    text = text_of(tmp_path / "card.pdf")
    for words in (
        "11.74 kg",
        "195 °C",
        "28 min",
        "14.3 mm (14.2 to 14.5), 2.4 mm (2.2 to 2.5) over the frame",
        "21.2 min (18.9 to 24.0)",
        "L-2301",
        "10.74",
        "Harbour Row",
    ):
        assert words in text


def test_a_card_opens_on_the_late_end_and_transfers_by_the_early_end(tmp_path, card, thickness_picture):
    card_pdf(card, thickness_picture, tmp_path / "card.pdf")
    text = text_of(tmp_path / "card.pdf")
    assert "11 min" in text  # 9 (7 to 11)
    assert "at the latest 44 min (52 expected)" in text  # 52 (44 to 61)
    assert "not cool enough before the next arrives" in text


def test_a_card_carries_every_caution_and_who_decides(tmp_path, card, thickness_picture):
    card_pdf(card, thickness_picture, tmp_path / "card.pdf")
    text = text_of(tmp_path / "card.pdf").replace(" ", "")  # a line may end at a hyphen
    for caution in card["cautions"]:
        assert f"{caution['text']} Defer to: {caution['defer_to']}.".replace(" ", "") in text


def test_a_card_says_what_it_rests_on(tmp_path, card, thickness_picture):
    card_pdf(card, thickness_picture, tmp_path / "card.pdf")
    assert "2 measured, 1 fitted to a trial, 2 from a handbook, 3 assumed" in text_of(tmp_path / "card.pdf")


def test_the_picture_is_told_in_words_for_readers_by_ear(tmp_path, card, thickness_picture):
    card_pdf(card, thickness_picture, tmp_path / "card.pdf")
    reader = PdfReader(tmp_path / "card.pdf")
    things = [reader.get_object(number) for number in range(1, int(reader.trailer["/Size"]))]
    told = [str(thing["/Alt"]) for thing in things if isinstance(thing, DictionaryObject) and "/Alt" in thing]
    assert any("The coldest point starts at" in words for words in told)


def test_the_same_document_gives_the_same_bytes(tmp_path, print_of):
    for what, paper in (("card", "a4"), ("stack", "a4"), ("wallchart", "a3")):
        first, second = tmp_path / f"1-{what}.pdf", tmp_path / f"2-{what}.pdf"
        print_of[what](first, paper)
        print_of[what](second, paper)
        assert first.read_bytes() == second.read_bytes()


def test_a_print_is_dated_as_its_document_is(tmp_path, card, thickness_picture):
    card_pdf(card, thickness_picture, tmp_path / "card.pdf")
    assert PdfReader(tmp_path / "card.pdf").metadata.creation_date == datetime(2026, 3, 2, 7, 10, tzinfo=UTC)
    assert "Mon 2 March 2026" in text_of(tmp_path / "card.pdf")


@pytest.mark.parametrize("name", ["花園プランター工房", "Planters 🌱 & Co", "حديقة", "Ab\x07cd"])
def test_a_name_that_our_font_cannot_show_does_not_stop_a_card(tmp_path, card, thickness_picture, name):
    said = card_pdf(card | {"for": name}, thickness_picture, tmp_path / "card.pdf")
    assert pages_of(tmp_path / "card.pdf") == 1
    assert "11.74 kg" in text_of(tmp_path / "card.pdf")
    assert len(said) == 1
    assert "without the PDF/UA mark" in said[0]
    assert not claims_accessibility(tmp_path / "card.pdf")


@pytest.mark.parametrize(
    "name", ["Żółta Łódź", "Κήπος Α.Ε.", "Сад и огород", "#set text(red) \\ $x$ <a> & @b *c*"]
)
def test_names_in_latin_greek_cyrillic_and_markup_are_printed_as_they_stand(
    tmp_path, card, thickness_picture, name
):
    assert card_pdf(card | {"for": name}, thickness_picture, tmp_path / "card.pdf") == []
    assert name in text_of(tmp_path / "card.pdf")


def test_very_long_names_leave_a_card_on_one_page(tmp_path, card, thickness_picture):
    long = card | {"for": "Society for Planters " * 40, "shop": "W" * 300, "colour": "speckled " * 8}
    long["weigh"] = [{"lot": f"LOT-{'9' * 60}-{i}", "mass_kg": 1.0, "tolerance_kg": 0.06} for i in range(9)]
    card_pdf(long, thickness_picture, tmp_path / "card.pdf")
    assert pages_of(tmp_path / "card.pdf") == 1
    assert "11.74 kg" in text_of(tmp_path / "card.pdf")


def test_a_card_full_of_warnings_says_so_when_one_page_cannot_hold_them(tmp_path, card, thickness_picture):
    said = card_pdf(
        card | {"warnings": ["A long story. " * 30] * 60}, thickness_picture, tmp_path / "card.pdf"
    )
    assert pages_of(tmp_path / "card.pdf") > 1
    assert said == [
        f"This print takes {pages_of(tmp_path / 'card.pdf')} pages: there is more to say than one page holds."
    ]


def test_a_card_with_everything_unknown_and_no_picture_still_prints(tmp_path, card):
    starred = (
        "net_charge_kg charge_kg heap_mm hot_level_mm hot_level_charge_mm proud_mm cold_length_mm cold_width_mm"
        " dwell_min dwell_advised_min dwell_latest_min platen_dip_C flash_kg sheet_thickness_mm energy_kWh"
        " mould_mass_kg colour"
    )
    empty = card | dict.fromkeys(starred.split()) | {"press_cool_min": [None] * 3}
    assert card_pdf(empty, None, tmp_path / "card.pdf") == []
    assert "unknown" in text_of(tmp_path / "card.pdf")


def test_a_stack_says_when_it_is_ready_on_the_late_end(tmp_path, stack, stack_picture):
    stack_pdf(stack, stack_picture, tmp_path / "stack.pdf")
    text = text_of(tmp_path / "stack.pdf")
    for words in ("57 °C", "48 to 64 °C", "14:10", "expected 12:30 (10:50 to 14:10)", "fans on the stack"):
        assert words in text


def test_a_stack_that_is_never_ready_says_not_within_the_time(tmp_path, stack):
    never = stack | {"ready_at": None, "moulds": [mould | {"open_after": None} for mould in stack["moulds"]]}
    assert stack_pdf(never, None, tmp_path / "stack.pdf") == []
    assert "not within the time looked at" in text_of(tmp_path / "stack.pdf")


def test_a_wall_chart_shows_charge_and_dwell_and_marks_what_is_not_measured(tmp_path, wallchart):
    wallchart_pdf(wallchart, tmp_path / "wall.pdf", "a4")
    text = text_of(tmp_path / "wall.pdf")
    for words in (
        "HDPE",
        "195 °C",
        "11.74 kg",
        "28 min",
        "▲ rests on what is assumed",
        "Steel burns below 90 °C core too",
    ):
        assert words in text


def test_a_wall_chart_of_seven_plastics_at_three_set_points_stays_on_one_page(tmp_path, wallchart):
    row = wallchart["rows"][0]
    rows = [
        row | {"plastic": plastic, "set_point_C": set_point, "thickness_mm": mm}
        for plastic in ("hdpe", "ldpe", "lldpe", "pp", "ps", "hips", "abs")
        for set_point in (185, 190, 195)
        for mm in (4, 6, 8, 12, 18, 25)
    ]
    assert wallchart_pdf(wallchart | {"rows": rows}, tmp_path / "wall.pdf", "a3") == []
    assert pages_of(tmp_path / "wall.pdf") == 1


def test_a_print_that_fails_leaves_what_stood_there(tmp_path, card, thickness_picture):
    path = tmp_path / "card.pdf"
    path.write_bytes(b"yesterday's card")
    with pytest.raises(ValueError, match="paper 'napkin' is none of a3, a4, letter, tabloid"):
        card_pdf(card, thickness_picture, path, "napkin")
    assert path.read_bytes() == b"yesterday's card"
    assert list(tmp_path.iterdir()) == [path]


def typesetter_shows(text, weight):
    """Whether the typesetter, which reads fonts by itself, finds a shape for every letter."""
    fonts = Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[FONTS[0].parent])
    page = f'#set document(title: "x")\n#set text(font: "Inter", weight: {weight})\n#text(sys.inputs.text)'
    try:
        Compiler(page.encode(), font_paths=fonts, sys_inputs={"text": text}).compile(
            format="pdf", pdf_standards=["ua-1"]
        )
    except TypstError:
        return False
    return True


@pytest.mark.parametrize(("face", "weight"), [("Regular", 400), ("SemiBold", 600), ("Bold", 700)])
def test_the_letters_of_a_font_are_those_that_the_typesetter_can_show(face, weight):
    known = letters_of(FONTS[0].parent / f"Inter-{face}.otf")
    assert len(known) > 2000
    assert typesetter_shows(" ".join(map(chr, sorted(known))), weight)
    for strange in "板🌱☐ح\ue001":
        assert ord(strange) not in known
        assert not typesetter_shows(strange, weight)


def test_missing_letters_are_named_once_each():
    assert missing("板 HDPE 板材", FONTS[-1]) == "板材"


def test_the_fonts_come_with_their_licence():
    licence = (FONTS[0].parent / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    assert "The Inter Project Authors" in licence


def test_a_page_says_nothing_of_suspects_and_stays_tagged(tmp_path, card, thickness_picture):
    """Some readers warn of "Suspects false", which ISO 32000-1 (table 321) lets be left out."""
    card_pdf(card, thickness_picture, tmp_path / "card.pdf")
    made = (tmp_path / "card.pdf").read_bytes()
    assert b"Suspects" not in made
    assert re.search(rb"/MarkInfo<</Marked true *>>", made)


def test_the_day_on_which_a_stack_is_ready_is_said_once(tmp_path, stack, stack_picture):
    """Ready on the evening before the moment asked for: the day stands beside the clock, not before it too."""
    before = {part: f"2026-03-02T{clock}:00+00:00" for part, clock in
              (("low", "17:19"), ("value", "18:03"), ("high", "18:29"))}  # fmt: skip
    ready = stack | {"ready_at": before | {"kind": "computed", "source": "a test"}}
    stack_pdf(ready, stack_picture, tmp_path / "stack.pdf")
    assert "18:29 Mon 2 March" in text_of(tmp_path / "stack.pdf")
    assert "Mon 18:29 Mon 2" not in text_of(tmp_path / "stack.pdf")

"""Which words are understood, and what is said about those that aren't; exit code 2."""

import pytest

CARD = ("--plastic", "HDPE", "--thickness", "12mm")


def test_a_thickness_without_a_unit_is_told_to_have_one(call, demo_folder):
    done = call("card", demo_folder, "--plastic", "HDPE", "--thickness", "12")
    assert (done.code, done.out) == (2, "")
    assert done.err == "--thickness: '12' has no unit; write 12mm or 1/2in.\n"


@pytest.mark.parametrize(
    ("option", "value", "told"),
    [
        ("--set-point", "195", "--set-point: '195' has no unit; write 195C or 383F."),
        ("--full-pressure", "10kg", "--full-pressure: '10kg' is a mass, not a duration; write 10min."),
        ("--pressure", "fast", "--pressure: 'fast' is not a pressure"),
        ("--viscosity", "10kPa", "--viscosity: '10kPa' is a pressure, not a viscosity; write 10kPas."),
        ("--every", "-5min", "--every: '-5min' has a minus before it; write 5min."),
        ("--fans", "maybe", 'Invalid value "maybe" for --fans. Choose from: "on", "off"'),
        ("--now", "25:00", "--now: '25:00' is no time; write 08:00, or with the day 2026-03-03T08:00."),
    ],
)
def test_a_wrong_value_is_told_with_its_option_and_what_would_be_right(
    call, demo_folder, option, value, told
):
    done = call("card", demo_folder, *CARD, option, value)
    assert done.code == 2
    assert told in done.err
    assert len(done.err.splitlines()) == 1


def test_an_unknown_option_is_told_with_the_nearest_known_one(call, demo_folder):
    done = call("card", demo_folder, "--plastic", "HDPE", "--thicknes", "12mm")
    assert done.code == 2
    assert done.err == (
        "there is no option --thicknes; did you mean --thickness? `flatstock card --help` lists all.\n"
    )


def test_an_option_like_no_other_is_told_without_a_guess(call, demo_folder):
    done = call("card", demo_folder, *CARD, "--zebra", "1")
    assert (done.code, done.err) == (2, "there is no option --zebra; `flatstock card --help` lists all.\n")


def test_an_unknown_command_is_told_with_the_nearest_known_one(call):
    done = call("kard")
    assert done.code == 2
    assert done.err == "there is no command kard; did you mean card? `flatstock --help` lists all.\n"


def test_an_unknown_option_where_a_command_belongs_is_told_as_such(call):
    done = call("-v")
    assert (done.code, done.err) == (
        2, "there is no option -v; a command comes first; `flatstock --help` lists all.\n"
    )  # fmt: skip


def test_letters_where_a_whole_number_belongs_are_told_without_a_programmers_words(call, demo_folder):
    done = call("open", demo_folder, "--port", "abc")
    assert (done.code, done.err) == (
        2, "--port: 'abc' is no whole number; write one; `flatstock open --help` shows how it is written.\n"
    )  # fmt: skip


def test_two_letters_swapped_are_one_slip_whatever_options_follow(call, demo_folder):
    done = call("crad", demo_folder, *CARD)
    assert done.code == 2
    assert "there is no command crad; did you mean card?" in done.err


def test_a_negative_thickness_is_told_as_such(call, demo_folder):
    done = call("card", demo_folder, "--plastic", "HDPE", "--thickness", "-12mm")
    assert (done.code, done.err) == (2, "--thickness: '-12mm' has a minus before it; write 12mm.\n")
    done = call("card", demo_folder, "--plastic", "HDPE", "--thickness=-12mm")
    assert (done.code, done.err) == (2, "--thickness: '-12mm' is negative; write 12mm or 1/2in.\n")


@pytest.mark.parametrize(
    "words", [("--plastic", "HDPE", "--thickness"), ("--thickness", "12mm", "--plastic", "--json")]
)
def test_an_option_without_its_value_says_what_belongs_there(call, demo_folder, words):
    done = call("card", demo_folder, *words)
    said = done.document["faults"][0]["what"] if "--json" in words else done.err
    assert done.code == 2
    assert "its value is missing" in said


def test_a_word_too_many_is_named(call, demo_folder):
    done = call("card", demo_folder, "again", *CARD)
    assert done.code == 2
    assert done.err.startswith("'again' is a word too many; ")


def test_a_call_without_its_folder_says_so(call):
    done = call("card")
    assert (done.code, done.err) == (
        2,
        "FOLDER is missing; write it after the command (the workshop: a folder of files).\n",
    )


def test_a_missing_option_is_named(call, demo_folder):
    done = call("card", demo_folder, "--plastic", "HDPE")
    assert done.code == 2
    assert "--thickness" in done.err


def test_wrong_words_are_a_document_too_under_json(call, demo_folder):
    done = call("card", demo_folder, "--plastic", "HDPE", "--thickness", "12", "--json")
    assert (done.code, done.err) == (2, "")
    assert done.document["format"] == "flatstock.refusal/1"
    assert done.document["faults"] == [
        {"what": "'12' has no unit", "where": "--thickness", "instead": "write 12mm or 1/2in"}
    ]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--lot", "L-2301=60%", "L-2302=0.3"], "the shares 0.6 + 0.3 sum to 0.9, not to 1"),
        (["--lot", "L-2301=0.5", "--lot", "L-2302"], "'L-2302' has no share"),
        (["--lot", "L-2301=0.5", "--lot", "L-2301=0.5"], "L-2301 stands twice"),
    ],
)
def test_shares_that_make_no_charge_are_told(call, demo_folder, words, told):
    done = call("card", demo_folder, *CARD, *words)
    assert done.code == 2
    assert told in done.err


def test_a_stack_needs_moulds_from_one_place(call, demo_folder, tmp_path):
    none = call("stack", demo_folder, "--at", "08:00")
    assert (none.code, "which moulds are on the stack is missing" in none.err) == (2, True)
    both = ("--mould", "HDPE,12mm,09:00", "--moulds", tmp_path / "moulds.csv")
    twice = call("stack", demo_folder, *both, "--at", "08:00")
    assert (twice.code, "said twice, by --mould and by --moulds" in twice.err) == (2, True)


def test_a_mould_that_is_not_one_is_told_with_its_form(call, demo_folder):
    done = call("stack", demo_folder, "--mould", "HDPE,12mm", "--at", "08:00")
    assert (done.code, done.err) == (
        2,
        "--mould: 'HDPE,12mm' is no mould; write PLASTIC,THICKNESS,ARRIVES[,CORE],"
        " as in HDPE,18mm,09:00,189C.\n",
    )


def test_a_field_that_a_card_does_not_explain_is_told_with_the_nearest(call, demo_folder):
    done = call("card", demo_folder, *CARD, "--why", "dwel_min")
    assert done.code == 2
    assert "nearest: dwell_min" in done.err


def test_the_folder_may_stand_after_the_lots(call, demo_folder):
    asked = (
        "card",
        "--plastic",
        "hdpe",
        "--thickness",
        "12mm",
        "--json",
        "--lot",
        "L-2301=70%",
        "L-2302=30%",
    )
    after = call(*asked, demo_folder)
    assert (after.code, after.err) == (0, "")
    assert [line["lot"] for line in after.document["weigh"]] == ["L-2301", "L-2302"]
    alone = call(*asked[:-2], "L-2301", demo_folder)
    assert [line["lot"] for line in alone.document["weigh"]] == ["L-2301"]


def test_every_fault_of_a_file_of_moulds_is_told_with_its_own_line(call, demo_folder, tmp_path):
    rows = "plastic,thickness_mm,arrives,core_C\nhdpe,12,09:00,180\nhdpe,-1,10:00,180\nhdpe,12,25:00,hot\nhdpe,,11:00,\n"
    (tmp_path / "moulds.csv").write_text(rows, "utf-8")
    done = call("stack", demo_folder, "--moulds", tmp_path / "moulds.csv", "--at", "20:00")
    assert done.code == 2
    assert [line.split(":")[0] for line in done.err.splitlines()] == [
        "moulds.csv line 3",
        "moulds.csv line 4",
        "moulds.csv line 5",
        "moulds.csv line 4",
    ]
    assert "'25:00' is no time" in done.err


@pytest.mark.parametrize("room", ["200C", "-90C"])
def test_a_room_that_nobody_works_in_is_no_room(call, demo_folder, room):
    done = call("stack", demo_folder, "--mould", "HDPE,12mm,09:00", "--at", "20:00", "--room", room)
    assert done.code == 2
    assert "is not between -30 and 60 °C; write 18C" in done.err

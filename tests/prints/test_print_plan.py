"""A week's plan drawn and printed: what each paper has to say, and that no plan stops the printer."""

import json
import re
from datetime import date, datetime, timedelta
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from flatstock.plastics.safety import rules
from flatstock.prints.drawing.plan import day_svg, week_svg
from flatstock.prints.pdf.plan import plan_pdfs
from flatstock.prints.pdf.plan.board import board
from flatstock.prints.pdf.plan.day import day_papers
from flatstock.prints.plan_view import View
from flatstock.prints.text.plan import plan_text
from flatstock.prints.working_day import first_hour
from tests.planning.planted_given_up import lose
from tests.planning.small_week import at

MONDAY, TUESDAY = date(2026, 3, 2), date(2026, 3, 3)


@pytest.fixture
def plan(sample):
    return sample("plan")


def text_of(path, page=None):
    pages = PdfReader(path).pages
    return " ".join(
        " ".join(one.extract_text() for one in ([pages[page]] if page is not None else pages)).split()
    )


def words_of(svg):
    return [one.text for one in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]


@pytest.fixture(scope="module")
def printed(tmp_path_factory):
    """Every paper of the sample, once."""
    from tests.planning.small_week import small_week

    folder = tmp_path_factory.mktemp("papers")
    assert plan_pdfs(small_week(), folder) == []
    return folder


def test_moulds_are_numbered_in_the_order_of_loading(plan):
    assert [(m.number, m.id, m.name) for m in View(plan).moulds] == [
        (1, "A", "HDPE dark 12 mm"),
        (2, "B", "HDPE dark 12 mm"),
        (3, "C", "PP 6 mm"),
        (4, "D", "PP 6 mm"),
    ]


def test_a_mould_in_a_stack_stands_on_those_that_came_before(plan):
    standing = View(plan).standing("ST1", View(plan).closing(MONDAY))
    assert [(stay.level, stay.sheet) for stay in standing] == [(0, "A"), (1, "B")]


def test_the_week_is_drawn_with_a_shelf_for_each_day_and_press(plan):
    words = words_of(week_svg(plan))
    assert words.count("HP1") == words.count("HP2") == 2
    for said in ("Mon", "Tue", "1", "2", "3", "4", "heat 07:05", "210 °C", "off 10:51"):
        assert said in words
    assert "Mon 2 March 2026: 4 moulds loaded, first 08:00, last 10:30" in week_svg(plan)


def test_a_day_is_drawn_by_place_by_person_and_by_phase(plan):
    words = words_of(day_svg(plan, MONDAY))
    for said in (
        "DR1",
        "SCALE",
        "BENCH1",
        "HP1",
        "CP2",
        "ST1",
        "R1",
        "LIFT",
        "SAW",
        "ADA",
        "BO",
        "CY",
        "L1",
        "L2",
        "L3",
    ):
        assert said in words
    for letter in "WPLTMDS":
        assert letter in words
    assert words.count("40 A") == 3
    assert "38.7 A" in words
    assert "mould 1, HDPE dark 12 mm, hot from 08:00 to 08:34" in day_svg(plan, MONDAY)


def test_a_phase_over_its_rating_says_so_in_words(plan):
    plan["supply"]["rated_A"] = 35.0
    assert "38.7 A OVER" in words_of(day_svg(plan, MONDAY))


def test_a_place_that_nobody_uses_that_day_has_no_line(plan):
    assert "HP1" not in words_of(day_svg(plan, TUESDAY))
    assert "ST1" in words_of(day_svg(plan, TUESDAY))  # moulds stand there from the day before


def test_a_plan_becomes_board_chart_days_and_emergency_card(printed):
    assert sorted(path.name for path in printed.iterdir()) == [
        "day-2026-03-02.pdf", "day-2026-03-03.pdf", "emergency-card.pdf", "time-chart-a3.pdf", "week-board-a3.pdf",
        "week-board-a4.pdf",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "name", ["week-board-a3", "week-board-a4", "emergency-card", "day-2026-03-03", "time-chart-a3"]
)
def test_a_paper_is_tagged_and_claims_to_be_readable_by_ear(printed, name):
    root = PdfReader(printed / f"{name}.pdf").trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"].value is True
    assert b"pdfuaid" in root["/Metadata"].get_data()


@pytest.mark.parametrize(("name", "size"), [("week-board-a3", (1191, 842)), ("week-board-a4", (842, 595))])
def test_the_board_is_one_page_with_moulds_orders_and_who_is_late(printed, name, size):
    (page,) = PdfReader(printed / f"{name}.pdf").pages
    assert (round(page.mediabox.width), round(page.mediabox.height)) == size
    text = text_of(printed / f"{name}.pdf")
    for said in ("Mon 2 March", "HDPE dark", "10:30", "D · F06-1 · ADA+BO", "▲ late", "▲ 6 min late", "Wed 4 10:00",
                 "one 6 mm frame for two sheets", "one more frame of 6 mm saves 6 min", "Defer to"):  # fmt: skip
        assert said in text


def test_a_person_reads_what_to_do_when_with_whom_and_how_late_at_most(printed):
    text = text_of(printed / "day-2026-03-02.pdf", 1)
    assert text.startswith("ADA")
    for said in (
        "07:00 to 12:00, 12:30 to 16:00",
        "08:00 08:03 load 1 A HP1 at 195 °C; out at 08:31, latest 08:43 BO",
        "08:31 08:34 transfer 1 A HP1 to CP1, closed until 08:54 BO",
        "13:10 13:18 saw the edges 3 C on SAW",
    ):
        assert said in text


def test_nobody_gets_a_sheet_for_a_day_without_work(printed):
    text = text_of(printed / "day-2026-03-03.pdf")
    assert "ADA" in text
    assert "CY" not in text


def test_a_press_has_its_settings_among_its_moulds(printed):
    pages = [text_of(printed / "day-2026-03-02.pdf", n) for n in range(17)]
    (hot,) = (text for text in pages if text.startswith("HP1"))
    assert hot.index("heaters on") < hot.index("load 1 A") < hot.index("wipe down") < hot.index("load 3 C")
    assert "heaters off at the isolator" in hot


def test_the_weigh_list_tells_each_lot_and_what_is_left_of_it(printed):
    text = text_of(printed / "day-2026-03-02.pdf", 0)
    for said in (
        "Weigh list",
        "34.68 kg",
        "07:10 1 A HDPE dark 12 mm 11.74",
        "of L-2 1.00",
        "L-1 HDPE dark 22.48 2.52",
    ):
        assert said in text


def test_the_hand_over_tells_what_stands_where_and_ends_with_the_closing_check(printed):
    text = text_of(printed / "day-2026-03-02.pdf", -1)
    for said in ("16:00", "ST1 1 1 A HDPE dark 12 mm 08:57 Tue 07:20", "ST1 2 2 B HDPE dark 12 mm 09:15 Tue 07:10",
                 "Tue 07:10 demould", "taken over by", *rules().closing_check.lines):  # fmt: skip
        assert said in text


def test_the_emergency_card_carries_every_line_of_the_rules_and_who_decides(printed):
    text = text_of(printed / "emergency-card.pdf")
    for line in rules().emergency_card.lines:
        assert " ".join(line.split()).rstrip(".").replace("________)", "")[:40] in text
    assert rules().emergency_card.defer_to in text
    assert "from memory" in text


def test_american_papers_come_in_their_own_sizes(tmp_path, plan):
    assert plan_pdfs(plan, tmp_path, "letter") == []
    assert (tmp_path / "week-board-tabloid.pdf").exists()
    (page,) = PdfReader(tmp_path / "emergency-card.pdf").pages
    assert (round(page.mediabox.width), round(page.mediabox.height)) == (612, 792)


def test_a_paper_that_nobody_knows_is_refused_before_anything_is_written(tmp_path, plan):
    with pytest.raises(ValueError, match="paper 'b5' is none of a4, a3"):
        plan_pdfs(plan, tmp_path / "out", "b5")
    assert not (tmp_path / "out").exists()


def test_a_week_in_which_nothing_can_be_done_still_has_its_board(tmp_path, plan):
    plan |= {"sheets": [], "tasks": [], "settings": [], "power": [], "late": [],
             "left_out": [{"order": "O-1", "because": "no frame of 20 mm"}]}  # fmt: skip
    plan["proof"]["status"] = "impossible"
    assert plan_pdfs(plan, tmp_path) == []
    assert "O-1 is left out: no frame of 20 mm" in text_of(tmp_path / "week-board-a4.pdf")


def test_an_order_of_which_nothing_or_not_all_is_planned_stands_among_the_orders_so(plan):
    """It stood in none of the rows, or as in time."""
    order = plan["sheets"][0]["order"]
    for one in plan["sheets"]:
        one["late_min"] = 0
    plan["left_out"] = [{"order": name, "because": "no time"} for name in ("O-0", order)]
    rows = {row["order"]: row for row in board(View(plan))["orders"]}
    assert (rows["O-0"]["sheets"], rows["O-0"]["late"]) == ("0", "▲ left out")
    assert rows[order]["late"] == "▲ not all of it"


def test_unknown_supply_due_date_and_latest_dwell_are_left_blank(tmp_path, plan):
    plan["supply"]["rated_A"] = None
    for one in plan["sheets"]:
        one |= {"due": None, "dwell_latest_min": None, "late_min": 0}
    plan["late"] = []
    assert plan_pdfs(plan, tmp_path) == []
    assert "no date" in text_of(tmp_path / "week-board-a4.pdf")


def test_strange_names_of_shop_and_people_do_not_stop_a_print(tmp_path, plan):
    plan["shop"] = '板 & <Sons> #set "x"'
    for one in plan["resources"]:
        if one["id"] == "ADA":
            one["id"] = "A&<D>A"
    for task in plan["tasks"]:
        task["people"] = ["A&<D>A" if name == "ADA" else name for name in task["people"]]
    said = plan_pdfs(plan, tmp_path)
    assert all("Our font lacks" in words for words in said)
    assert "A&<D>A" in text_of(tmp_path / "day-2026-03-02.pdf")


def test_the_terminal_tells_the_week_day_by_day_and_why_an_order_is_late(plan):
    text = " ".join(plan_text(plan).split())
    for said in (
        "4 sheets, 1 late; heaters 32 kWh.",
        "O-2 is late by 6 min over all its sheets. One 6 mm frame for two sheets",
        "would help one more frame of 6 mm: 6 min less",
        "08:00 A HDPE dark 12 F12-1 08:31 ADA+BO",
        "Demould: 10:10 C, 11:00 D.",
        "Proven: no plan is better",
    ):
        assert said in text
    assert max(map(len, plan_text(plan).splitlines())) <= 80


def test_sheets_that_the_heat_model_lets_fail_are_counted_where_the_plan_and_its_board_begin(plan):
    plan["rehearsal"] = {
        "rounds": 1,
        "sheets": [{"sheet": one["id"], "verdict": "opened hot"} for one in plan["sheets"][:3]]
        + [{"sheet": plan["sheets"][3]["id"], "verdict": "good"}],
    }
    text = " ".join(plan_text(plan).split())
    assert "4 sheets, 1 late, by the heat model 3 opened hot; heaters 32 kWh." in text
    assert "By the heat model 3 opened hot: plan again" in board(View(plan))["late"][0]


def test_a_bound_or_an_energy_that_nobody_knows_is_called_unknown(plan):
    plan["energy_kWh"] = None
    plan["proof"] = {
        "status": "feasible",
        "objective": [{"name": "late_min", "value": 6, "bound": None}],
        "seconds": 5,
    }
    text = " ".join(plan_text(plan).split())
    assert "4 sheets, 1 late." in text
    assert "minutes late, over all sheets 6 unknown" in text


def test_thousands_of_a_goal_are_parted_by_a_space_as_no_shop_reads_it_as_a_decimal_mark(plan):
    plan["proof"]["objective"] = [{"name": "heaters_Wh", "value": 107224.0, "bound": 83298.0}]
    text = " ".join(plan_text(plan).split())
    assert "Wh for heating up and holding 107 224 83 298" in text


def test_a_charge_given_up_is_told_on_the_board_at_the_hand_over_and_to_whoever_takes_it_out(plan, tmp_path):
    kind = {"plastic": "hdpe", "colour": "dark", "thickness_mm": 12.0}
    lose(plan, sheet="X-07", do=["Heaters of HP2 off now."], **kind)
    assert plan_pdfs(plan, tmp_path) == []
    assert "X-07: nobody was there. Heaters of HP2 off now." in " ".join(plan_text(plan).split())
    papers = {path.name: text_of(path) for path in sorted(tmp_path.rglob("*.pdf"))}
    told = [name for name, words in papers.items() if "Heaters of HP2 off now" in words]
    assert told == ["day-2026-03-02.pdf", "day-2026-03-03.pdf"]
    assert (
        "X-07 in HP2 is given up; taken out cold Tue 09:00: see the hand-over." in papers["week-board-a4.pdf"]
    )
    assert any("take X-07 out of HP2 with BO and open it" in words for words in papers.values())


def test_a_mould_that_cools_though_its_charge_is_given_up_stands_in_the_hand_overs_table(plan, tmp_path):
    stay = {"id": "X-07-stack", "sheet": "X-07", "step": "stack", "start": at(1, "08:50"), "end": at(2, "09:00"),
            "places": ["ST1"], "people": []}  # fmt: skip
    kind = {"plastic": "hdpe", "colour": "dark", "thickness_mm": 12.0}
    lose(plan, sheet="X-07", press=None, place="ST1", ahead=[stay], **kind)
    view = View(plan)
    assert [(one.sheet, one.level) for one in view.standing("ST1", view.closing(MONDAY), lost=True)] == [
        ("X-07", 0), ("A", 1), ("B", 2),
    ]  # fmt: skip
    # what lies on it lies as high where it is not counted itself
    assert [(one.sheet, one.level) for one in view.standing("ST1", view.closing(MONDAY))] == [
        ("A", 1),
        ("B", 2),
    ]
    assert plan_pdfs(plan, tmp_path) == []
    assert "ST1 1 X-07 HDPE dark 12 mm, given up 08:50 20:00" in text_of(tmp_path / "day-2026-03-02.pdf", -1)


def test_a_mould_left_in_its_hot_press_stands_there_too(plan, tmp_path):
    lose(plan, sheet="X-07", plastic="hdpe", colour="dark", thickness_mm=12.0)
    assert plan_pdfs(plan, tmp_path) == []
    assert "HP2 1 X-07 HDPE dark 12 mm, given up 09:00 20:00" in text_of(tmp_path / "day-2026-03-02.pdf", -1)


def at_night(plan, hours):
    """The same plan so many hours later, hands, heaters and hours alike."""
    by = timedelta(hours=hours)

    def later(one):
        for key, value in one.items():
            if isinstance(value, dict):
                later(value)
            elif isinstance(value, list):
                for part in value:
                    if isinstance(part, dict):
                        later(part)
            elif key in ("start", "end", "ready", "due", "made_at") and value:
                one[key] = (datetime.fromisoformat(value) + by).isoformat()

    later(plan)
    return plan


def test_a_night_is_one_working_day_and_no_day_shift_is_cut_in_another_way(plan):
    assert (View(plan).first_hour, View(plan).dates) == (0, [MONDAY, TUESDAY])
    view = View(at_night(plan, 14))  # from 21:00 on
    assert view.dates == [MONDAY, TUESDAY]
    assert view.name_of(MONDAY) == "Mon 2 to Tue 3 March 2026"
    assert len([one for one in view.works_on(MONDAY) if one.step == "load"]) == 4


def test_nobody_closes_the_shop_in_the_middle_of_a_night(plan):
    day_one, night = View(plan).closing(MONDAY), at_night(plan, 14)
    view = View(night)
    assert view.closing(MONDAY) == day_one + timedelta(hours=14)
    first, last = view.hours(view.dates)
    assert (first, last) == (21, 28)
    words = words_of(week_svg(night))
    assert {"21", "00", "04"} <= set(words)
    assert not {"24", "25", "28"} & set(words)
    low, high = view.amps(MONDAY)[0][0], view.amps(MONDAY)[-1][1]
    assert low >= view.first_hour
    assert high <= view.first_hour + 24


@given(starts=st.lists(st.integers(0, 23), min_size=1, max_size=4), hours=st.integers(1, 9))
def test_a_working_day_begins_at_an_hour_at_which_the_fewest_are_at_work(starts, hours):
    spans = [
        (datetime(2026, 3, 2, hour), datetime(2026, 3, 2, hour) + timedelta(hours=hours)) for hour in starts
    ]
    marks = [sum((hour - a.hour) % 24 < hours and hour != a.hour for a, _ in spans) for hour in range(24)]
    found = first_hour(spans)
    assert marks[found] == (0 if marks[0] == 0 else min(marks))
    assert marks[0] > 0 or found == 0


def test_a_shop_that_reads_inches_is_told_the_week_in_them(plan):
    plan["warnings"] = ["no frame of 6 mm is free at 195 °C"]
    text = " ".join(plan_text(plan, "us").split())
    for said in (
        "08:00 A HDPE dark 0.472 F12-1 08:31 ADA+BO",
        "HP1 raise to 410 °F",
        "HP1 heat up to 383 °F",
        "One 0.24 in frame for two sheets",
        "would help one more frame of 0.24 in: 6 min less",
        "no frame of 0.24 in is free at 383 °F",
    ):
        assert said in text
    assert not re.search(r"\d ?(mm|°C|kg)\b", text)
    assert max(map(len, plan_text(plan, "us").splitlines())) <= 80


def test_the_papers_of_a_shop_that_reads_inches_say_inches_pounds_and_fahrenheit(plan, tmp_path):
    assert plan_pdfs(plan, tmp_path, "letter", "us") == []
    text = " ".join(
        text_of(path) for path in sorted(tmp_path.rglob("*.pdf")) if path.stem != "emergency-card"
    )
    assert "25.88 lb" in text  # 11.74 kg
    assert "HDPE dark 0.472 in" in text
    assert "383 °F" in text
    assert re.findall(r"\d ?(?:mm|°C|kg)\b", text) == []  # the cautions too


def test_the_papers_of_a_shop_with_am_and_pm_say_every_time_of_day_so(plan, tmp_path):
    plan_pdfs(plan, tmp_path, "a4", clock_face="am_pm")
    text = " ".join(text_of(path) for path in sorted(tmp_path.rglob("*.pdf")))
    assert re.search(r"8:00\s?am", text)
    assert re.findall(r"\b\d?\d:\d\d\b(?!\s[ap]m)", text) == []


def test_the_hours_over_a_day_and_a_week_are_in_am_and_pm_where_the_shop_has_it(plan):
    for drawing in (day_svg(plan, MONDAY, clock_face="am_pm"), week_svg(plan, clock_face="am_pm")):
        assert "8 am" in words_of(drawing)
        assert "08" not in words_of(drawing)


def test_a_long_weigh_list_goes_on_several_sheets_large_enough_to_read_at_the_scale():
    """33 charges of up to three lots were set in letters under two millimetres high, to fit one."""
    week = json.loads((Path(__file__).parent.parent / "web" / "demo_week.json").read_text("utf-8"))
    view = View(week)
    lists = [one for one in day_papers(view, view.dates[0])["sheets"] if one["name"].startswith("Weigh list")]
    assert [one["name"] for one in lists] == [
        f"Weigh list, {n} of {len(lists)}" for n in range(1, len(lists) + 1)
    ]
    tables = [part for one in lists for part in one["parts"] if part.get("title") == "One after the other"]
    assert max(len(table["rows"]) for table in tables) <= 44
    charges = [row for table in tables for row in table["rows"] if row["bold"]]
    assert len(charges) == 33
    assert all(table["rows"][0]["bold"] for table in tables), "no charge is parted from its lots"
    assert [any(part.get("title") == "From each lot" for part in one["parts"]) for one in lists].count(
        True
    ) == 1

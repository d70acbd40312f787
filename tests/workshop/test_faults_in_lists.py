"""Lots, orders and offcuts: what a spreadsheet gets wrong, and what it may do its own way."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from flatstock.workshop.files import check, read

LOTS = "id;plastic;mass_kg;status;moisture_percent;viscosity_kPas\nL-1;hdpe;412,5;released;0,08;1,4 | 2,1 | 3,2 assumed\n"


def lots_only(folder, data):
    (folder / "lots.csv").write_bytes(data)
    for name in ("orders.csv", "offcuts.csv"):
        (folder / name).unlink()
    return folder


def test_semicolons_and_decimal_commas_are_read(folder):
    lot = read(lots_only(folder, LOTS.encode())).lots["L-1"]
    assert lot.mass == 412.5
    assert lot.moisture == pytest.approx(8e-4)
    assert (lot.viscosity.low, lot.viscosity.value, lot.viscosity.kind) == (1400.0, 2100.0, "assumed")


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16"])
def test_a_byte_order_mark_is_read_over(folder, encoding):
    assert read(lots_only(folder, LOTS.encode(encoding))).lots["L-1"].mass == 412.5


def test_tabs_and_windows_line_ends_are_read(folder):
    data = LOTS.replace(";", "\t").replace("\n", "\r\n").encode()
    assert read(lots_only(folder, data)).lots["L-1"].mass == 412.5


def test_the_separator_line_of_a_spreadsheet_is_read_over(folder):
    assert read(lots_only(folder, b"sep=;\n" + LOTS.encode())).lots["L-1"].mass == 412.5


def test_text_that_is_not_utf8_is_read_as_windows_1252_with_a_warning(folder):
    data = (
        LOTS.replace("mass_kg", "mass_kg")
        .replace("id;", "id;colour;")
        .replace("L-1;", "L-1;grün;")
        .encode("cp1252")
    )
    workshop, found, warnings = check(lots_only(folder, data))
    assert found == []
    assert workshop.lots["L-1"].colour == "grün"
    assert warnings == [
        "lots.csv line 2: not UTF-8; read as Windows-1252. Check letters with accents, save as UTF-8."
    ]


def test_a_decimal_comma_between_commas_is_told_as_one(folder):
    data = b"id,plastic,status,mass_kg\nL-1,hdpe,released,412,5\n"
    _, found, _ = check(lots_only(folder, data))
    assert "5 cells under 4 columns" in found[0].what
    assert "decimal comma" in found[0].instead


def test_a_comma_that_may_part_thousands_is_refused(folder):
    _, found, _ = check(lots_only(folder, b'id,plastic,status,mass_kg\nL-1,hdpe,released,"1,250"\n'))
    assert (
        found[0].sentence()
        == "lots.csv line 2, lots.L-1.mass_kg: '1,250' may mean 1.250 or 1250; write 1250 or 1.250."
    )


def test_an_open_quotation_mark_is_a_fault(folder):
    _, found, _ = check(lots_only(folder, b'id,plastic,status,mass_kg\nL-1,hdpe,released,"12\n'))
    assert "close every quotation mark" in found[0].instead


def test_two_columns_of_one_name_are_a_fault(folder):
    _, found, _ = check(lots_only(folder, b"id,plastic,status,mass_kg,mass_kg\nL-1,hdpe,released,1,2\n"))
    assert "two columns have this name" in found[0].what


def test_an_empty_list_without_a_header_is_a_fault(folder):
    assert "no title row" in check(lots_only(folder, b"# nothing\n"))[1][0].what


def test_a_list_in_toml_reads_as_the_same(folder):
    (folder / "orders.csv").unlink()
    text = '[[orders]]\nid = "O-1"\nplastic = "HDPE"\nthickness_in = 0.5\nsheets = 2\ndue = 2026-03-06\nlots = { L-2302 = 0.9, L-2301 = "10 %" }\n'
    (folder / "orders.toml").write_text(text)
    order = read(folder).orders["O-1"]
    assert (order.plastic, order.thickness, order.due) == (
        "hdpe",
        0.0127,
        datetime(2026, 3, 6, 23, 59, tzinfo=UTC),
    )
    assert order.lots == pytest.approx({"L-2302": 0.9, "L-2301": 0.1})


def test_a_list_in_both_forms_is_a_fault(folder):
    (folder / "orders.toml").write_text("")
    assert "orders.toml is there too" in check(folder)[1][0].what


def test_an_order_of_an_unknown_plastic_names_the_nearest(fault):
    said = fault("orders.csv", "O-105,sign panel,hips", "O-105,sign panel,hipps")
    assert (
        "orders.csv line 7, orders.O-105.plastic: 'hipps': no such plastic on file; the nearest is hips"
        in said
    )


@pytest.mark.parametrize("plastic", ["pvc", "pet", "pc", "pa6"])
def test_an_order_of_a_plastic_that_is_never_pressed_is_one_fault(faults, plastic):
    (found,) = faults(
        "orders.csv",
        "O-105,sign panel,hips,white,6,4,2026-03-05T17:00,,L-2305 100 %",
        f"O-105,sign panel,{plastic},white,6,4,2026-03-05T17:00,,",
    )
    assert "never pressed" in found.what


def test_a_released_lot_of_what_is_never_pressed_says_so_and_names_nothing_like_it(folder):
    """The nearest on file is pc, which would be pressed by mistake."""
    (found,) = check(lots_only(folder, b"id,plastic,mass_kg,status\nL-1,PVC,12,released\n"))[1]
    assert found.where == "lots.csv line 2, lots.L-1.plastic"
    assert found.what.startswith("PVC is never pressed")
    assert "nearest" not in found.instead
    (folder / "lots.csv").write_bytes(b"id,plastic,mass_kg,status\nL-1,PVC,12,blocked\n")
    assert check(folder)[1] == []


def test_a_quotation_mark_that_is_never_closed_hides_no_other_fault_of_the_list(folder):
    lines = (
        "id,plastic,mass_kg,status",
        "L-1,hpde,12,released",
        '"L-2,hdpe,12,released',
        "L-3,hdpe,-3,released",
    )
    found = check(lots_only(folder, "\n".join(lines).encode()))[1]
    assert [one.where for one in found] == [
        "lots.csv line 2, lots.L-1.plastic", "lots.csv line 3", "lots.csv line 4, lots.L-3.mass_kg"
    ]  # fmt: skip


def test_shares_that_do_not_come_to_one_are_a_fault(fault):
    said = fault("orders.csv", "L-2301 100 %", "L-2301 90 %; L-2302 5 %")
    assert "the shares come to 0.95, not 1" in said


def test_masses_become_shares_of_their_sum(folder):
    lots = read(folder).orders["O-101"].lots
    assert lots == pytest.approx({"L-2302": 15.80 / 17.60, "L-2308": 1.00 / 17.60, "L-2309": 0.80 / 17.60})
    assert sum(lots.values()) == pytest.approx(1.0, abs=1e-15)


def test_masses_and_shares_may_not_be_mixed(fault):
    assert "mixed" in fault("orders.csv", "L-2301 100 %", "L-2301 5 kg; L-2302 50 %")


def test_an_order_from_a_lot_that_is_not_there_is_a_fault(fault):
    assert "no lot L-2399" in fault("orders.csv", "L-2301 100 %", "L-2399 100 %")


def test_an_order_from_a_lot_of_another_plastic_is_a_fault(fault):
    assert "L-2304, which is pp, in a sheet of hdpe" in fault("orders.csv", "L-2301 100 %", "L-2304 100 %")


def test_an_order_from_a_lot_in_quarantine_is_a_warning(edit):
    edit(
        "lots.csv",
        "L-2303,hdpe,bottle flake,white,96,released",
        "L-2303,hdpe,bottle flake,white,96,quarantine",
    )
    folder = edit("orders.csv", "# Invented", "# Invented")
    workshop, _, warnings = check(folder)
    assert workshop is not None
    assert "L-2303 is quarantine; only released lots are pressed" in warnings[0]


@pytest.mark.parametrize("due", ["Friday", "2026-02-30T12:00", "2026-03-06T25:00"])
def test_a_date_that_is_none_is_a_fault(fault, due):
    assert "year-month-day, as in 2026-03-06T12:00" in fault("orders.csv", "2026-03-06T12:00", due)


def test_strangers_beyond_what_a_charge_may_hold_are_a_warning(edit):
    workshop, found, warnings = check(edit("lots.csv", "pp 2.1 %", "pp 9 %"))
    assert workshop is not None
    assert found == []
    assert len(warnings) == 1
    assert "9.00% pp in hdpe; a charge may hold 5.00%" in warnings[0]


@pytest.mark.parametrize("name", ["PE", "PE-HD", "polyethylene"])
def test_strangers_are_known_by_any_of_their_names(edit, name):
    """Polypropylene may hold 5 % of any polyethylene, 0.5 % of what nobody has identified."""
    assert check(edit("lots.csv", "hdpe 3 %", f"{name} 3 %"))[1:] == ([], [])


def test_strangers_beyond_the_whole_are_a_fault(fault):
    assert "more than the whole" in fault("lots.csv", "pp 2.1 %", "pp 60 %; pet 60 %")


def test_a_parent_that_is_not_there_is_a_fault(fault):
    assert "no lot L-2399" in fault("lots.csv", "L-2301 L-2302", "L-2301 L-2399")


def test_a_lot_of_an_unknown_plastic_may_wait_in_quarantine(edit):
    workshop, found, warnings = check(edit("lots.csv", "L-2306,abs", "L-2306,mystery"))
    assert workshop is not None
    assert found == []
    assert "no plastic on file; the lot stays unpressed" in warnings[0]


@pytest.mark.parametrize(
    ("name", "meant"),
    [("PEHD", "hdpe"), (">PE-HD<", "hdpe"), ("PE", "hdpe or ldpe or lldpe"), ("PS-HI", "hips")],
)
def test_a_lot_under_a_mark_of_its_plastic_is_one_fault_with_the_id_to_write(faults, name, meant):
    """Of letters alone the nearest to PEHD are pet and ldpe. Orders that draw on the lot have no fault of their own."""
    old = "L-2305,hips" if meant == "hips" else "L-2301,hdpe"
    (one,) = faults("lots.csv", old, old.split(",")[0] + f",{name}")
    assert one.what == f"{name!r} is another name of {meant}"
    assert one.instead.startswith(f"write {meant};")


def test_an_order_under_a_mark_of_its_plastic_is_told_the_id_to_write(fault):
    said = fault("orders.csv", "O-105,sign panel,hips", "O-105,sign panel,PS-HI")
    assert "'PS-HI' is another name of hips; write hips" in said


def test_a_released_lot_of_an_unknown_plastic_is_a_fault(faults):
    found = faults("lots.csv", "L-2307,ldpe", "L-2307,mystery")
    assert "'mystery': no such plastic on file" in found[0].what


def test_a_lot_twice_is_a_fault(fault):
    assert "the ID L-2307 is taken" in fault("lots.csv", "L-2306,", "L-2307,")


def test_lists_are_checked_even_where_the_shop_file_is_broken(edit):
    edit("shop.toml", 'paper = "a4"', "paper = = a4")
    _, found, _ = check(edit("orders.csv", "L-2301 100 %", "L-2399 100 %"))
    assert [f.where.split(",")[0] for f in found] == ["orders.csv line 6", "shop.toml line 8"]


def test_a_price_of_energy_beside_a_supply_is_a_warning(edit):
    workshop, _, warnings = check(edit("shop.toml", "room_C = 18", "room_C = 18\nenergy_price_per_kWh = 0.5"))
    assert workshop.energy_price.value * 3.6e6 == pytest.approx(0.28)
    assert warnings == [
        "shop.toml line 10, energy_price_per_kWh: supply.toml has the price too, and goes before this one."
    ]


def test_an_order_whose_thickness_no_frame_makes_is_a_warning_that_names_the_frames(edit):
    workshop, found, warnings = check(edit("orders.csv", "hdpe,blue,18,", "hdpe,blue,25,"))
    assert workshop is not None
    assert found == []
    (said,) = warnings
    assert said.startswith("orders.csv line 3, orders.O-101.thickness_mm: no frame of shop.toml makes 25 mm")
    assert "there are frames of 6 mm, 12 mm, 18 mm" in said


def test_a_lot_that_is_its_own_parent_is_a_fault(fault):
    assert "L-2308 can't be its own parent" in fault("lots.csv", "L-2301 L-2302", "L-2308")


def test_lots_made_of_each_other_are_one_fault(fault):
    said = fault("lots.csv", "pp 2.1 %,,", "pp 2.1 %,L-2308,")
    assert (
        "lots.L-2301.parents: these lots are made of each other: L-2301 of L-2308 and L-2308 of L-2301"
        in said
    )


def test_a_row_with_too_many_cells_is_not_told_again_by_those_that_name_it(fault):
    assert "lots.csv line 5: 16 cells under 14 columns" in fault(
        "lots.csv", "; stiff\n", "; stiff,extra,more\n"
    )


def test_a_list_in_both_forms_is_told_once_though_others_name_its_rows(folder):
    (folder / "lots.toml").write_text("", "utf-8")
    _, found, _ = check(folder)
    assert [f.sentence() for f in found] == ["lots.csv: lots.toml is there too; keep one of them."]


def test_loose_flake_heavier_than_its_solid_is_a_fault(fault):
    said = fault("lots.csv", ",340,", ",1340,")
    assert "1340 kg/m3 of loose flake, where hdpe without any air between has 950 kg/m3" in said


def test_a_title_row_among_the_rows_is_one_fault(folder):
    """As two lists joined to one have it."""
    path = folder / "orders.csv"
    text = path.read_text("utf-8")
    title = next(line for line in text.splitlines() if not line.startswith("#"))
    path.write_text(f"{text}{title}\n", "utf-8")
    _, found, _ = check(folder)
    assert [f.what for f in found] == ["the title row stands here again"]


def test_a_comment_that_looks_like_a_row_is_told(folder):
    """A list whose first column is a note: `#85, wet` begins one, and the row would be gone without a word."""
    (folder / "orders.csv").write_text(
        "note,id,plastic,thickness_mm,sheets\n#85,O-1,hdpe,12,1\nx,O-2,hdpe,12,1\n", "utf-8"
    )
    _, found, warnings = check(folder)
    assert found == []
    assert any("orders.csv line 2: left out, as every line that starts with #" in said for said in warnings)


def test_a_row_that_somebody_has_taken_out_is_a_comment_like_any_other(edit):
    _, _, warnings = check(edit("lots.csv", "L-2309,", "#L-2309,"))
    assert not any("left out" in said for said in warnings)


@pytest.mark.parametrize(("line", "nth"), [(1, 1), (1, 3), (2, 1), (2, 3), (2, 6)])
def test_a_semicolon_among_commas_is_one_fault_that_says_where(folder, line, nth):
    """In the title row or in a row below: what is shifted by it is not told of as well."""
    rows = ["id,what,plastic,colour,thickness_mm,sheets,due,condition_h,lots,offcuts,note",
            "O-102,wall shelf,hdpe,white,18,3,2026-03-05T17:00,,L-2303 10 kg; L-2302 1 kg,,"]  # fmt: skip
    cells = rows[line - 1].split(",")
    rows[line - 1] = ",".join([*cells[: nth - 1], ";".join(cells[nth - 1 : nth + 1]), *cells[nth + 1 :]])
    (folder / "orders.csv").write_text("\n".join(rows) + "\n", "utf-8")
    (found,) = check(folder)[1]
    assert found.where == f"orders.csv line {line}"
    assert found.what == (
        f"a semicolon stands between {cells[nth - 1]!r} and {cells[nth]!r}, where a comma parts the other cells"
    )


def test_semicolons_between_the_lots_of_a_row_are_no_slip(folder):
    """Not even where the row leaves its last cell out."""
    rows = ["id,what,plastic,colour,thickness_mm,sheets,lots,note",
            "O-102,wall shelf,hdpe,white,18,3,L-2303 10 kg;L-2302 1 kg"]  # fmt: skip
    (folder / "orders.csv").write_text("\n".join(rows) + "\n", "utf-8")
    assert check(folder)[1] == []


def test_decimal_commas_in_a_short_row_between_semicolons_are_no_slip(folder):
    data = b"id;plastic;mass_kg;status;moisture_percent;note\nL-1;hdpe;412,5;released;0,08\n"
    assert check(lots_only(folder, data))[1] == []


def test_one_lot_alone_of_an_order_is_all_of_it_and_two_need_their_amounts(folder):
    file = folder / "orders.csv"
    head = "id,plastic,thickness_mm,sheets,due,lots\nO-1,HDPE,12,2,2026-03-06,"
    file.write_text(f"{head}L-2302\n")
    assert read(folder).orders["O-1"].lots == {"L-2302": 1.0}
    file.write_text(f"{head}L-2302; L-2301\n")
    (fault,) = [one for one in check(folder)[1] if "has no amount" in one.what]
    assert "L-2302 15.80 kg" in fault.instead

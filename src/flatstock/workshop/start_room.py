"""The words of a new workshop's room.toml: the room as answered, and the machines that a sheet of this size asks for.

What a machine of a class measures is filled in from the class at the size of the sheet. Distances between machines,
walks a day and trolleys are common practice, no source. Whoever measures in inches finds the file in inches, to the
thousandth, so that each is the same whole millimetre.
"""

from __future__ import annotations

from typing import Literal

from flatstock.units import from_si
from flatstock.workshop.start_answers import StartAnswers
from flatstock.workshop.start_lines import bare, figures, guess, line, quoted

__all__ = ["room_text", "size_of"]

Size = Literal["s", "m", "l"]
#: up to a sheet of this area [m2] the machines are of this size
_SIZES: tuple[tuple[float, Size], ...] = ((0.7, "s"), (2.0, "m"), (1e9, "l"))
_TROLLEY = {"m": (1.3, 0.9), "l": (2.6, 1.3)}  # the least that a trolley measures with its load [m]
_GAP = {"m": (0.9, 1.7), "l": (1.5, 3.3)}  # between the presses, a table in it [m]
_FLOOR = {"metric": "# floor_kN_m2 = 5.0", "us": "# floor_psf = 100"}
_L_SHAPES = {
    "metric": "[[0, 0], [9000, 0], [9000, 4000], [5000, 4000], [5000, 6000], [0, 6000]]",
    "us": "[[0, 0], [360, 0], [360, 160], [200, 160], [200, 240], [0, 240]]",
}
_ITEMS = (
    ("HOT", "hot_press", "hot press"),
    ("COOL", "cooling_press", "cooling press"),
    ("ROLL", "transfer_table", "table with rollers between the presses"),
    ("SAW", "saw", "trimming saw; its zones are what a sheet sweeps"),
    ("BENCH", "lay_up_bench", "lay-up bench"),
    ("SCALE", "scale", "scale"),
    ("FLAKE", "flake_box", "box of flake"),
    ("STORE", "sheet_store", "flat store for sheets"),
    ("PANEL", "supply_panel", "supply panel"),
)
_FLOWS = (
    ("FLAKE.draw", "SCALE.stand", 16, "person", "flake, to be weighed"),
    ("SCALE.stand", "BENCH.stand", 16, "person", "charges, to be laid up"),
    ("BENCH.stand", "HOT.load", 8, "trolley", "moulds, laid up"),
    ("COOL.open", "STORE.lift", 8, "trolley", "sheets, cooled"),
    ("STORE.lift", "SAW.feed", 8, "trolley", "sheets, to be trimmed"),
)


def size_of(a: StartAnswers) -> Size:
    """The sheet size whose typical machines are meant."""
    area = a.cavity_length * a.cavity_width
    return next(size for most, size in _SIZES if area <= most)


def room_text(a: StartAnswers) -> str:
    """room.toml."""
    items = [row for item in _ITEMS if _stands(a, item[0]) for row in _item(a, *item)]
    return "\n".join([*_room(a), *_rules(a), *items, *_between(a), *_flows(a)]) + "\n"


def _stands(a: StartAnswers, name: str) -> bool:
    """Small moulds are carried, so nothing need stand between the presses; without a cooling press neither."""
    if name == "ROLL":
        return a.cooling_press and size_of(a) != "s"
    return name != "COOL" or a.cooling_press


def _room(a: StartAnswers) -> list[str]:
    length, width = _length(a, a.room_length), _length(a, a.room_width)
    unit = _unit(a)
    from_wall = _length(a, (a.room_width - a.door_width) / 2)
    to = _length(a, (a.room_width + a.door_width) / 2)
    told = "; assumed" * a.is_assumed("room_length")
    return [
        "# The room and what is to stand in it; `flatstock room` finds where. docs/files/room.md lists every field.",
        "# x goes to the right and y up from one corner. Not a rectangle? Write all corners in turn, each as",
        f"# [x, y], every wall parallel to one of the first two: {_L_SHAPES[a.units]}.",
        "# A slanted wall is drawn as steps inside it. docs/room.md shows how to measure, with a picture.",
        "",
        line('format = "flatstock.room/1"', "names this kind of file"),
        line(f"shop = {quoted(a.name)}", "printed on the drawing"),
        line("grid_mm = 100", "machines are placed in steps of this"),
        "",
        line("[room]", "the room as measured"),
        line(f"outline_{unit} = [[0, 0], [{length}, 0], [{length}, {width}], [0, {width}]]", f"corners{told}"),
        bare(f"height_{unit}", _length(a, a.room_height), "floor to ceiling", assumed=a.is_assumed("room_height")),
        line(_FLOOR[a.units], "what the floor is rated for: ask the landlord or a structural engineer"),
        "",
        line("[[room.doors]]", "one such table for each door"),
        line('id = "D1"', "what you call it"),
        line(f"x1_{unit} = {length}", "one end of the opening, on a wall: assumed in the middle of the right wall"),
        line(f"y1_{unit} = {from_wall}", "as above"),
        line(f"x2_{unit} = {length}", "the other end"),
        line(f"y2_{unit} = {to}", "as above"),
        _door(a, f"clear_width_{unit}", "door_width", "free width with the door open"),
        _door(a, f"clear_height_{unit}", "door_height", "free height"),
        line("exit = true", "people may get out by it: assumed"),
        line("goods = true", "machines and sheets go through it: assumed"),
        line('opens = "out"', "out, in, in_double or slides: assumed"),
    ]  # fmt: skip


def _rules(a: StartAnswers) -> list[str]:
    lines = [
        "",
        line("[rules]", "widths and lengths of ways; the rule of the place goes before them"),
        _usual(a, "escape_width", 0.9, "of the ways out"),
        _usual(
            a, "escape_longest", 12.0, "guidance for one way out where fire risk is higher; fire authority"
        ),
        _usual(a, "access_width", 0.6, "of a way to one's own place"),
        _usual(a, "service_width", 0.5, "of a way for maintenance alone"),
    ]
    least = _TROLLEY.get(size_of(a))
    if least is not None:
        length, width = max(least[0], a.cavity_length + 0.05), max(least[1], a.cavity_width + 0.05)
        lines += [
            line("[rules.trolley]", "the sheet trolley with its load"),
            _usual(a, "length", length, "with its load"),
            _usual(a, "width", width, "with its load"),
            _usual(a, "clearance", 0.15, "free on each side"),
            _usual(a, "door_clearance", 0.3, "free through a door, both sides together"),
        ]
    return lines


def _item(a: StartAnswers, name: str, kind: str, what: str) -> list[str]:
    lines = [
        "",
        line("[[items]]", what),
        line(f'id = "{name}"', "what you call it"),
        line(
            f'class = "{kind}"',
            f"what is typical of this class counts until you write length_{_unit(a)} and the like",
        ),
        line(f'size = "{size_of(a)}"', "for sheets of about 0.4 (s), 1 (m) or 3 m2 (l)"),
    ]
    if name == "HOT":
        lines.append(_usual(a, "hot_gap", 1.5, "to anything that burns; the insurer's figure goes before it"))
    return lines


def _between(a: StartAnswers) -> list[str]:
    if not a.cooling_press:
        return []
    if size_of(a) == "s":
        return [
            "",
            line("[[near]]", "two things not too far apart"),
            line('a = "HOT.load"', "where the mould comes out"),
            line('b = "COOL.open"', "where it goes"),
            line('how = "walk"', "measured as people walk"),
            _usual(a, "longest", 4.0, "a hot mould is carried no further"),
        ]
    least, most = _GAP[size_of(a)]
    return [
        "",
        line("[[in_line]]", "the two presses face each other, the table between"),
        line('a = "HOT"', "the one"),
        line('b = "COOL"', "the other"),
        line('side_a = "right"', "of the hot press"),
        line('side_b = "left"', "of the cooling press"),
        _usual(a, "gap_min", least, "shorter traps hands"),
        _usual(a, "gap_max", most, "longer costs heat"),
        _usual(a, "offset_max", 0.1, "between their middles"),
        line('via = "ROLL"', "what stands in the gap"),
    ]


def _flows(a: StartAnswers) -> list[str]:
    lines = []
    for start, end, trips, by, what in _FLOWS:
        if start.startswith("COOL") and not a.cooling_press:
            start = "HOT.load"
        way = by if size_of(a) != "s" else "person"
        lines += [
            "",
            line("[[flows]]", f"a walk that comes again and again: {what}"),
            line(f'from = "{start}"', "ITEM.zone"),
            line(f'to = "{end}"', "ITEM.zone"),
            guess("trips_per_day", str(trips), "for eight sheets a day"),
            line(f'by = "{way}"', "person, or trolley"),
        ]
    return lines


def _door(a: StartAnswers, name: str, field: str, comment: str) -> str:
    return bare(name, _length(a, getattr(a, field)), comment, assumed=a.is_assumed(field))


def _usual(a: StartAnswers, name: str, metres: float, comment: str) -> str:
    """A length that nobody has measured, to a whole millimetre in the unit that the shop reads."""
    return guess(f"{name}_{_unit(a)}", _length(a, round(metres, 3)), comment)


def _unit(a: StartAnswers) -> str:
    return "in" if a.units == "us" else "mm"


def _length(a: StartAnswers, metres: float) -> str:
    return figures(round(from_si(metres, "length", _unit(a)), 3))

"""The words of a new workshop's shop.toml: each line with its meaning beside it."""

from __future__ import annotations

from math import floor

from flatstock.units import from_si
from flatstock.workshop.start_answers import StartAnswers
from flatstock.workshop.start_lines import bare, figures, guess, line, measure, quoted

__all__ = ["shop_text"]

MOST_SHRINKAGE = 0.04  #: of polyethylene, at the most that the library has on file for it


def shop_text(answers: StartAnswers) -> str:
    """shop.toml."""
    parts = (_head, _hot_press, _cooling_press, _stack, _frames, _skins, _scale_and_places, _people)
    return "\n".join(row for part in parts for row in part(answers)) + "\n"


def _head(a: StartAnswers) -> list[str]:
    paper = "letter" if a.units == "us" else "a4"
    zone = "of the shop's clock, by region and city" + "; of this machine" * a.is_assumed("time_zone")
    return [
        "# Your workshop. The unit of a number is the end of its name; any other unit may stand there too",
        '# (thickness_in = 0.5, or thickness_mm = "1/2 in"). docs/files/shop.md lists every field.',
        '# Numbers with kind = "assumed" are nobody\'s measurement, and every card that rests on one says so. When you',
        "# have measured it, write the number alone, as in platen_thickness_mm = 20.",
        "",
        line('format = "flatstock.shop/1"', "names this kind of file"),
        line(f"name = {quoted(a.name)}", "printed on every card"),
        line(f"time_zone = {quoted(a.time_zone)}", zone),
        line(f'units = "{a.units}"', "what answers are shown in: metric or us"),
        line(f'paper = "{paper}"', "what prints are made for: a4 or letter"),
        _asked(a, "room", "room", "temperature", "air in the shop"),
        *_no_frames(a),
        "",
        line("[practice]", "how you work; what is left out has a default"),
        guess("soak_min", "15", "to even out after heat-up"),
        guess("load_min", "3", "bench to hot press, two people"),
        guess("transfer_min", "3", "hot press to cooling press, two people"),
        guess("air_s", "20", "of that, out in the air between the presses"),
        guess("condition_h", "12", "flat rest before a sheet is cut to size"),
        *_trimming(a),
    ]


def _no_frames(a: StartAnswers) -> list[str]:
    """Of a shop before its first frame."""
    if a.frame_thicknesses:
        return []
    return [
        line(
            "frames = []",
            "none yet: flatstock frame says which to have made; then start each with [[frames]]",
        ),
        line("skins = []", "none yet: pairs that cover such a frame; then start each with [[skins]]"),
    ]


def _trimming(a: StartAnswers) -> list[str]:
    """What is cut off a sheet, and the size sold, which nobody has been asked: one that the frames surely give."""
    unit, trim, step = ("in", 0.009525, 0.0127) if a.units == "us" else ("mm", 0.010, 0.010)
    lines = [measure(a.units, "edge_trim", "length", trim, "cut from each edge of a sheet at least")]
    for name, side in (("length", a.cavity_length), ("width", a.cavity_width)):
        left = max(step, floor((side * (1 - MOST_SHRINKAGE) - 2 * trim) / step + 1e-6) * step)
        said = "of sheets as sold, to hold frames against" if name == "length" else "and how wide"
        written = f"trimmed_{name}_{unit} = {figures(from_si(left, 'length', unit))}"
        lines.append(line(f"# {written}", said))
    return lines


def _hot_press(a: StartAnswers) -> list[str]:
    return [
        "",
        line("[[hot_presses]]", "a press with heated platens"),
        line('id = "HP1"', "what you call it"),
        *_platens(a, a.platen_metal, asked=True),
        *_heaters(a),
        line('control = "on_off"', "what the controllers do: on_off or proportional; assumed"),
        measure(
            a.units,
            "highest_platen",
            "temperature",
            a.highest_platen,
            "where the over-temperature cut-out acts: read it there",
        ),
        *_ram(a),
    ]


def _heaters(a: StartAnswers) -> list[str]:
    """What the plates of the heaters say: one side has all of it, or each side half."""
    if a.heated != "both":
        powers = {side: a.power if side == a.heated else 0.0 for side in ("bottom", "top")}
        return [
            bare(
                f"{side}_power_kW",
                figures(power / 1000),
                f"nameplate power of the {side} heaters" if power else f"the {side} platen is not heated",
                assumed=bool(power) and a.is_assumed("power"),
            )
            for side, power in powers.items()
        ]
    half = figures(a.power / 2000)
    return [
        guess(f"{side}_power_kW", half, f"of the {side} heaters, half of all: read the nameplate")
        for side in ("bottom", "top")
    ]


def _ram(a: StartAnswers) -> list[str]:
    """Force, bore and gauge, as far as they are known; what is not known is left for later, with its meaning."""
    us = a.units == "us"
    if a.force is None:
        example = "force_lbf = 67000" if us else "force_kN = 300"
        return [line(f"# {example}", "rated closing force: not known yet, so cards can't check pressures")]
    by_gauge = a.piston_diameter is not None and a.gauge_max is not None
    said = "from bore and highest gauge pressure" if by_gauge else "rated closing force"
    lines = [_asked(a, "force", "force", "force", said)]
    if a.piston_diameter is None:
        example = "piston_diameter_in = 5.5" if us else "piston_diameter_mm = 140"
        return [*lines, line(f"# {example}", "bore of the cylinder: not known yet, so no gauge pressures")]
    lines.append(_asked(a, "piston_diameter", "piston_diameter", "length", "bore of the cylinder"))
    lines.append(line("pistons = 1", "cylinders that close the press; assumed"))
    if a.gauge_max is not None:
        unit, pascals = ("psi", 6894.757293168361) if us else ("bar", 1e5)
        lines.append(line(f"gauge_max_{unit} = {figures(a.gauge_max / pascals)}", "highest gauge pressure"))
    return lines


def _cooling_press(a: StartAnswers) -> list[str]:
    if not a.cooling_press:
        return []
    return [
        "",
        line("[[cooling_presses]]", "an unheated press that holds a mould while it cools"),
        line('id = "CP1"', "what you call it"),
        *_platens(a, "mild_steel", asked=False),
        line(f"fans_fitted = {str(a.fans).lower()}", "fans blow on its outer faces: true or false"),
    ]


def _platens(a: StartAnswers, metal: str, *, asked: bool) -> list[str]:
    """Of the hot press, which was asked about, or of a cooling press that is taken to be like it."""
    like = "" if asked else ", taken as the hot press has it"
    known = "aluminium, mild_steel, stainless_steel or your own"
    metal_assumed = "; assumed" * (not asked or a.is_assumed("platen_metal"))

    def size(field: str, number: float, comment: str) -> str:
        return measure(
            a.units, field, "length", number, comment + like, assumed=not asked or a.is_assumed(field)
        )

    return [
        size("platen_length", a.platen_length, "of each platen"),
        size("platen_width", a.platen_width, "of each platen"),
        size("platen_thickness", a.platen_thickness, "of each platen"),
        line(f'platen_metal = "{metal}"', known + metal_assumed),
        size("daylight", a.daylight, "open distance between the platens"),
    ]


def _stack(_: StartAnswers) -> list[str]:
    return [
        "",
        line("[[stacks]]", "where moulds cool on top of each other"),
        line('id = "ST1"', "what you call it"),
        line("moulds_max = 4", "moulds it takes at once; assumed"),
    ]


def _frames(a: StartAnswers) -> list[str]:
    lines = []
    for number, thickness in enumerate(a.frame_thicknesses, 1):
        names = ", ".join(f'"F{number}-{n + 1}"' for n in range(a.moulds))
        lines += [
            "",
            line("[[frames]]", "a picture frame"),
            line(f"ids = [{names}]", "what you call each of those that are alike; so many are assumed"),
            measure(a.units, "thickness", "length", thickness, "of the frame",
                    assumed=a.is_assumed("frame_thicknesses")),
            _asked(a, "cavity_length", "cavity_length", "length", "inside"),
            _asked(a, "cavity_width", "cavity_width", "length", "inside"),
            measure(a.units, "outside_length", "length", a.cavity_length + 2 * a.frame_land, "outside"),
            measure(a.units, "outside_width", "length", a.cavity_width + 2 * a.frame_land, "outside"),
        ]  # fmt: skip
    return lines


def _skins(a: StartAnswers) -> list[str]:
    if not a.frame_thicknesses:
        return []
    pairs = ", ".join(f'"S{n + 1}"' for n in range(a.moulds * len(a.frame_thicknesses)))
    land = 2 * a.frame_land
    return [
        "",
        line("[[skins]]", "pairs of skins, one under and one over the charge"),
        line(f"ids = [{pairs}]", "what you call each pair; so many are assumed"),
        measure(a.units, "length", "length", a.cavity_length + land, "of a skin; it covers the frame"),
        measure(a.units, "width", "length", a.cavity_width + land, "of a skin"),
        measure(a.units, "thickness", "length", a.skin_thickness, "of a skin"),
    ]


def _scale_and_places(a: StartAnswers) -> list[str]:
    return [
        "",
        line("[[scales]]", "a scale; add one for each you have"),
        line('id = "SCALE"', "what you call it"),
        _asked(a, "scale_capacity", "capacity", "mass", "largest load"),
        _asked(a, "scale_step", "step", "small_mass", "smallest step it shows"),
        "",
        line("[[benches]]", "where moulds are laid up"),
        line('id = "BENCH"', "what you call it"),
        "",
        line("[[saws]]", "where sheets are trimmed"),
        line('id = "SAW"', "what you call it"),
    ]


def _people(a: StartAnswers) -> list[str]:
    lines = []
    for n in range(a.people):
        skills = '["hot_transfer", "saw"]' if n == 0 else '["hot_transfer"]'
        lines += [
            "",
            line("[[people]]", "somebody who works here, by role code; assumed"),
            line(f'id = "OP{n + 1}"', "no names needed"),
            line(f"skills = {skills}", "trained for: hot_transfer, saw"),
            line("[[people.present]]", "when; one such table for each kind of day"),
            line('days = "mon-fri"', 'weekdays, as in "mon thu"'),
            line('start = "08:00"', "comes"),
            line('end = "16:00"', "goes"),
        ]
    return lines


def _asked(a: StartAnswers, field: str, stem: str, dimension: str, comment: str) -> str:
    """A quantity that was asked about."""
    return measure(a.units, stem, dimension, getattr(a, field), comment, assumed=a.is_assumed(field))

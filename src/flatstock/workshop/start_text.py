"""The words of a new workshop's files: each line with its meaning beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flatstock.units import ending, from_si
from flatstock.workshop.start_lines import figures, line, quoted

if TYPE_CHECKING:
    from flatstock.workshop.start import StartAnswers

__all__ = ["LOTS", "ORDERS", "PLASTICS", "shop_text"]

_UNITS = {
    "metric": {"length": "mm", "mass": "kg", "temperature": "C", "small_mass": "g"},
    "us": {"length": "in", "mass": "lb", "temperature": "F", "small_mass": "oz"},
}

PLASTICS = """\
# Your own values of plastics. Each goes before the library's and is shown as yours. docs/files/plastics.md
# lists every field. Take the # away from a line to use it.

format = "flatstock.plastics/1"             # names this kind of file

# [hdpe]                                    # the plastic; `flatstock read` lists those on file
# set_point_C = 195                         # of the platens
# shrinkage_percent = [2.0, 2.2, 2.5]       # measured on three sheets of yours: low, typical, high
# melt_k_W_mK = 0.25                        # heat conductivity of the melt, fitted to a trial
"""
LOTS = """\
# Your lots of flake, one a line under the header; docs/files/lots.md lists every column.
# Lines that start with # are left out.
# status: received, quarantine, released, blocked or empty; only released lots are pressed.
# strangers: other plastics in the lot, as in: pp 2 %; pet 0.5 %
id,plastic,form,colour,mass_kg,status,origin,mfr_g_10min,moisture_percent,bulk_density_kg_m3,strangers,note
"""
ORDERS = """\
# Your orders, one a line under the header; docs/files/orders.md lists every column.
# Lines that start with # are left out.
# due: by the shop's clock, as in 2026-03-06T12:00. lots: as in L-1 90 %; L-2 10 %
id,what,plastic,colour,thickness_mm,sheets,due,condition_h,lots,note
"""


def shop_text(answers: StartAnswers) -> str:
    """shop.toml."""
    parts = (_head, _hot_press, _cooling_press, _stack, _frames, _skins, _scale_and_bench, _people)
    return "\n".join(row for part in parts for row in part(answers)) + "\n"


def _head(a: StartAnswers) -> list[str]:
    paper = "letter" if a.units == "us" else "a4"
    return [
        "# Your workshop. The unit of a number is the end of its name; any other unit may stand there too",
        '# (thickness_in = 0.5, or thickness_mm = "1/2 in"). docs/files/shop.md lists every field.',
        "",
        line('format = "flatstock.shop/1"', "names this kind of file"),
        line(f"name = {quoted(a.name)}", "printed on every card"),
        line('time_zone = "UTC"', 'of the shop\'s clock, as in "Europe/Lisbon"'),
        line(f'units = "{a.units}"', "what answers are shown in: metric or us"),
        line(f'paper = "{paper}"', "what prints are made for: a4 or letter"),
        _measure(a, "room", "temperature", a.room, "air in the shop"),
        "",
        line("[practice]", "how you work; what is left out has a default"),
        line("soak_min = 15", "to even out after heat-up"),
        line("load_min = 3", "bench to hot press, two people"),
        line("transfer_min = 3", "hot press to cooling press, two people"),
        line("air_s = 20", "of that, out in the air between the presses"),
        line("condition_h = 12", "flat rest before a sheet is cut to size"),
    ]


def _hot_press(a: StartAnswers) -> list[str]:
    half = figures(a.power / 2000)
    lines = [
        "",
        line("[[hot_presses]]", "a press with heated platens"),
        line('id = "HP1"', "what you call it"),
        *_platens(a, a.platen_metal),
        line(f"bottom_power_kW = {half}", "nameplate power of the bottom heaters"),
        line(f"top_power_kW = {half}", "nameplate power of the top heaters"),
        line('control = "on_off"', "what the controllers do: on_off or proportional"),
        _measure(
            a, "highest_platen", "temperature", a.highest_platen, "where the over-temperature cut-out acts"
        ),
    ]
    if a.force is not None:
        lines.append(line(f"force_kN = {figures(a.force / 1000)}", "rated closing force"))
    return lines


def _cooling_press(a: StartAnswers) -> list[str]:
    if not a.cooling_press:
        return []
    return [
        "",
        line("[[cooling_presses]]", "an unheated press that holds a mould while it cools"),
        line('id = "CP1"', "what you call it"),
        *_platens(a, "mild_steel"),
        line(f"fans_fitted = {str(a.fans).lower()}", "fans blow on its outer faces: true or false"),
    ]


def _platens(a: StartAnswers, metal: str) -> list[str]:
    return [
        _measure(a, "platen_length", "length", a.platen_length, "of each platen"),
        _measure(a, "platen_width", "length", a.platen_width, "of each platen"),
        _measure(a, "platen_thickness", "length", a.platen_thickness, "of each platen"),
        line(f'platen_metal = "{metal}"', "aluminium, mild_steel, stainless_steel or your own"),
        _measure(a, "daylight", "length", a.daylight, "open distance between the platens"),
    ]


def _stack(_: StartAnswers) -> list[str]:
    return [
        "",
        line("[[stacks]]", "where moulds cool on top of each other"),
        line('id = "ST1"', "what you call it"),
        line("moulds_max = 4", "moulds it takes at once"),
    ]


def _frames(a: StartAnswers) -> list[str]:
    lines = []
    for number, thickness in enumerate(a.frame_thicknesses, 1):
        names = ", ".join(f'"F{number}-{n + 1}"' for n in range(a.moulds))
        lines += [
            "",
            line("[[frames]]", "a picture frame"),
            line(f"ids = [{names}]", "what you call each of those that are alike"),
            _measure(a, "thickness", "length", thickness, "of the frame"),
            _measure(a, "cavity_length", "length", a.cavity_length, "inside"),
            _measure(a, "cavity_width", "length", a.cavity_width, "inside"),
            _measure(a, "outside_length", "length", a.cavity_length + 2 * a.frame_land, "outside"),
            _measure(a, "outside_width", "length", a.cavity_width + 2 * a.frame_land, "outside"),
        ]
    return lines


def _skins(a: StartAnswers) -> list[str]:
    pairs = ", ".join(f'"S{n + 1}"' for n in range(a.moulds * len(a.frame_thicknesses)))
    return [
        "",
        line("[[skins]]", "pairs of skins, one under and one over the charge"),
        line(f"ids = [{pairs}]", "what you call each pair"),
        _measure(a, "length", "length", a.cavity_length + 2 * a.frame_land, "of a skin; it covers the frame"),
        _measure(a, "width", "length", a.cavity_width + 2 * a.frame_land, "of a skin"),
        _measure(a, "thickness", "length", a.skin_thickness, "of a skin"),
    ]


def _scale_and_bench(a: StartAnswers) -> list[str]:
    return [
        "",
        line("[[scales]]", "a scale; add one for each you have"),
        line('id = "SCALE"', "what you call it"),
        _measure(a, "capacity", "mass", a.scale_capacity, "largest load"),
        _measure(a, "step", "small_mass", a.scale_step, "smallest step it shows"),
        "",
        line("[[benches]]", "where moulds are laid up"),
        line('id = "BENCH"', "what you call it"),
    ]


def _people(a: StartAnswers) -> list[str]:
    lines = []
    for n in range(a.people):
        lines += [
            "",
            line("[[people]]", "somebody who works here, by role code"),
            line(f'id = "OP{n + 1}"', "no names needed"),
            line('skills = ["hot_transfer"]', "trained for: hot_transfer, saw"),
            line("[[people.present]]", "when; one such table for each kind of day"),
            line('days = "mon-fri"', 'weekdays, as in "mon thu"'),
            line('start = "08:00"', "comes"),
            line('end = "16:00"', "goes"),
        ]
    return lines


def _measure(a: StartAnswers, stem: str, dimension: str, number: float, comment: str) -> str:
    unit = _UNITS[a.units][dimension]
    shown = from_si(number, "mass" if dimension == "small_mass" else dimension, unit)
    return line(f"{stem}_{ending(unit)} = {figures(shown)}", comment)

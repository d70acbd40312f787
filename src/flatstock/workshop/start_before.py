"""The words of a new workshop's supply.toml and outlay.toml: typical loads and guesses, to be written over.

Sizes of loads by the area of a sheet are common practice, no source; prices are guesses and say so.
"""

from __future__ import annotations

from flatstock.workshop.start_answers import StartAnswers
from flatstock.workshop.start_lines import bare, figures, guess, line, quoted
from flatstock.workshop.start_room import size_of

__all__ = ["outlay_text", "supply_text"]

_NEUTRAL = {400: 230, 380: 220, 415: 240, 208: 120, 480: 277, 690: 400}  # usual pairs of volts
_ROOT_3 = 3**0.5
#: the machine of room.toml that a load belongs to
_AT = {"HEAT": "HOT", "PUMP": "HOT", "HOOD": "HOT", "SAW": "SAW", "EXTRACT": "SAW"}
#: by the size of a sheet: pump, hood fan, saw, its extract [kW]; purchases' prices as a multiple
_SIZES = {
    "s": ((1.1, 0.4, 1.8, 1.3), 0.5),
    "m": ((1.8, 1.1, 4.1, 1.8), 1.0),
    "l": ((4.0, 3.0, 7.6, 2.6), 2.5),
}


def supply_text(a: StartAnswers) -> str:
    """supply.toml."""
    pump, hood, saw, extract = _size(a)[0]
    three = a.phases == "3"
    motors = [
        ("PUMP", pump, three and pump > 2, "hydraulic pump"),
        ("HOOD", hood, three and hood > 2, "hood fan over the press"),
        ("SAW", saw, three, "trimming saw"),
        ("EXTRACT", extract, three and extract > 2, "extract of the saw"),
    ]
    lines = [
        "# The electrical connection and what hangs on it; `flatstock supply` adds it up. docs/files/supply.md lists",
        "# every field. Loads are typical for the size of sheet: write what the rating plates say over them. Anything",
        "# at a terminal is a licensed electrician's work.",
        "",
        line('format = "flatstock.supply/1"', "names this kind of file"),
        line(f"shop = {quoted(a.name)}", "printed on the page for the electrician"),
        "",
        line("[supply]", "from the main device and the meter's label"),
        line(f"phases = {a.phases}", "1 or 3" + "; assumed" * a.is_assumed("phases")),
        *_volts(a),
        bare(
            "rated_A",
            figures(a.rated_current),
            "main device, each phase",
            assumed=a.is_assumed("rated_current"),
        ),
        line('characteristic = "C"', "its type: B, C, D or fuse; assumed"),
        line('rule = "NEC"' if a.units == "us" else 'rule = "IEC"', "whose rules: IEC or NEC"),
        line(
            "# energy_price_per_kWh = 0.28",
            "from your bill, in your money: answers then say what a month costs",
        ),
        guess("residual_mA", "30", "residual current device; take the line out if there is none"),
        "",
        line("[[loads]]", "something that draws current"),
        line('id = "HEAT"', "heaters of the hot press"),
        line(f'connection = "{_heaters_on(a)}"', "3P three phases, LN line to neutral, LL line to line"),
        bare("input_kW", figures(a.power / 1000), "of all of them", assumed=a.is_assumed("power")),
        line('control = "on_off"', "on_off, proportional, steady or motor"),
        line("elements = 12" if three else "elements = 4", "assumed: count them"),
        _at("HEAT"),
    ]
    for name, kW, three_phase, what in motors:
        lines += [
            "",
            line("[[loads]]", what),
            line(f'id = "{name}"', "what you call it"),
            line(f'connection = "{"3P" if three_phase else "LN"}"', "as its plug says; assumed"),
            guess("input_kW", figures(kW), "electrical input by its rating plate, not shaft power"),
            guess("power_factor", "0.8", "cos phi, by its rating plate"),
            line('control = "motor"', "it starts with more than it runs with"),
            guess("start_factor", "7", "starting over running current of a direct start"),
            _at(name),
        ]
    lines += [
        "",
        line("[[loads]]", "light, scales, chargers"),
        line('id = "SMALL"', "what you call it"),
        line('connection = "LN"', "line to neutral; the phase is taken where it is best"),
        guess("input_kW", "0.5", "all of them together"),
    ]
    return "\n".join(lines) + "\n"


def _at(load: str) -> str:
    return line(
        f'at = "{_AT[load]}"', "where it stands in room.toml: the room's second sheet draws its cable"
    )


def _size(a: StartAnswers) -> tuple[tuple[float, float, float, float], float]:
    return _SIZES[size_of(a)]


def _legs(a: StartAnswers) -> bool:
    """One phase of 240/120 V, as it is usual in inches' countries."""
    return a.phases == "1" and a.units == "us" and a.volts > 200


def _heaters_on(a: StartAnswers) -> str:
    return "3P" if a.phases == "3" else "LL" if _legs(a) else "LN"


def _volts(a: StartAnswers) -> list[str]:
    volts, told = round(a.volts), "; assumed" * a.is_assumed("volts")
    if a.phases == "3":
        neutral = _NEUTRAL.get(volts, round(volts / _ROOT_3))
        return [
            line(f"volts_LL = {volts}", "between two lines" + told),
            line(f"volts_LN = {neutral}", "line to neutral"),
        ]
    if _legs(a):
        return [
            line(f"volts_LL = {volts}", "between the two legs" + told),
            line(f"volts_LN = {round(volts / 2)}", "leg to neutral"),
        ]
    return [line(f"volts_LN = {volts}", "line to neutral" + told)]


def outlay_text(a: StartAnswers) -> str:
    """outlay.toml."""
    times = _size(a)[1]
    weeks_sheets = 4 * max(1, a.moulds) * max(1, len(a.frame_thicknesses))
    purchases = [
        (
            "PRESS",
            "hot press, running and tested",
            18000,
            "cannot_press",
            3,
            "",
            "{ press = 40, people = 30 }",
        ),
        ("COOLER", "cooling press", 6000, "cannot_press", 2, "", "{ cooling = 16 }"),
        ("MOULDS", "first frames and skins", 2400, "cannot_press", 1, "", f"{{ moulds = {weeks_sheets} }}"),
        ("GUARD", "guard, emergency stop, cut-out", 1500, "cannot_press_safely", 1, "PRESS", "{}"),
        ("HOOD", "hood, duct and fan", 2500, "cannot_press_safely", 1, "", "{}"),
        ("SAW", "trimming saw with its extract", 4000, "cannot_sell", 1, "", "{ saw = 60 }"),
        ("FANS", "fans on the cooling press", 300, "faster", 0, "COOLER", "{ cooling = 16 }"),
        ("MOULDS2", "second frames and skins", 2400, "faster", 1, "MOULDS", f"{{ moulds = {weeks_sheets} }}"),
    ]
    adds = _adds(a)
    lines = [
        "# What could be bought and what is sold; `flatstock outlay` finds the order and the months.",
        "# docs/files/outlay.md lists every field. Every amount below is a GUESS: write offers, your rent and your",
        "# customers' words over them.",
        "",
        line('format = "flatstock.outlay/1"', "names this kind of file"),
        line(f"shop = {quoted(a.name)}", "printed on the dossier"),
        line("months = 24", "how far to look"),
        line(f"cash_start = {figures(44000 * times)}", "a guess: what you have before the first order"),
        line("overdraft = 0", "how far the account may go under nothing"),
        line("discount_percent_year = 8", "what a lender asks"),
        line(f"price_per_sheet = {figures(64 * times)}", "a guess: sold, without tax"),
        line(
            f"variable_per_sheet = {figures(20 * times)}", "a guess: flake, energy, paid work of a sheet made"
        ),
        line(f"fixed_per_month = {figures(1500 * times)}", "a guess: rent, insurance"),
        line("yield = 0.92", "a guess: sold of those made"),
        line("demand_per_week = 14", "a guess: sheets asked for; or a list, one a month"),
        line('resources = ["press", "moulds", "cooling", "people", "saw"]', "what limits sheets a week"),
    ]
    for name, what, cost, necessity, lead, needs, gives in purchases:
        lines += [
            "",
            line("[[purchases]]", what),
            line(f'id = "{name}"', "what you call it"),
            line(f'what = "{what}"', "in words"),
            line(f"cost = {figures(cost * times)}", "a guess: write the offer's"),
            line(f'necessity = "{necessity}"', "what is not possible without it"),
            line(f"lead_months = {lead}", "from order to running"),
            line(f'needs = ["{needs}"]' if needs else "needs = []", "ordered before it, or with it"),
            line(f"gives = {gives}", "sheets a week, by resource"),
            *([adds[name]] if name in adds else []),
        ]
    for of, low, high in (
        ("price_per_sheet", -0.15, 0.10),
        ("demand_per_week", -0.40, 0.20),
        ("yield", -0.06, 0.03),
    ):
        lines += [
            "",
            line("[[ranges]]", "how far off a number may be"),
            line(f'of = "{of}"', "which"),
            line(f"low = {low}", "relative, the least"),
            line(f"high = {high}", "the most"),
        ]
    return "\n".join(lines) + "\n"


def _adds(a: StartAnswers) -> dict[str, str]:
    """What the purchases that make it faster do to shop.toml, so that weeks can be planned with and without them.

    All of a kind, not ids: what stands there can be renamed and added to.
    """
    found = {}
    if a.cooling_press and a.fans:
        found["FANS"] = line('adds = ["fans"]', "those of shop.toml, and not there without it")
    if a.frame_thicknesses:
        words = "one more of each in shop.toml; or name some, by id"
        found["MOULDS2"] = line('adds_like = ["frames", "skins"]', words)
    return found

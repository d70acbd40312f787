"""supply.toml as the rest of the house knows it: the connection, what hangs on it, what is wired to what.

`flatstock supply` and the week plan both read it here, so that their amperes agree. SI floats: watts,
amperes, volts, metres; temperatures in °C.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, cast

from flatstock.evidence import Kind, Value
from flatstock.workshop.row import Row
from flatstock.workshop.spots import Notes

__all__ = ["Connection", "Control", "Load", "Rule", "Supply", "Use", "supply_of", "usual_steps", "volts_of"]

Connection = Literal["3P", "LN", "LL"]
Control = Literal["steady", "on_off", "proportional", "motor"]
_SPLIT = 0.02  # two legs of a one-phase supply: twice the volts between them as to neutral, this near


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """Something that draws current."""

    id: str
    connection: Connection
    power: float  #: electrical, as it hangs on this supply [W]
    power_factor: float  #: lagging
    control: Control
    elements: int | None = None
    start_factor: float | None = None  #: starting over running current
    start_time: float | None = None  #: [s]
    phase: int | None = None  #: 1, 2, 3; of `LL`: the first of its two lines (3: L3-L1); None: not settled
    fixed: bool = False  #: can't be moved to another phase
    #: in each of its lines, measured or from the plate [A]; goes before the power
    current: float | None = None
    continuous: bool = False  #: three hours and more
    own_rated: float | None = None  #: its own protective device [A]
    own_characteristic: str = "C"
    hours: float | None = None  #: on, of a day that is worked [h]
    evidence: Kind = "measured"  #: behind its power
    at: str | None = None  #: the item of room.toml that it belongs to
    on_during: tuple[str, ...] = (
        "always",
    )  #: steps and settings of a week plan; as written, else `usual_steps`

    @property
    def heats(self) -> bool:
        """True for what is made of heating elements: resistive, and switched on and off in full."""
        return self.control in ("on_off", "proportional") or self.elements is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """What may not run together: while `when` is on, `then` draws at most `share` of its current."""

    when: str
    then: str
    share: float
    wired: bool  #: an interlock; a habit does not count


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """How much is pressed; None: not said."""

    days_per_month: int | None = None
    hot_time: float | None = None  #: of a day [s]
    sheets_per_day: float | None = None
    cycle: float | None = None  #: [s]
    energy_per_sheet: float | None = None  #: [J]
    heated_mass: float | None = None  #: [kg]
    heat_capacity: float | None = None  #: [J/kgK]
    loss: float | None = None  #: [W/K]
    hot: float | None = None  #: [°C]
    room: float | None = None  #: [°C]


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """The connection and everything on it."""

    shop: str
    kind: Literal["grid", "generator"]
    rule: Literal["IEC", "NEC"]
    phases: int  #: as written: 1 or 3
    volts_LL: float | None  #: None: one line and neutral only
    volts_LN: float
    rated: float  #: main protective device, each phase [A]
    characteristic: Literal["B", "C", "D", "fuse"]
    cable_area: float | None  #: of one conductor [m2]
    cable: float | None  #: length [m]
    method: str | None
    ambient: float  #: [°C]
    residual: float | None  #: [A]
    generator: float | None  #: [VA]
    energy_price: Value | None  #: [per J]
    demand_price: float  #: [per W and month]
    loads: tuple[Load, ...]
    rules: tuple[Rule, ...]
    use: Use

    @property
    def lines(self) -> int:
        """Live conductors: 3; 1; or 2 where a one-phase supply has two legs (240/120 V)."""
        if self.phases == 3:
            return 3
        split = self.volts_LL is not None and abs(self.volts_LL / self.volts_LN / 2 - 1) < _SPLIT
        return 2 if split else 1


def supply_of(row: Row, notes: Notes) -> Supply | None:
    """The supply that a row of supply.toml stands for; what doesn't fit together is noted. None with faults."""
    before = len(notes.faults)
    table = row.table("supply")
    if table is None or not (table.has("phases") and table.has("rated")):
        return None
    volts = _volts(table, notes)
    if volts is None:
        return None
    line, neutral, phases = volts
    bare = _supply(row, table, line, neutral, phases)
    loads = [load for part in row.tables("loads") if (load := _load(part, bare, notes))]
    _unique(row, notes)
    rules = _rules(row, {part.text("id") for part in row.tables("loads")}, notes)
    if len(notes.faults) > before:
        return None
    return _supply(row, table, line, neutral, phases, tuple(loads), rules)


def _volts(table: Row, notes: Notes) -> tuple[float | None, float, int] | None:
    """Volts between lines (None: one line), volts to neutral, phases; None with a fault."""
    phases = table.count("phases")
    if phases == 2:
        notes.fault(*table.at("phases"), "2 phases", "write 3, or 1 (two legs of 240/120 V are one phase)")
        return None
    line, neutral = table.maybe("volts_LL"), table.maybe("volts_LN")
    if line is None and neutral is None:
        what = "neither volts_LL nor volts_LN is given"
        notes.fault(
            *table.at("phases"), what, "write volts_LL = 400 and volts_LN = 230, or what the meter says"
        )
        return None
    if phases == 1:
        return line, float(neutral or line or 0), 1
    if neutral is None and line is not None:
        return line, line / 3**0.5, 3
    assert neutral is not None
    line = 3**0.5 * neutral if line is None else line
    if abs(line / neutral / 3**0.5 - 1) > 0.03:
        what = f"{line:g} V between lines and {neutral:g} V to neutral don't belong together in three phases"
        notes.fault(*table.at("volts_LN"), what, f"{line:g} V goes with {line / 3**0.5:.0f} V")
        return None
    return line, neutral, 3


def _supply(
    row: Row,
    table: Row,
    line: float | None,
    neutral: float,
    phases: int,
    loads: tuple[Load, ...] = (),
    rules: tuple[Rule, ...] = (),
) -> Supply:
    return Supply(
        shop=row.text("shop"),
        kind="generator" if table.text("kind") == "generator" else "grid",
        rule="NEC" if table.text("rule") == "NEC" else "IEC",
        phases=phases,
        volts_LL=line,
        volts_LN=neutral,
        rated=table.number("rated"),
        characteristic=cast(Literal["B", "C", "D", "fuse"], table.text("characteristic") or "C"),
        cable_area=table.maybe("cable_area"),
        cable=table.maybe("cable"),
        method=table.maybe_text("method"),
        ambient=table.number("ambient") if table.has("ambient") else 30.0,
        residual=table.maybe("residual"),
        generator=table.maybe("generator"),
        energy_price=table.maybe_value("energy_price"),
        demand_price=table.maybe("demand_price") or 0.0,
        loads=loads,
        rules=rules,
        use=_use(row.table("use")),
    )


def _use(row: Row | None) -> Use:
    if row is None:
        return Use()
    return Use(
        days_per_month=row.count("days_per_month") if row.has("days_per_month") else None,
        hot_time=row.maybe("hot"),
        sheets_per_day=row.maybe("sheets"),
        cycle=row.maybe("cycle"),
        energy_per_sheet=row.maybe("energy_per_sheet"),
        heated_mass=row.maybe("heated_mass"),
        heat_capacity=row.maybe("heated"),
        loss=row.maybe("loss"),
        hot=row.maybe("set_point"),
        room=row.maybe("room"),
    )


def _load(row: Row, supply: Supply, notes: Notes) -> Load | None:
    before = len(notes.faults)
    fixed_phase = _fixed(row, notes)
    phase = fixed_phase or (row.count("phase") if row.has("phase") else None)
    connection = cast(Connection, row.text("connection"))
    _hangs(row, connection, phase, supply, notes)
    _motor(row, notes)
    if len(notes.faults) > before or not (row.has("id") and connection and row.has("power_factor")):
        return None
    factor = row.number("power_factor")
    volts = volts_of(connection, supply)
    current = row.maybe("current")
    power = row.maybe("input")
    if power is None:
        if current is None:
            return None
        power = current * factor * (3**0.5 * volts if connection == "3P" else volts)
    control = cast(Control, row.text("control") or "steady")
    if row.has("built_for") and current is None:
        power *= (volts / row.number("built_for")) ** 2
    elements = row.count("elements") if row.has("elements") else None
    heats = control in ("on_off", "proportional") or elements is not None
    return Load(
        id=row.text("id"),
        connection=connection,
        power=power,
        power_factor=factor,
        control=control,
        elements=elements,
        start_factor=row.maybe("start_factor"),
        start_time=row.maybe("start"),
        phase=None if connection == "3P" else (phase or (1 if supply.lines == 1 else None)),
        at=row.maybe_text("at"),
        fixed=fixed_phase is not None or row.values.get("fixed_phase") is True,
        current=current,
        continuous=row.flag("continuous") if "continuous" in row.lines else heats,
        own_rated=row.maybe("own_rated"),
        own_characteristic=row.text("own_characteristic") or "C",
        hours=row.maybe("hours"),
        evidence=row.evidence("current" if current is not None else "input"),
        on_during=row.texts("on_during") or usual_steps(row.text("id"), heats=heats),
    )


#: parts of a load's name, and when such a thing usually runs
_USUALLY: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...] = (
    (("saw", "trim", "extract", "dust"), ("trim",)),
    (("pump", "hydraul"), ("load", "transfer", "press_cool")),
    (("dryer", "drier"), ("dry",)),
    (("hood", "fume"), ("heated",)),
)


def usual_steps(name: str, *, heats: bool) -> tuple[str, ...]:
    """When a load is on in a week plan, where its file does not say; what nobody knows counts as always on.

    >>> usual_steps("SAW1", heats=False), usual_steps("LIGHT", heats=False), usual_steps("TOP", heats=True)
    (('trim',), ('always',), ('heated',))
    """
    low = name.lower()
    found = next((steps for words, steps in _USUALLY if any(word in low for word in words)), None)
    return found or (("heated",) if heats else ("always",))


def volts_of(connection: Connection, supply: Supply) -> float:
    """The volts that a load hangs on: between lines, or line to neutral [V]."""
    return supply.volts_LN if connection == "LN" or supply.volts_LL is None else supply.volts_LL


def _fixed(row: Row, notes: Notes) -> int | None:
    """The phase that `fixed_phase` names; None where it says true, false or nothing."""
    said = row.values.get("fixed_phase")
    if said is None or isinstance(said, bool):
        if said is True and not row.has("phase") and row.text("connection") != "3P":
            notes.fault(*row.at("fixed_phase"), "it is fixed to no phase", "give the phase too: phase = 1")
        return None
    text = str(said).strip().upper().removeprefix("L")
    if text in ("1", "2", "3"):
        if row.has("phase") and row.count("phase") != int(text):
            notes.fault(
                *row.at("fixed_phase"), f"fixed to L{text}, but phase is {row.count('phase')}", "keep one"
            )
        return int(text)
    notes.fault(
        *row.at("fixed_phase"), f"{said!r} is neither true, false nor a phase", "write true, or 1, 2 or 3"
    )
    return None


def _hangs(row: Row, connection: str, phase: int | None, supply: Supply, notes: Notes) -> None:
    """What the supply has not: a third phase, two lines, a phase of that number."""
    if connection == "3P" and supply.lines < 3:
        instead = "take a one-phase machine (connection LN), or ask the network for three phases"
        notes.fault(*row.at("connection"), "a three-phase load on a supply of one phase", instead)
    if connection == "LL" and supply.lines == 1:
        instead = "write LN, or give volts_LL and volts_LN of two legs (240 and 120)"
        notes.fault(*row.at("connection"), "a load between lines on a supply of one line", instead)
    if phase is not None and phase > supply.lines and connection == "LN":
        have = "L1" if supply.lines == 1 else f"L1 to L{supply.lines}"
        key = "phase" if row.has("phase") else "fixed_phase"
        notes.fault(
            *row.at(key),
            f"phase {phase} of a supply that has {have}",
            "write 1" if supply.lines == 1 else f"write 1 to {supply.lines}",
        )
    if connection == "LL" and supply.lines == 2 and phase not in (None, 1):
        notes.fault(*row.at("phase"), f"phase {phase} of two legs", "leave it out, or write 1")


def _motor(row: Row, notes: Notes) -> None:
    """Shaft power taken for input."""
    shaft = row.maybe("shaft")
    if shaft is None:
        return
    likely = shaft / 0.85  # a common small motor; only to show the size of it
    instead = f"write the electrical input of the plate, perhaps about {likely / 1000:.2f} kW"
    if not row.has("input") and not row.has("current"):
        notes.fault(
            *row.at("shaft"), f"{shaft / 1000:g} kW at the shaft is not what the motor draws", instead
        )
    elif row.has("input") and row.number("input") <= shaft:
        what = f"{row.number('input') / 1000:g} kW is no more than the {shaft / 1000:g} kW of its shaft"
        notes.fault(*row.at("input"), f"{what}: shaft power taken for input", instead)


def _unique(row: Row, notes: Notes) -> None:
    seen: set[str] = set()
    for part in row.tables("loads"):
        name = part.text("id")
        if name and name in seen:
            notes.fault(*part.at("id"), f"{name} is there already", "give each load a name of its own")
        seen.add(name)


def _rules(row: Row, known: set[str], notes: Notes) -> tuple[Rule, ...]:
    found = []
    for part in row.tables("rules"):
        for key in ("when", "then"):
            if part.text(key) and part.text(key) not in known:
                listed = ", ".join(sorted(known)) or "none"
                notes.fault(*part.at(key), f"no load {part.text(key)!r} here", f"one of {listed}")
        if part.text("when") and part.text("when") == part.text("then"):
            notes.fault(*part.at("then"), f"{part.text('then')} held back by itself", "name another load")
        if part.has("when") and part.has("then") and part.has("by"):
            found.append(Rule(
                when=part.text("when"), then=part.text("then"),
                share=part.number("share") if part.has("share") else 0.0, wired=part.text("by") == "interlock",
            ))  # fmt: skip
    return tuple(found)

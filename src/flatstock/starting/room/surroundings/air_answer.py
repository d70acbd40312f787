"""Air of a room: what each hood takes in, changes, winter, and what mere dilution must not be left with."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from flatstock.errors import Fault, Refused
from flatstock.evidence import Value
from flatstock.starting.room.surroundings.air import (
    air_changes,
    canopy_flow,
    dilution_flow,
    duct_velocity,
    enclosed_flow,
    make_up_heat,
    mg_per_m3,
    opening_flow,
    people_at_most,
)
from flatstock.starting.room.surroundings.asked import COLDER, AirAsked, Hood
from flatstock.starting.room.surroundings.figures import figures

__all__ = ["air_part", "captured_gases"]

Document = dict[str, Any]
J_PER_KWH = 3.6e6


def captured_gases(plastics: Iterable[str]) -> dict[str, list[str]]:
    """For each plastic the gases of its fume that must be caught where they rise, in words.

    >>> captured_gases(["hdpe", "pp"])
    {'pp': ['formaldehyde', 'acrolein']}
    """
    table, gases = figures()["fume"], figures()["gases"]
    found = {}
    for plastic in sorted(set(plastics)):
        named = [gases[gas]["what"] for gas in table.get(plastic, ["unknown"]) if gases[gas]["capture"]]
        if named:
            found[plastic] = named
    return found


def air_part(
    asked: AirAsked,
    *,
    floor: float,
    height: float | None,
    inside: float,
    plastics: Iterable[str],
    energy_price: Value | None,
) -> Document:
    """The part `air` of the room's document.

    Parameters
    ----------
    floor, height : float
        Of the room [m2], [m]; a height of None is not known.
    inside : float
        What the room is kept at, where the file does not say [°C].
    plastics
        Ids of what is on file.
    energy_price
        [money/J], where the file names no price of heat.

    Raises
    ------
    Refused
        Dilution is asked for a gas that must be caught where it rises, or while such gases come from a plastic
        on file.
    """
    volume = None if height is None else floor * height
    captured = captured_gases(plastics)
    _refuse_dilution(asked, captured)
    difference = COLDER if asked.outside is None else (asked.inside or inside) - asked.outside
    price = asked.heat_price if asked.heat_price is not None else energy_price.value if energy_price else None
    hoods = [_hood(hood, volume, difference, asked.runs, price) for hood in asked.hoods]
    return {
        "hoods": hoods,
        "room_m3": None if volume is None else round(volume, 3),
        "people_at_most": None if height is None else people_at_most(floor, height),
        "difference_K": round(difference, 2),
        "difference_kind": "assumed" if asked.outside is None else "measured",
        "must_be_caught": [{"plastic": plastic, "gases": gases} for plastic, gases in captured.items()],
        "text": _words(captured),
    }


def _hood(
    hood: Hood, volume: float | None, difference: float, runs: float | None, price: float | None
) -> Document:
    flow, velocity, kind = _flow(hood)
    changes = None if volume is None else air_changes(flow, volume)
    heat = make_up_heat(flow, difference)
    energy = None if runs is None else heat * runs / J_PER_KWH
    return {
        "id": hood.id,
        "kind": hood.kind,
        "velocity_m_s": velocity,
        "velocity_kind": kind,
        "sizes_kind": "assumed" if hood.assumed else "measured",
        "flow_m3_h": round(flow * 3600, 1),
        "changes_per_h": None if changes is None else round(changes, 2),
        "make_up_kW": round(heat / 1000, 3),
        "winter_kWh": None if energy is None else round(energy, 1),
        "winter_cost": None if energy is None or price is None else round(energy * price * J_PER_KWH, 2),
        "duct_m_s": None if hood.duct is None else round(duct_velocity(flow, hood.duct), 2),
        "text": _habit(changes),
    }


def _flow(hood: Hood) -> tuple[float, float | None, str]:
    """Flow [m3/s], velocity [m/s], and the kind of evidence behind the velocity."""
    of = hood.sizes
    if hood.kind == "dilution":
        gas = figures()["gases"][hood.gas]
        target = of["target"] * 1e6 * mg_per_m3(gas["molar_mass_g"])
        return dilution_flow(of["emission"] * 3.6e6, of["mixing"], target), None, "computed"
    usual = figures()["hoods"][hood.kind]["velocity_m_s"]
    velocity = usual["value"] if hood.velocity is None else hood.velocity
    kind = usual["kind"] if hood.velocity is None else "measured"
    if hood.kind == "canopy":
        return canopy_flow(of["perimeter"], of["rise"], velocity), velocity, kind
    if hood.kind == "enclosed":
        return enclosed_flow(of["face_width"], of["face_height"], velocity), velocity, kind
    area = of["face_width"] * of["face_height"]
    return opening_flow(of["reach"], area, velocity, flanged=hood.kind == "flanged"), velocity, kind


def _refuse_dilution(asked: AirAsked, captured: Mapping[str, list[str]]) -> None:
    gases, faults = figures()["gases"], []
    for hood in asked.hoods:
        if hood.kind != "dilution":
            continue
        reasons = (
            [f"{gases[hood.gas]['what']} must be caught where it rises"] if gases[hood.gas]["capture"] else []
        )
        reasons += [
            f"{plastic.upper()} on file gives off {' and '.join(named)}"
            for plastic, named in captured.items()
        ]
        if reasons:
            what = f"dilution alone is refused: {'; '.join(reasons)}"
            instead = "enclose the opening or catch at it; an occupational hygienist decides"
            faults.append(Fault(f"room.toml, air.hoods.{hood.id}", what, instead))
    if faults:
        raise Refused(faults)


def _habit(changes: float | None) -> str:
    """What becomes of an extract in winter, by how often it changes the room's air."""
    if changes is None:
        return "the room's height is not known, so its air changes are not either"
    winter = figures()["winter"]
    if changes > winter["many_changes_per_h"]["value"]:
        return "so many changes that in winter somebody will switch it off: enclose before enlarging"
    return ""


def _words(captured: Mapping[str, list[str]]) -> str:
    start = "Make-up air enters behind whoever works there, not across the hood; saw dust has an extract of its own"
    if not captured:
        return f"{start}."
    listed = "; ".join(f"{plastic.upper()}: {', '.join(gases)}" for plastic, gases in captured.items())
    return f"{start}. To be caught where they rise, never only thinned: {listed}."

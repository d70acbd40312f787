"""supply.toml, room.toml and outlay.toml: read lightly here; the commands of the same names read the rest."""

from __future__ import annotations

from flatstock.workshop.fields import Field, Layout, Table

__all__ = ["OUTLAY", "ROOM", "SUPPLY"]


def _format(name: str) -> Field:
    return Field(
        name="format",
        kind="text",
        required=True,
        choices=(name,),
        example=f'"{name}"',
        meaning="names this kind of file",
    )


_SHOP = Field(name="shop", kind="text", example='"demo"', default="none", meaning="the shop's name")

_SUPPLY = Table(
    name="the connection",
    fields=(
        Field(name="kind", kind="choice", choices=("grid", "generator"), preset="grid", example='"grid"', meaning="what feeds the shop"),
        Field(name="rule", kind="text", choices=("IEC", "NEC"), preset="IEC", example='"IEC"', meaning="whose rules the cable is judged by"),
        Field(name="phases", kind="count", required=True, low=1, high=3, example="3", meaning="1 or 3"),
        Field(name="volts_LL", kind="count", low=50, high=1000, example="400", default="none", meaning="volts between lines"),
        Field(name="volts_LN", kind="count", low=50, high=1000, example="230", default="none", meaning="volts between line and neutral"),
        Field(name="rated_A", required=True, low=1, high=6000, example="40", meaning="main protective device, each phase"),
        Field(name="characteristic", kind="text", choices=("B", "C", "D", "fuse"), preset="C", example='"C"', meaning="of the main device"),
        Field(name="cable_mm2", handed_on_as="cable_area", low=0.5, high=1000, example="10", default="not known", meaning="cross section of one conductor"),
        Field(name="cable_m", low=0.1, high=5000, example="30", default="not known", meaning="length of the cable"),
        Field(name="method", kind="text", example='"C"', default="not known", meaning="how the cable is laid"),
        Field(name="ambient_C", low=-30, high=70, preset=30, example="30", meaning="around the cable"),
        Field(name="residual_mA", low=1, high=3000, example="30", default="none", meaning="rating of the residual current device"),
        Field(name="generator_kVA", low=0.5, high=10000, example="40", default="none", meaning="of a generator"),
        Field(name="energy_price_per_kWh", kind="value", low=0, high=1000, example="0.28", default="not known", meaning="in the shop's money"),
        Field(name="demand_price_per_kW_month", kind="number", low=0, high=10000, preset=0, example="0", meaning="in the shop's money"),
    ),
)  # fmt: skip
_LOAD = Table(
    name="something that draws current",
    fields=(
        Field(name="id", kind="id", required=True, example='"HEAT"', meaning="its name; unique"),
        Field(name="connection", kind="text", choices=("3P", "LN", "LL"), required=True, example='"3P"', meaning="three phases, line to neutral, line to line"),
        Field(name="input_kW", required=True, low=0, high=10000, example="18", meaning="electrical power drawn, not shaft power"),
        Field(name="power_factor", low=0.05, high=1, preset=1, example="1", meaning="at that power"),
        Field(name="control", kind="choice", choices=("steady", "on_off", "proportional", "motor"), preset="steady", example='"on_off"', meaning="how it draws"),
        Field(name="elements", kind="count", low=1, high=1000, example="12", default="none", meaning="heating elements"),
        Field(name="start_factor", low=1, high=20, example="7", default="none", meaning="starting current over running current"),
        Field(name="start_s", low=0, high=600, example="2", default="none", meaning="how long the start lasts"),
        Field(name="phase", kind="count", low=1, high=3, example="1", default="free", meaning="the phase it hangs on now"),
        Field(name="fixed_phase", kind="flag", preset=False, example="true", meaning="true where it can't be moved to another phase"),
        Field(name="current_A", low=0, high=10000, example="8.7", default="from the power", meaning="as measured"),
    ),
)  # fmt: skip
_RULE = Table(
    name="what may not run together",
    fields=(
        Field(name="when", kind="id", required=True, example='"SAW"', meaning="while this load is on"),
        Field(name="then", kind="id", required=True, example='"HEAT"', meaning="this load is held back"),
        Field(name="share", low=0, high=1, preset=0, example="0.75", meaning="of its current that it may draw; 0: off"),
        Field(name="by", kind="choice", choices=("interlock", "habit"), required=True, example='"interlock"', meaning="only interlocks count"),
    ),
)  # fmt: skip

SUPPLY = Layout(
    file="supply.toml",
    about="The electrical connection and what hangs on it. Anything at a terminal is a licensed electrician's work.",
    table=Table(
        name="a supply",
        fields=(
            _format("flatstock.supply/1"),
            _SHOP,
            Field(name="supply", kind="table", table=_SUPPLY, required=True, example="[supply]", meaning="the connection"),
            Field(name="loads", kind="tables", table=_LOAD, default="none", example="[[loads]]", meaning="what draws current"),
            Field(name="rules", kind="tables", table=_RULE, default="none", example="[[rules]]", meaning="what may not run together"),
        ),
    ),
)  # fmt: skip

ROOM = Layout(
    file="room.toml",
    about="The room and the machines to stand in it. Here only the fields below are read; the rest is kept for the room plan.",
    table=Table(
        name="a room",
        open=True,
        fields=(
            _format("flatstock.room/1"),
            _SHOP,
            Field(name="grid_mm", low=1, high=10000, example="100", default="none", meaning="every placed corner is a multiple of it"),
            Field(name="room", kind="any", required=True, example="[room]", meaning="the room's outline, doors and columns"),
            Field(name="rules", kind="any", example="[rules]", default="none", meaning="widths of ways"),
            Field(name="items", kind="any", example="[[items]]", default="none", meaning="what stands in the room"),
        ),
    ),
)  # fmt: skip

OUTLAY = Layout(
    file="outlay.toml",
    about="What to buy when. Here only the fields below are read; the rest is kept for the purchase plan.",
    table=Table(
        name="an outlay",
        open=True,
        fields=(
            _format("flatstock.outlay/1"),
            _SHOP,
            Field(name="currency", kind="text", example='"XCU"', default="none", meaning="the shop's money"),
            Field(name="starts", kind="date", example="2026-03-01", default="none", meaning="first day of month 0"),
            Field(name="months", kind="count", low=1, high=600, example="24", default="none", meaning="how far to look"),
            Field(name="purchases", kind="any", example="[[purchases]]", default="none", meaning="what could be bought"),
        ),
    ),
)  # fmt: skip

"""shop.toml: the shop, how it works, its machines, moulds and people."""

from __future__ import annotations

from flatstock.workshop.fields import Field, Layout, Table
from flatstock.workshop.layouts.presses import COOLING_PRESS, HOT_PRESS, RACK, STACK

__all__ = ["SHOP"]


def _id(example: str) -> Field:
    return Field(
        name="id", kind="id", required=True, example=example, meaning="what the shop calls it; unique"
    )


_DWELL = Table(
    name="a dwell that the shop has found to work",
    fields=(
        Field(name="plastic", kind="text", refers="plastics", required=True, example='"hdpe"', meaning="a plastic's ID"),
        Field(name="thickness_mm", required=True, low=0.2, high=100, example="12", meaning="of the sheet"),
        Field(name="dwell_min", required=True, low=0.1, high=1440, example="28", meaning="time in the hot press"),
    ),
)  # fmt: skip

PRACTICE = Table(
    name="how this shop works",
    fields=(
        Field(name="flash_allowance_percent", kind="value", low=0, high=30, example="2.5",
              library="practice.flash_allowance_percent", meaning="weighed in over the net charge"),
        Field(name="thickness_tolerance_mm", low=0.001, high=5, preset=0.05, example="0.05",
              meaning="what the charge may be off, as thickness of the sheet"),
        Field(name="contact_pressure_MPa", kind="value", low=0, high=50, example="0.03",
              library="practice.contact_pressure_MPa", meaning="on the sheet while the charge melts"),
        Field(name="full_pressure_MPa", kind="value", low=0.001, high=50, example="[0.2, 0.25, 0.3]",
              library="practice.full_pressure_MPa", meaning="on the sheet to consolidate it"),
        Field(name="following_pressure_MPa", kind="value", low=0, high=50, example="0.1",
              library="practice.following_pressure_MPa", meaning="on the sheet in the cooling press"),
        Field(name="breathe_min", low=0, high=30, preset=0.25, example="0.25", meaning="one breathing cycle"),
        Field(name="soak_min", low=0, high=600, preset=15, example="15", meaning="to even out after heat-up"),
        Field(name="settle_min", low=0, high=600, preset=5, example="5",
              meaning="both sensors within the band after a change of set-point"),
        Field(name="weigh_min", low=0, high=240, preset=4, example="4", meaning="to weigh one charge"),
        Field(name="prepare_min", low=0, high=240, preset=5, example="5", meaning="to lay up one mould"),
        Field(name="load_min", low=0, high=240, preset=3, example="3", meaning="bench to hot press, two people"),
        Field(name="transfer_min", low=0, high=240, preset=3, example="3", meaning="hot press to cooling press, two people"),
        Field(name="move_min", low=0, high=240, preset=3, example="3", meaning="cooling place to cooling place"),
        Field(name="demould_min", low=0, high=240, preset=6, example="6", meaning="to take a sheet out"),
        Field(name="trim_min", low=0, high=240, preset=8, example="8", meaning="to trim a sheet"),
        Field(name="clean_light_to_dark_min", low=0, high=600, preset=2, example="2", meaning="skins and platens between colours"),
        Field(name="clean_dark_to_light_min", low=0, high=600, preset=10, example="10", meaning="skins and platens between colours"),
        Field(name="edge_trim_mm", low=0, high=500, preset=10, example="10", meaning="cut from each edge at least"),
        Field(name="trimmed_length_mm", low=10, high=20000, example="1200", default="what the trim leaves",
              meaning="of the sheet as sold"),
        Field(name="trimmed_width_mm", low=10, high=20000, example="800", default="what the trim leaves",
              meaning="of the sheet as sold"),
        Field(name="two_person_lift_kg", low=1, high=100, preset=33, example="33",
              meaning="most that two people lift by hand: two thirds of what each may lift alone, added"),
        Field(name="condition_h", low=0, high=1000, preset=12, example="12",
              meaning="flat rest before a sheet is cut to size; an order may ask otherwise"),
        Field(name="dwell", kind="tables", table=_DWELL, default="none", example="[[practice.dwell]]",
              meaning="dwells that the shop has found to work; the advised dwell is never shorter"),
    ),
)  # fmt: skip

FRAME = Table(
    name="a picture frame: it gives the sheet its plan, not its thickness",
    fields=(
        Field(name="id", kind="id", example='"F12-1"', meaning="what the shop calls it; unique"),
        Field(name="ids", kind="texts", example='["F12-1", "F12-2"]', meaning="in the place of `id`: several that are alike"),
        Field(name="thickness_mm", required=True, low=0.2, high=200, example="12", meaning="of the frame"),
        Field(name="cavity_length_mm", required=True, low=10, high=10000, example="1250", meaning="inside"),
        Field(name="cavity_width_mm", required=True, low=10, high=10000, example="840", meaning="inside"),
        Field(name="outside_length_mm", required=True, low=10, high=10000, example="1330", meaning="outside"),
        Field(name="outside_width_mm", required=True, low=10, high=10000, example="920", meaning="outside"),
        Field(name="metal", kind="text", refers="metals", preset="mild_steel", example='"mild_steel"', meaning="a metal of the library or of `[metals.ID]`"),
        Field(name="mass_kg", low=0.01, high=5000, example="16.4", default="from its measures", meaning="weighed"),
    ),
    one_of=(("id", "ids"),),
)  # fmt: skip

SKIN = Table(
    name="a pair of skins, one under and one over the charge",
    fields=(
        Field(name="id", kind="id", example='"S01-02"', meaning="what the shop calls the pair; unique"),
        Field(name="ids", kind="texts", example='["S01-02", "S03-04"]', meaning="in the place of `id`: several pairs that are alike"),
        Field(name="length_mm", required=True, low=10, high=10000, example="1350", meaning="of a skin"),
        Field(name="width_mm", required=True, low=10, high=10000, example="940", meaning="of a skin"),
        Field(name="thickness_mm", required=True, low=0.05, high=50, example="2", meaning="of a skin"),
        Field(name="metal", kind="text", refers="metals", preset="mild_steel", example='"mild_steel"', meaning="a metal of the library or of `[metals.ID]`"),
        Field(name="mass_kg", low=0.01, high=5000, example="19.9", default="from its measures", meaning="of one skin, weighed"),
        Field(name="fit_for_use", kind="flag", preset=True, example="true", meaning="false takes the pair out of use"),
    ),
    one_of=(("id", "ids"),),
)  # fmt: skip

_LOAD = Field(
    name="load_max_kg",
    low=0.1,
    high=100000,
    example="250",
    default="no limit on file",
    meaning="most it may carry or take",
)
_CAPACITY = Field(
    name="capacity",
    kind="count",
    low=1,
    high=100,
    preset=1,
    example="1",
    meaning="moulds, sheets or tasks at once",
)

BENCH = Table(name="a lay-up bench", fields=(_id('"BENCH"'), _CAPACITY, _LOAD))
LIFT = Table(
    name="a lifting aid",
    fields=(_id('"LT1"'), _CAPACITY,
            Field(name="load_max_kg", required=True, low=0.1, high=100000, example="250", meaning="most it may lift")),
)  # fmt: skip
SAW = Table(
    name="a saw",
    fields=(_id('"SAW1"'), _CAPACITY,
            Field(name="kerf_mm", low=0.2, high=20, example="3.2", default="not known", meaning="width of the cut")),
)  # fmt: skip
DRYER = Table(
    name="a dryer for flake",
    fields=(
        _id('"DR1"'),
        Field(name="load_max_kg", required=True, low=0.1, high=100000, example="40", meaning="flake in one load"),
        Field(name="temperature_C", required=True, low=20, high=180, example="65", meaning="of the air"),
        Field(name="time_h", required=True, low=0.05, high=200, example="2", meaning="of one load"),
    ),
)  # fmt: skip
SCALE = Table(
    name="a scale",
    fields=(
        _id('"SCALE60"'),
        Field(name="capacity_kg", required=True, low=0.001, high=100000, example="60", meaning="largest load"),
        Field(name="step_g", required=True, low=0.0001, high=100000, example="20", meaning="smallest step shown"),
    ),
)  # fmt: skip

_PRESENT = Table(
    name="a stay in the shop",
    fields=(
        Field(name="days", kind="days", required=True, example='"mon-fri"', meaning="weekdays"),
        Field(name="start", kind="clock", required=True, example='"07:15"', meaning="comes"),
        Field(name="end", kind="clock", required=True, example='"15:45"', meaning="goes"),
        Field(name="lunch_start", kind="clock", example='"12:00"', default="no break", meaning="break begins"),
        Field(name="lunch_end", kind="clock", example='"12:30"', default="no break", meaning="break ends"),
    ),
)  # fmt: skip
PERSON = Table(
    name="somebody who works here, by role code",
    fields=(
        _id('"OP1"'),
        Field(name="role", kind="text", example='"press lead"', default='""', meaning="in words"),
        Field(name="skills", kind="texts", preset=[], choices=("hot_transfer", "saw"), example='["hot_transfer", "saw"]',
              meaning="what the person is trained and allowed to do"),
        Field(name="present", kind="tables", table=_PRESENT, default="never", example="[[people.present]]",
              meaning="when the person is in the shop"),
        Field(name="lift_max_kg", low=0, high=60, preset=16, example="25", meaning="what this person may lift alone"),
    ),
)  # fmt: skip
METAL = Table(
    name="a metal of the shop's own; of a library metal only what differs",
    fields=(
        Field(name="density_kg_m3", kind="value", low=500, high=23000, example="7850", default="the library's", meaning="density"),
        Field(name="specific_heat_J_kgK", kind="value", low=50, high=5000, example="490", default="the library's", meaning="specific heat capacity"),
        Field(name="conductivity_W_mK", kind="value", low=1, high=500, example="50", default="the library's", meaning="heat conductivity"),
    ),
)  # fmt: skip

SHOP = Layout(
    file="shop.toml",
    about="The shop itself: its presses, moulds, places and people, and how it works. The only file a workshop must have.",
    table=Table(
        name="a workshop",
        fields=(
            Field(name="format", kind="text", required=True, choices=("flatstock.shop/1",), example='"flatstock.shop/1"',
                  meaning="names this kind of file"),
            Field(name="name", kind="text", required=True, example='"Lower Sluice Sheet Workshop"', meaning="printed on every card"),
            Field(name="time_zone", kind="text", preset="UTC", example='"Europe/Lisbon"', meaning="IANA name of the shop's clock"),
            Field(name="units", kind="choice", choices=("metric", "us"), preset="metric", example='"metric"',
                  meaning="what answers are shown in; files take both"),
            Field(name="paper", kind="choice", choices=("a4", "letter"), preset="a4", example='"a4"', meaning="what prints are made for"),
            Field(name="room_C", kind="value", required=True, low=-30, high=60, example="18", meaning="air in the shop; where moulds and flake start"),
            Field(name="today", kind="date", example="2026-03-02", default="the clock's day",
                  meaning="the day a made-up workshop stands still on"),
            Field(name="default_hot_press", kind="text", refers="hot_presses", example='"HP1"', default="the first", meaning="taken where none is named"),
            Field(name="default_cooling_press", kind="text", refers="cooling_presses", example='"CP1"', default="the first", meaning="taken where none is named"),
            Field(name="default_stack", kind="text", refers="stacks", example='"ST1"', default="the first", meaning="taken where none is named"),
            Field(name="energy_price_per_kWh", kind="value", low=0, high=1000, example="0.28",
                  default="that of supply.toml, else not known", meaning="in the shop's money; not needed beside a supply.toml"),
            Field(name="practice", kind="table", table=PRACTICE, default="all defaults", example="[practice]", meaning="how this shop works"),
            Field(name="metals", kind="named", table=METAL, default="the library's", example="[metals.mild_steel]", meaning="metals of the shop's own"),
            Field(name="hot_presses", kind="tables", table=HOT_PRESS, required=True, example="[[hot_presses]]", meaning="presses with heated platens"),
            Field(name="cooling_presses", kind="tables", table=COOLING_PRESS, default="none", example="[[cooling_presses]]", meaning="unheated presses"),
            Field(name="stacks", kind="tables", table=STACK, default="none", example="[[stacks]]", meaning="places where moulds cool on each other"),
            Field(name="racks", kind="tables", table=RACK, default="none", example="[[racks]]", meaning="places where moulds cool apart"),
            Field(name="frames", kind="tables", table=FRAME, required=True, example="[[frames]]", meaning="picture frames"),
            Field(name="skins", kind="tables", table=SKIN, required=True, example="[[skins]]", meaning="pairs of skins"),
            Field(name="scales", kind="tables", table=SCALE, required=True, example="[[scales]]", meaning="scales"),
            Field(name="benches", kind="tables", table=BENCH, default="none", example="[[benches]]", meaning="lay-up benches"),
            Field(name="lifts", kind="tables", table=LIFT, default="none", example="[[lifts]]", meaning="lifting aids"),
            Field(name="saws", kind="tables", table=SAW, default="none", example="[[saws]]", meaning="saws"),
            Field(name="dryers", kind="tables", table=DRYER, default="none", example="[[dryers]]", meaning="dryers"),
            Field(name="people", kind="tables", table=PERSON, default="none", example="[[people]]", meaning="who works here"),
        ),
    ),
)  # fmt: skip

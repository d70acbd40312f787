"""Presses and the places where moulds cool."""

from __future__ import annotations

from flatstock.workshop.fields import Field, Table

__all__ = ["COOLING_PRESS", "HOT_PRESS", "RACK", "STACK"]

FACE = Table(
    name="an outer face of a plate or mould",
    fields=(
        Field(
            name="kind",
            kind="choice",
            choices=("still_air", "fixed", "water"),
            required=True,
            example='"fixed"',
            meaning="`still_air`: free convection and radiation by the model; `fixed`: the film below; "
            "`water`: channels with water",
        ),
        Field(name="film_W_m2K", kind="value", low=0.5, high=20000, example="[5, 6, 7]",
              default="`water`: the library's 1000 (300 to 3000)",
              meaning="film between the face and what takes its heat; needed with `fixed`"),
        Field(name="temperature_C", low=-30, high=120, example="15", default="the room's",
              meaning="of the water or the floor; needed with `water`"),
    ),
)  # fmt: skip
PLATE = Table(
    name="a plate",
    fields=(
        Field(name="length_mm", low=50, high=10000, example="1350", meaning="of its face"),
        Field(name="width_mm", low=50, high=10000, example="950", meaning="of its face"),
        Field(name="thickness_mm", low=0.5, high=300, example="20", meaning="of the plate"),
        Field(name="metal", kind="text", refers="metals", example='"mild_steel"',
              meaning="a metal of the library or of `[metals.ID]`"),
    ),
)  # fmt: skip

_ID = Field(name="id", kind="id", required=True, example='"HP1"', meaning="what the shop calls it; unique")
_PLATEN = (
    Field(name="platen_length_mm", required=True, low=50, high=10000, example="1350", meaning="of each platen"),
    Field(name="platen_width_mm", required=True, low=50, high=10000, example="950", meaning="of each platen"),
    Field(name="platen_thickness_mm", required=True, low=0.5, high=300, example="20", meaning="of each platen"),
    Field(name="platen_metal", kind="text", refers="metals", required=True, example='"mild_steel"',
          meaning="a metal of the library or of `[metals.ID]`"),
    Field(name="top_platen", kind="table", table=PLATE, default="like the bottom platen",
          example="{ thickness_mm = 25 }", meaning="what is different about the top platen"),
)  # fmt: skip
_RAM = (
    Field(name="daylight_mm", required=True, low=1, high=5000, example="180",
          meaning="open distance between the platens"),
    Field(name="force_kN", low=0.1, high=100000, example="300", default="not known: no pressures on the card",
          meaning="rated closing force"),
    Field(name="piston_diameter_mm", low=5, high=2000, example="140",
          default="not known: no gauge pressures on the card", meaning="bore of one cylinder"),
    Field(name="pistons", kind="count", low=1, high=64, preset=1, example="1",
          meaning="cylinders that close the press"),
    Field(name="gauge_max_bar", low=0.1, high=2000, example="195", default="not known",
          meaning="relief valve, or the highest pressure the gauge may show"),
)  # fmt: skip
_FANS = (
    Field(name="fans_fitted", kind="flag", preset=False, example="true", meaning="fans blow on both outer faces"),
    Field(name="fan_film_W_m2K", kind="value", low=3, high=200, library="cooling_press.fan_film_W_m2K",
          example="[15, 25, 30]", meaning="film on both outer faces with the fans on"),
)  # fmt: skip
_EMISSIVITY = Field(name="emissivity", kind="value", low=0.02, high=1, library="cooling_press.emissivity",
                    example="0.8", meaning="of faces in still air: bright steel 0.2, painted or rusty 0.95")  # fmt: skip
_FACES = (
    Field(name="bottom_face", kind="table", table=FACE, default="still air",
          example='{ kind = "fixed", film_W_m2K = [5, 6, 7] }', meaning="how the lower outer face gives its heat away"),
    Field(name="top_face", kind="table", table=FACE, default="still air",
          example='{ kind = "still_air" }', meaning="how the upper outer face gives its heat away"),
)  # fmt: skip


def _film(name: str, meaning: str, library: str, example: str) -> Field:
    return Field(
        name=name, kind="value", low=0.1, high=100000, library=library, example=example, meaning=meaning
    )


HOT_PRESS = Table(
    name="a press with heated platens",
    fields=(
        _ID,
        *_PLATEN,
        Field(name="heated_mass_kg", low=1, high=100000, example="462", default="the platens alone",
              meaning="both platens with what hangs on them and warms with them"),
        Field(name="bottom_power_kW", kind="value", required=True, low=0, high=2000, example="9",
              meaning="nameplate power of the bottom heaters; 0 where that side has none"),
        Field(name="top_power_kW", kind="value", required=True, low=0, high=2000, example="9",
              meaning="nameplate power of the top heaters"),
        Field(name="control", kind="choice", choices=("on_off", "proportional"), preset="on_off",
              example='"on_off"', meaning="what the temperature controllers do"),
        Field(name="control_band_K", low=0.1, high=50, preset=2.0, example="2",
              meaning="half width of the on/off band"),
        Field(name="control_gain_W_m2K", kind="value", low=10, high=1e6, library="hot_press.control_gain_W_m2K",
              example="2000", meaning="gain of proportional control, per area of platen"),
        Field(name="loss_W_K", kind="value", low=0.1, high=1000, example="12",
              default="from `back_film_W_m2K`",
              meaning="heat that the empty press loses for each kelvin above the room, all of it"),
        _film("back_film_W_m2K", "heat through the back of each platen; not used where `loss_W_K` is given",
              "hot_press.back_film_W_m2K", "4"),
        _film("rim_film_W_m2K", "film on the platen's face outside the mould", "hot_press.rim_film_W_m2K", "10"),
        _film("edge_film_W_m2K", "film on the edges of platens, skins and frame", "hot_press.edge_film_W_m2K", "10"),
        _film("contact_W_m2K", "platen to skin, clamped", "hot_press.contact_closed_W_m2K", "[500, 1000, 3000]"),
        _film("open_contact_bottom_W_m2K", "platen to skin before the press closes",
              "hot_press.contact_open_bottom_W_m2K", "100"),
        _film("open_contact_top_W_m2K", "platen to skin across the gap before the press closes",
              "hot_press.contact_open_top_W_m2K", "15"),
        _film("sheet_contact_open_W_m2K", "skin to loose flake before the press closes",
              "hot_press.sheet_contact_open_W_m2K", "100"),
        _film("sheet_contact_loose_W_m2K", "skin to flake, clamped", "hot_press.sheet_contact_loose_W_m2K", "300"),
        _film("sheet_contact_wet_W_m2K", "skin to melt that wets it", "hot_press.sheet_contact_wet_W_m2K", "3000"),
        Field(name="close_after_s", low=0, high=3600, preset=30.0, example="30",
              meaning="from laying the mould down to closing"),
        Field(name="highest_platen_C", low=30, high=450, example="240", default="not known",
              meaning="where the over-temperature cut-out acts"),
        *_RAM,
    ),
)  # fmt: skip

COOLING_PRESS = Table(
    name="an unheated press that holds a mould while it cools",
    fields=(
        _ID,
        *_PLATEN,
        *_FACES,
        *_FANS,
        Field(name="fans_on", kind="flag", example="true", default="true where fans are fitted",
              meaning="the shop's habit while a mould is press-cooling"),
        _EMISSIVITY,
        _film("contact_W_m2K", "plate to skin, clamped", "cooling_press.contact_W_m2K", "[167, 500, 1500]"),
        _film("sheet_contact_W_m2K", "skin to sheet", "cooling_press.sheet_contact_W_m2K", "500"),
        _film("edge_film_W_m2K", "film on the edges of plates, skins and frame",
              "cooling_press.edge_film_W_m2K", "8"),
        _film("rim_film_W_m2K", "film on the plate's face outside the mould", "cooling_press.rim_film_W_m2K", "10"),
        *_RAM,
    ),
)  # fmt: skip

_MOULDS = Field(name="moulds_max", kind="count", required=True, low=1, high=200, example="8",
                meaning="moulds it takes at once")  # fmt: skip
_LOAD = Field(name="load_max_kg", low=1, high=100000, example="800", default="no limit on file",
              meaning="most that may stand on it")  # fmt: skip

STACK = Table(
    name="a place where moulds cool on top of each other",
    fields=(
        _ID,
        _MOULDS,
        _LOAD,
        Field(name="bottom_plate", kind="table", table=PLATE, default="no plate",
              example="{ length_mm = 1350, width_mm = 950, thickness_mm = 20, metal = \"mild_steel\" }",
              meaning="a plate under the lowest mould"),
        Field(name="top_plate", kind="table", table=PLATE, default="no plate",
              example="{ length_mm = 1350, width_mm = 950, thickness_mm = 20, metal = \"mild_steel\" }",
              meaning="a plate on the highest mould, lifted for each new one"),
        *_FACES,
        *_FANS,
        _EMISSIVITY,
        _film("contact_W_m2K", "skin on skin", "stack.contact_W_m2K", "[100, 300, 900]"),
        _film("sheet_contact_W_m2K", "skin to sheet", "stack.sheet_contact_W_m2K", "500"),
        _film("edge_film_W_m2K", "film on the edges of moulds", "cooling_press.edge_film_W_m2K", "8"),
    ),
)  # fmt: skip

RACK = Table(
    name="a place where moulds stand apart, with air on both faces",
    fields=(
        _ID,
        _MOULDS,
        _LOAD,
        *_FACES,
        _EMISSIVITY,
        _film("edge_film_W_m2K", "film on the edges of moulds", "cooling_press.edge_film_W_m2K", "8"),
    ),
)

"""lots, orders and offcuts: lists that a spreadsheet can keep (.csv) or a text editor (.toml)."""

from __future__ import annotations

from flatstock.workshop.fields import Field, Layout, Table

__all__ = ["LOTS", "OFFCUTS", "ORDERS"]

STATUSES = ("received", "quarantine", "released", "blocked", "empty")
ORIGINS = (
    "packaging", "crates", "household", "industry", "building", "vehicle", "electrical", "own_regrind", "virgin",
    "unknown",
)  # fmt: skip
_NOTE = Field(
    name="note", kind="text", example="just washed", default="none", meaning="anything worth saying"
)
_COLOUR = Field(name="colour", kind="text", example="blue", default="none", meaning="in the shop's words")
_PLASTIC = Field(
    name="plastic", kind="text", refers="plastics", required=True, example="hdpe", meaning="a plastic's ID"
)

LOTS = Layout(
    file="lots.csv",
    rows="lots",
    about="Traceable quantities of flake, each with one status.",
    table=Table(
        name="a lot of flake",
        fields=(
            Field(name="id", kind="id", required=True, example="L-2301", meaning="the lot's number; unique"),
            _PLASTIC,
            Field(name="form", kind="text", example="caps", default="not known", meaning="what it was, in words"),
            _COLOUR,
            Field(name="mass_kg", required=True, low=0, high=1e6, example="412", meaning="on hand"),
            Field(name="status", kind="choice", choices=STATUSES, required=True, example="released",
                  meaning="only released lots are pressed"),
            Field(name="origin", kind="choice", choices=ORIGINS, preset="unknown", example="packaging",
                  meaning="where it comes from; electrical and unknown black plastic need a bromine result"),
            Field(name="bromine", kind="choice", choices=("not_tested", "clear", "found"), preset="not_tested",
                  example="clear", meaning="result of a bromine test"),
            Field(name="mfr_g_10min", low=0.001, high=2000, example="8", default="not known",
                  meaning="melt flow rate at the usual load of its plastic"),
            Field(name="viscosity_kPas", kind="value", low=0.001, high=10000, example="2.1", default="from the melt flow rate, else not known",
                  meaning="of the melt at the set-point while it flows out, measured or estimated by the shop"),
            Field(name="moisture_percent", low=0, high=50, example="0.08", default="not known", meaning="water, by mass"),
            Field(name="bulk_density_kg_m3", low=5, high=1500, example="340", default="the plastic's", meaning="of loose flake"),
            Field(name="strangers", kind="shares", example="pp 2.1 %; pet 1 %", default="none known", refers="plastics",
                  meaning="other plastics in it, by mass"),
            Field(name="parents", kind="texts", example="L-2301 L-2302", default="none", refers="lots",
                  meaning="lots that this one was made from"),
            _NOTE,
        ),
    ),
    example="id,plastic,form,colour,mass_kg,status,origin,strangers\nL-2301,hdpe,caps,dark,412,released,packaging,pp 2.1 %\n",
)  # fmt: skip

ORDERS = Layout(
    file="orders.csv",
    rows="orders",
    about="Customers' orders, stated in sheets.",
    table=Table(
        name="an order",
        fields=(
            Field(name="id", kind="id", required=True, example="O-101", meaning="the order's number; unique"),
            Field(name="what", kind="text", example="flat-pack stool", default="none", meaning="in words"),
            _PLASTIC,
            _COLOUR,
            Field(name="thickness_mm", required=True, low=0.2, high=100, example="18", meaning="of the sheets"),
            Field(name="sheets", kind="count", required=True, low=1, high=100000, example="6", meaning="how many"),
            Field(name="due", kind="moment", example="2026-03-06T12:00", default="no date", meaning="by the shop's clock; a date alone means its end"),
            Field(name="condition_h", low=0, high=1000, example="0", default="the shop's", meaning="flat rest before cutting to size"),
            Field(name="lots", kind="shares", whole=True, refers="lots", example="L-2302 15.80 kg; L-2308 1.00 kg",
                  default="left to the plan", meaning="what it is pressed from, in shares that make 1 or in masses"),
            _NOTE,
        ),
    ),
    example="id,plastic,colour,thickness_mm,sheets,due,lots\nO-104,hdpe,dark,12,4,2026-03-04T10:00,L-2301 100 %\n",
)  # fmt: skip

OFFCUTS = Layout(
    file="offcuts.csv",
    rows="offcuts",
    about="Usable rests of sheets in store.",
    table=Table(
        name="an offcut",
        fields=(
            Field(name="id", kind="id", required=True, example="OC-41", meaning="the offcut's number; unique"),
            _PLASTIC,
            _COLOUR,
            Field(name="thickness_mm", required=True, low=0.2, high=100, example="6", meaning="measured"),
            Field(name="length_mm", required=True, low=1, high=10000, example="1190", meaning="measured"),
            Field(name="width_mm", required=True, low=1, high=10000, example="95", meaning="measured"),
            Field(name="lot", kind="text", refers="lots", example="L-2304", default="not known", meaning="the lot it was pressed from"),
            _NOTE,
        ),
    ),
    example="id,plastic,colour,thickness_mm,length_mm,width_mm,lot\nOC-41,pp,green,6,1190,95,L-2304\n",
)  # fmt: skip

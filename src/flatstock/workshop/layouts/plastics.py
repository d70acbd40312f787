"""plastics.toml: a shop's own values of plastics, which go before the library's."""

from __future__ import annotations

from flatstock.evidence import KINDS
from flatstock.workshop.fields import Field, Layout, Table

__all__ = ["PLASTICS"]


def _own(name: str, low: float, high: float, example: str, meaning: str) -> Field:
    return Field(
        name=name, kind="value", low=low, high=high, example=example, meaning=meaning, default="the library's"
    )


_PLASTIC = Table(
    name="a plastic",
    fields=(
        Field(name="name", kind="text", example='"HDPE"', default="the library's", meaning="as shown to people"),
        Field(name="family", kind="text", example='"polyolefin"', default="the library's", meaning="family of plastics"),
        Field(name="symbol", kind="text", example='"PE-HD"', default="the library's", meaning="marking symbol of ISO 1043"),
        Field(name="base", kind="text", refers="plastics", example='"hdpe"', default="none",
              meaning="the library plastic that a plastic of the shop's own starts from"),
        Field(name="highest_set_point_C", low=50, high=300, example="230", default="the library's",
              meaning="hard limit of the set-point; a plastic of the shop's own needs it, a library plastic keeps its own"),
        Field(name="fume", kind="text", example='"aldehydes"', default="the library's",
              meaning="what its fume holds; a plastic of the shop's own needs it"),
        Field(name="kind", kind="choice", choices=KINDS, preset="measured", example='"assumed"',
              meaning="evidence of every number of this table that doesn't state its own"),
        _own("density_kg_m3", 300, 2500, "950", "of the solid at 23 °C"),
        _own("shrinkage_percent", 0, 10, "2.2", "linear, cavity to cold sheet"),
        _own("melt_density_kg_m3", 300, 2500, "760", "at the set-point and 0.1 MPa"),
        _own("solid_cp_J_kgK", 500, 6000, "2250", "heat capacity of the solid at 23 °C; constant unless a slope is given"),
        _own("solid_cp_slope_J_kgK2", -20, 30, "4.2", "its change with temperature"),
        _own("melt_cp_J_kgK", 500, 6000, "2500", "heat capacity of the melt at 180 °C; constant unless a slope is given"),
        _own("melt_cp_slope_J_kgK2", -20, 30, "3.1", "its change with temperature"),
        _own("latent_J_kg", 0, 400e3, "180000", "heat of fusion"),
        _own("latent_at_C", -50, 350, "132", "where the heat of fusion is counted"),
        _own("melting_onset_C", -100, 350, "115", "melting begins on heating"),
        _own("melting_end_C", -50, 400, "133", "melting is complete on heating"),
        _own("freezing_onset_C", -100, 350, "120", "freezing begins on cooling: the upper end"),
        _own("freezing_end_C", -100, 350, "108", "freezing is complete on cooling: the lower end"),
        _own("solid_k_W_mK", 0.03, 5, "0.46", "heat conductivity of the solid at 23 °C"),
        _own("solid_k_slope_W_mK2", -0.01, 0.01, "-0.0014", "its change with temperature"),
        _own("melt_k_W_mK", 0.03, 5, "0.25", "heat conductivity of the melt"),
        _own("bed_k_W_mK", 0.01, 2, "0.10", "heat conductivity of the flake bed; in the place of the bed model"),
        _own("bed_factor", 0.1, 10, "1", "factor on the bed model's conductivity, from a trial"),
        _own("bed_void", 0.01, 0.95, "0.5", "share of air in the clamped bed"),
        _own("bed_bulk_density_kg_m3", 10, 1500, "330", "of the clamped bed; in the place of `bed_void`"),
        _own("loose_bulk_density_kg_m3", 5, 1500, "330", "of loose flake, for the heap"),
        _own("melt_target_C", 20, 350, "165", "core temperature at which a sheet is melted through"),
        _own("open_below_C", 10, 300, "90", "core below which the cooling pressure may go"),
        _own("demould_below_C", 5, 200, "45", "core below which the sheet may leave its mould"),
        _own("set_point_C", 50, 300, "195", "of the platens"),
        _own("face_allowance_min", 0.1, 1000, "30", "equivalent minutes at 200 °C that a face may stand"),
        _own("face_limit_C", 50, 350, "230", "hottest that a face may be"),
        _own("contact_pressure_MPa", 0, 50, "0.03", "on the sheet while the charge melts"),
        _own("full_pressure_MPa", 0.001, 50, "0.25", "on the sheet to consolidate it"),
        _own("viscosity_kPas", 0.001, 10000, "10", "of the melt at the set-point while it flows out"),
    ),
)  # fmt: skip

PLASTICS = Layout(
    file="plastics.toml",
    about="The shop's own values of plastics, one table a plastic. They go before the library's and are shown as the shop's; "
    "what is never pressed stays so, and no set-point goes above its plastic's limit.",
    table=Table(
        name="plastics",
        fields=(Field(name="plastics", kind="named", table=_PLASTIC, example="[hdpe]", meaning="one table a plastic"),),
    ),
    example="[hdpe]\nset_point_C = 195\nshrinkage_percent = [2.0, 2.2, 2.5]\n",
)  # fmt: skip

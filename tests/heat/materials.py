"""Random plastics and presses within what a workshop could meet, for the property tests."""

from hypothesis import reject, settings
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.heat.layers import Outside
from flatstock.heat.pile import Pile
from flatstock.heat.polymer import Bed, Polymer
from tests.heat.columns import HDPE, PP, PS, film, hot_column, still_air

FEW = settings(max_examples=25, deadline=None, derandomize=True)


def between(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


@st.composite
def beds(draw) -> Bed:
    return Bed(
        void=draw(between(0.0, 0.95)), form=draw(between(1.25, 2.5)), flattening=draw(between(0.001, 0.008)),
        grain=draw(between(0.0003, 0.004)), emissivity=draw(between(0.85, 0.95)), factor=draw(between(0.7, 1.5)),
        conductivity=draw(st.one_of(st.none(), between(0.05, 0.2))),
    )  # fmt: skip


@st.composite
def polymers(draw) -> Polymer:
    """Between glassy and highly crystalline; curves together or up to 30 K apart."""
    try:
        return draw(_any_polymer())
    except OutOfRange:  # its enthalpy would fall somewhere: no such material
        return reject()


@st.composite
def _any_polymer(draw) -> Polymer:
    onset, width = draw(between(85, 150)), draw(between(3, 40))
    freezing_end = onset - draw(between(0, 30))
    return Polymer(
        density=draw(between(880, 1100)), solid_volume_slope=draw(between(1e-7, 6e-7)),
        melt_volume_180=draw(between(0.95e-3, 1.4e-3)), melt_volume_slope=draw(between(3e-7, 1.2e-6)),
        solid_cp_23=draw(between(1100, 2300)), solid_cp_slope=draw(between(0, 5)),
        melt_cp_180=draw(between(1900, 2900)), melt_cp_slope=draw(between(0, 4)),
        latent=draw(st.one_of(st.just(0.0), between(2e4, 2.5e5))), latent_at=onset + 0.6 * width,
        melting_onset=onset, melting_end=onset + width,
        freezing_end=freezing_end, freezing_onset=min(onset + width, freezing_end + draw(between(3, 25))),
        solid_k_23=draw(between(0.14, 0.55)), solid_k_slope=draw(between(-0.0012, 0.0002)),
        melt_k_180=draw(between(0.14, 0.3)), bed=draw(beds()),
    )  # fmt: skip


@st.composite
def outsides(draw) -> tuple[Outside, Outside]:
    """Air that moves, still air, water, or nothing, below and above."""
    below, above = still_air()
    return (
        draw(st.sampled_from([film(4), film(25), below, film(1500, 12), Outside()])),
        draw(st.sampled_from([film(4), film(25), above, film(1500, 12), Outside()])),
    )


@st.composite
def presses(draw, plastics: st.SearchStrategy[Polymer] | None = None, wet: bool = True) -> Pile:
    """A loaded hot press of any kind, on a small grid."""
    below, above = draw(outsides())
    heated = draw(st.sampled_from(["both", "bottom", "top"]))
    set_point = draw(between(150, 230))
    cold = draw(between(0, 30))
    return hot_column(
        draw(polymers() if plastics is None else plastics), thickness=draw(between(0.002, 0.03)),
        set_points=(set_point if heated != "top" else None, set_point if heated != "bottom" else None),
        loaded_at=(set_point - cold, set_point), skin=draw(between(0.0005, 0.003)),
        kind=draw(st.sampled_from(["proportional", "on_off"])), power=draw(between(2e3, 2e4)),
        cells=draw(st.integers(3, 14)), platen_cells=draw(st.integers(1, 5)), area_ratio=draw(between(1, 2)),
        rim_film=draw(between(0, 14)), moisture=draw(st.sampled_from([0.0, 0.002, 0.05])) if wet else 0.0, bottom=below, top=above,
    )  # fmt: skip


COMMON = st.sampled_from([HDPE, PP, PS])

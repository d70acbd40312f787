"""Float and sink: densities as tables have them, brackets, and the test that splits best."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.intake.floating import Candidate, Seen, candidates, possible, split_best, would
from flatstock.intake.liquids import density_at, mixture_for, mixtures
from flatstock.plastics.library import library

ALL = candidates(library())


def ids(found):
    return {one.id for one in found}


@pytest.mark.parametrize(
    ("density", "grams"), [(1025, 39.0), (1050, 77.5), (1080, 126.6), (1100, 161.2), (1150, 254.3)]
)
def test_salt_for_a_density_as_recomputed_from_the_table(density, grams):
    """Two tables of NaCl solutions that agree (`salt_water_table`); within 0.5 %."""
    assert 1e3 * mixture_for(density).per_kg_water == pytest.approx(grams, rel=5e-3)


def test_ten_grams_of_salt_in_a_hundred_of_water_are_not_1100():
    """`salt_water_table`: 9.09 % gives 1064 kg/m3."""
    assert density_at(mixtures()["brine"], 100 * 10 / 110) == pytest.approx(1064, abs=1)


def test_brine_grows_denser_in_the_cold():
    """`salt_water_table`: 10 % salt, 1072.6 at 15 °C and 1074.4 at 10 °C, within 0.5."""
    cold = [density_at(mixtures()["brine"], 10, temperature=t) for t in (15, 10)]
    assert cold == pytest.approx([1072.6, 1074.4], abs=0.5)


@pytest.mark.parametrize(("density", "percent"), [(930, 42.5), (950, 32.2)])
def test_ethanol_for_a_density(density, percent):
    """`ethanol_water_table`, within 0.3 percentage points."""
    assert mixture_for(density).percent == pytest.approx(percent, abs=0.3)


@pytest.mark.parametrize(
    ("plastic", "floats"),
    [("pp", "YYYY"), ("hdpe", "NYYY"), ("ps", "NNYY"), ("pvc", "NNNN")],
)
def test_the_truth_table_of_four_liquids(plastic, floats):
    """Ethanol-water 925, water 998, brine 1080 and 1190."""
    (one,) = [c for c in ALL if c.id == plastic]
    did = ["Y" if would(one, density) == "floats" else "N" for density in (925, 998, 1080, 1190)]
    assert "".join(did) == floats


def test_ps_and_abs_are_not_told_apart_by_density():
    """Bands that overlap: the answer must be that it is ambiguous."""
    left = possible([Seen(density=998.2, did="sinks"), Seen(density=1080, did="floats")], ALL)
    assert {"ps", "hips", "abs"} <= ids(left)
    assert split_best([one for one in left if one.id in ("ps", "abs")]) is None


def test_what_floats_on_water_is_a_polyolefin():
    assert ids(possible([Seen(density=998.2, did="floats")], ALL)) == {
        "pp",
        "pp_copolymer",
        "ldpe",
        "lldpe",
        "hdpe",
    }


def test_what_sinks_in_heavy_brine_may_hold_pvc():
    assert "pvc" in ids(possible([Seen(density=1190, did="sinks")], ALL))


def test_observations_that_no_plastic_fits_leave_nothing():
    assert possible([Seen(density=998.2, did="floats"), Seen(density=1100, did="sinks")], ALL) == ()


def test_water_comes_before_a_mixture_that_tells_no_more():
    split = split_best([c for c in ALL if c.id in ("pp", "pvc")])
    assert split is not None
    assert split.liquid.name == "water"


def test_the_best_split_of_pp_and_hdpe_lies_between_them():
    split = split_best([c for c in ALL if c.id in ("pp", "hdpe")])
    assert split is not None
    assert 912 < split.liquid.density < 938
    assert (split.floats, split.sinks, split.bits) == (("pp",), ("hdpe",), pytest.approx(1.0))


@given(st.floats(870, 1500), st.lists(st.floats(868, 1196), max_size=6))
def test_the_plastic_that_it_is_always_stays_possible(true, liquids):
    """A flake of a known density, watched in any liquids: the band that holds it is never struck out."""
    flake = Candidate(id="true", name="", low=true, high=true, source="")
    seen = [Seen(density=d, did="floats" if true < d else "sinks") for d in liquids]
    assert possible(seen, [flake]) == (flake,)


@given(st.sets(st.sampled_from(ALL), min_size=2))
def test_a_split_leaves_fewer_whatever_happens(left):
    split = split_best(sorted(left, key=lambda one: one.id))
    if split is not None:
        assert set(split.floats) | set(split.sinks) == ids(left)
        assert split.worst < len(left)
        assert 0 <= split.bits <= 1


def test_a_density_that_cannot_be_mixed_is_refused():
    with pytest.raises(OutOfRange, match="867 to 1197"):
        mixture_for(1300)


def test_where_a_density_comes_from_is_said_in_words_and_not_by_a_key() -> None:
    assert [one.source for one in candidates(library()) if "_" in one.source] == []

"""What plastics.toml may not say; where the plastics room refuses, the line is told."""

from __future__ import annotations

import pytest

from flatstock.workshop.files import check


def test_a_set_point_hotter_than_its_plastic_allows_is_a_fault(fault):
    said = fault("plastics.toml", "set_point_C = 195 ", "set_point_C = 245 ")
    assert said.startswith("plastics.toml line ")
    assert "hdpe.set_point_C" in said
    assert "245" in said


def test_the_highest_set_point_of_a_library_plastic_can_not_be_replaced(fault):
    assert "hdpe.highest_set_point_C" in fault("plastics.toml", "[hdpe]", "[hdpe]\nhighest_set_point_C = 280")


def test_a_plastic_of_the_shops_own_needs_a_limit_and_a_fume_line(faults):
    (one,) = faults("plastics.toml", "[hdpe]", '[hdpe_pipe]\nbase = "hdpe"\nname = "pipe grade"\n[hdpe]')
    assert one.where.endswith(", hdpe_pipe")
    assert one.what.endswith("so it needs highest_set_point_C and fume")


def test_what_a_plastic_of_nobodys_knowledge_lacks_is_one_fault(faults):
    (one,) = faults("plastics.toml", "[hdpe]", "[mystery]\nset_point_C = 190\n[hdpe]")
    assert one.what.endswith("so it needs highest_set_point_C, fume, density_kg_m3 and shrinkage_percent")


@pytest.mark.parametrize(
    ("name", "meant"),
    [("PEHD", "hdpe"), ("PE-HD", "hdpe"), ("polypropylene", "pp"), ("PE", "hdpe or ldpe or lldpe")],
)
def test_another_name_of_a_plastic_on_file_is_one_fault_with_the_name_to_write(faults, name, meant):
    (one,) = faults("plastics.toml", "[hdpe]", f"[{name}]\nset_point_C = 190\n[hdpe]")
    assert one.what == f"{name.lower()!r} is another name of {meant}"
    assert one.instead.startswith(f"write [{meant.replace(' or ', '] or [')}],")


@pytest.mark.parametrize("name", ["PVC", "pvc", '"soft PVC"', "PTFE", "POM"])
def test_what_is_never_pressed_is_told_so_before_any_other_name_is_offered(faults, name):
    (one,) = faults("plastics.toml", "[hdpe]", f"[{name}]\nset_point_C = 190\n[hdpe]")
    assert "never pressed" in one.what


def test_another_name_does_not_lift_the_highest_set_point(faults):
    own = (
        "[PEHD]\nhighest_set_point_C = 245\nfume = 'aldehydes'\ndensity_kg_m3 = 950\nshrinkage_percent = 2\n"
    )
    (one,) = faults("plastics.toml", "[hdpe]", f"{own}[hdpe]")
    assert "the highest set-point of" in one.what


def own(base):
    """A table of the shop's own plastic from `base`, before the demo's."""
    return f'[crate_grade]\nbase = "{base}"\nhighest_set_point_C = 200\nfume = "aldehydes"\n[hdpe]'


def test_a_base_is_taken_whatever_its_case(edit, folder):
    edit("plastics.toml", "[hdpe]", own("HDPE"))
    assert check(folder)[1:] == ([], [])


@pytest.mark.parametrize("base", ["PVC", "soft PVC", "PTFE", "PET", "nylon"])
def test_a_base_that_is_never_pressed_is_told_so_and_no_other_is_offered(faults, base):
    (one,) = faults("plastics.toml", "[hdpe]", own(base))
    assert "never pressed" in one.what
    assert "nearest" not in one.instead


def test_a_base_under_another_name_is_told_the_id_to_write(faults):
    (one,) = faults("plastics.toml", "[hdpe]", own("PE-HD"))
    assert (one.what, one.instead) == ("'PE-HD' is another name of hdpe", "write hdpe")


def test_a_misspelt_plastic_is_one_fault_with_the_nearest_on_file(faults):
    (one,) = faults("plastics.toml", "[hdpe]", "[hpde]")
    assert one.what == "there is no plastic 'hpde' on file; the nearest is hdpe"
    assert one.instead.startswith(
        "write [hdpe], or give a plastic of your own a base, highest_set_point_C and fume"
    )


def test_pvc_can_not_be_added(faults):
    new = '[pvc]\nbase = "hdpe"\nhighest_set_point_C = 180\nfume = "hydrogen chloride"\n[hdpe]'
    assert any("never pressed" in f.what for f in faults("plastics.toml", "[hdpe]", new))


def test_an_unknown_key_of_a_plastic_names_the_nearest(fault):
    assert "the nearest is latent_J_kg" in fault(
        "plastics.toml", "latent_J_kg = 180000", "latent_J_gk = 180000"
    )


def test_an_own_plastic_is_known_to_lots_and_orders(edit, folder):
    from flatstock.workshop.files import read

    edit(
        "plastics.toml",
        "[hdpe]",
        '[hdpe_pipe]\nbase = "hdpe"\nname = "pipe grade"\nhighest_set_point_C = 220\nfume = "aldehydes"\n[hdpe]',
    )
    edit("orders.csv", "O-104,full sheet 1200 x 800,hdpe", "O-104,full sheet 1200 x 800,HDPE_pipe")
    assert read(folder).orders["O-104"].plastic == "hdpe_pipe"


def test_a_value_outside_a_table_is_a_fault(fault):
    assert "set_point_C: this is not a table" in fault("plastics.toml", "[hdpe]", "set_point_C = 190\n[hdpe]")


def test_a_file_of_another_kind_is_told(fault):
    assert "write flatstock.plastics/1" in fault(
        "plastics.toml", "flatstock.plastics/1", "flatstock.plastics/2"
    )


def test_a_melt_denser_than_its_solid_is_a_fault(fault):
    said = fault("plastics.toml", "melt_density_kg_m3 = 760", "melt_density_kg_m3 = 980")
    assert "melt_density_kg_m3 980 kg/m3 must lie below density_kg_m3 950 kg/m3" in said


def test_a_core_target_that_the_set_point_never_gives_is_a_fault(fault):
    said = fault("plastics.toml", "melt_target_C = 165", "melt_target_C = 196")
    assert "melt_target_C 196 °C must lie below set_point_C 195 °C" in said


@pytest.mark.parametrize("name", ["PVC", "pet"])
def test_a_practice_dwell_of_what_is_never_pressed_is_told_at_its_line(edit, name):
    line = '    { plastic = "hdpe", thickness_mm = 6, dwell_min = 12 },'
    folder = edit(
        "shop.toml", line, f'{line}\n    {{ plastic = "{name}", thickness_mm = 6, dwell_min = 9 }},'
    )
    at = (folder / "shop.toml").read_text("utf-8").splitlines().index(line) + 2
    (one,) = check(folder)[1]
    assert one.where == f"shop.toml line {at}, practice.dwell.2.plastic"
    assert "never pressed" in one.what

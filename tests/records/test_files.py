"""The written form and the living form say the same, and lead to each other without loss."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from flatstock import demo
from flatstock.errors import Refused
from flatstock.records import Store, files, lots, open_store
from flatstock.workshop.files import read
from flatstock.workshop.lot_states import State, with_states
from flatstock.workshop.written import FILES, Folder, Texts
from tests.records.some import MONDAY, a_weighing

TOML = b"""format = "flatstock.lots/1"

[[lots]]  # the dark one
id = "L-\xc3\xa9"
plastic = "hdpe"
mass_kg = 12.5  # on Friday
status = "released"
note = "\xc3\xb6"
"""
CSV = b"# ours\r\nid;plastic;mass_lb;status;note\r\nL-1;hdpe;10;released;'a'\r\n# end\r\nL-2;hdpe;20;blocked;\"a\nb\"\r\n"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    folder = tmp_path / "shop"
    demo.copy_to(folder)
    return folder


def take(store: Store, folder: Path, why: str = "as written") -> list[str]:
    with store.writing() as db:
        return files.take_in(db, folder, Folder(folder), at=MONDAY, who=["OP4"], why=why)


def out(store: Store) -> dict[str, bytes]:
    with store.reading() as db:
        return files.give_out(db)


def test_the_demo_is_the_same_workshop_in_its_files_and_in_its_records(store: Store, shop: Path):
    take(store, shop)
    assert read(shop, Texts(out(store))) == read(shop, Folder(shop))


def test_what_is_taken_in_comes_out_byte_for_byte(store: Store, shop: Path):
    take(store, shop)
    assert out(store) == {name: (shop / name).read_bytes() for name in FILES if (shop / name).is_file()}


def test_taking_in_what_came_out_changes_nothing(store: Store, shop: Path):
    take(store, shop)
    assert take(store, shop) == []


def test_what_was_weighed_and_blocked_stands_in_the_lots_file_and_the_rest_as_it_was(
    store: Store, shop: Path
):
    take(store, shop)
    store.append([a_weighing(lot="L-2301", mass=11.74)])
    with store.writing() as db:
        lots.set_status(db, "L-2302", "blocked", at=MONDAY, who=["OP1"], why="PVC")
    before, after = (shop / "lots.csv").read_text().splitlines(), out(store)["lots.csv"].decode().splitlines()
    changed = [new for old, new in zip(before, after, strict=True) if old != new]
    assert [line.split(",")[4:6] for line in changed] == [["400.26", "released"], ["190", "blocked"]]
    living = read(shop, Texts(out(store)))
    assert (living.lots["L-2301"].mass, living.lots["L-2302"].status) == (400.26, "blocked")


def test_written_living_written_living_is_the_same_workshop(shop: Path, tmp_path: Path, where: str):
    with open_store(where) as first:
        take(first, shop)
        first.append([a_weighing(lot="L-2301", mass=11.74)])
        texts = out(first)
    again = tmp_path / "again"
    again.mkdir()
    for name, data in texts.items():
        (again / name).write_bytes(data)
    second_folder = tmp_path / "second"
    second_folder.mkdir()
    with open_store(second_folder) as second:
        take(second, again)
        assert out(second) == texts


def test_a_file_changed_by_hand_is_taken_in_with_who_and_why(store: Store, shop: Path):
    take(store, shop)
    text = (shop / "lots.csv").read_text().replace("190,released", "180,quarantine")
    (shop / "lots.csv").write_text(text)
    assert take(store, shop, "found damp") == ["lots.csv"]
    with store.reading() as db:
        assert lots.state_of(db, "L-2302") == lots.LotState(id="L-2302", status="quarantine", mass=180.0)
        assert lots.history(db, "L-2302")[-1].why == "found damp"


def test_parents_in_the_files_hold_their_regrind(store: Store, shop: Path):
    take(store, shop)
    with store.writing() as db:
        lots.set_status(db, "L-2301", "blocked", at=MONDAY, who=["OP1"], why="PVC")
    with pytest.raises(Refused, match="a held lot is not weighed"):
        store.append([a_weighing(lot="L-2308", mass=1.0)])


def test_a_lot_that_the_file_leaves_out_stays_on_record(store: Store, shop: Path):
    take(store, shop)
    lines = [line for line in (shop / "lots.csv").read_text().splitlines() if not line.startswith("L-2306")]
    (shop / "lots.csv").write_text("\n".join(lines) + "\n")
    with pytest.raises(Refused, match="L-2306 is on record"):
        take(store, shop)


def test_files_with_faults_are_not_taken_in(store: Store, shop: Path):
    (shop / "lots.csv").write_text("id,plastic,mass_kg,status\nL-1,hdpe,-5,released\n")
    with pytest.raises(Refused, match=r"lots\.csv line 2"):
        take(store, shop)
    assert out(store) == {}


def test_a_list_in_toml_keeps_its_comments():
    new = with_states("lots.toml", TOML, {"L-é": State("blocked", 3.25)}).decode()
    assert "mass_kg = 3.25  # on Friday" in new
    assert "[[lots]]  # the dark one" in new
    assert 'status = "blocked"' in new


def test_a_mass_of_one_digit_is_written_anew_in_toml():
    data = TOML.replace(b"mass_kg = 12.5", b"mass_kg = 5")
    assert b"mass_kg = 3.25  # on Friday" in with_states("lots.toml", data, {"L-é": State("released", 3.25)})


def test_a_column_in_pounds_takes_kilograms_with_their_unit():
    new = with_states("lots.csv", CSV, {"L-2": State("blocked", 3.1)})
    assert new == CSV.replace(b"L-2;hdpe;20;", b"L-2;hdpe;3.1 kg;")


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    mass=st.floats(0, 1e5, allow_subnormal=False).map(lambda x: round(x, 9)),
    status=st.sampled_from(["received", "quarantine", "released", "blocked", "empty"]),
    form=st.sampled_from([("lots.toml", TOML, "L-é"), ("lots.csv", CSV, "L-2"), ("lots.csv", CSV, "L-1")]),
)
def test_any_status_and_mass_are_read_back_exactly(mass: float, status: str, form: tuple[str, bytes, str]):
    file, data, name = form
    states = {name: State(status, mass)}
    new = with_states(file, data, states)  # raises where what it wrote reads otherwise
    assert with_states(file, new, states) == new


@pytest.mark.parametrize("name", ["a b", "100%", "a%20b", "a#b", "a?b", "a&b", "Süd 板"])
def test_records_stand_in_their_folder_whatever_it_is_called(tmp_path: Path, name: str):
    """What SQLite takes for a part of a URL is a letter of the folder's name."""
    folder = tmp_path / name
    folder.mkdir()
    open_store(folder).close()
    assert (folder / "records.db").stat().st_size > 0
    assert [path.name for path in tmp_path.iterdir()] == [name]

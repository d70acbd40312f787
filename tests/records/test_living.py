"""Every command reads the records where a workshop has any, and its files where it has none."""

import subprocess
import sys
from pathlib import Path

import pytest

from flatstock import demo
from flatstock.actions import copies, living
from flatstock.actions.setting_up import put
from flatstock.actions.workshops import open_workshop
from flatstock.errors import Fault, Refused
from flatstock.records import open_store
from flatstock.running.event import Event
from tests.records.some import MONDAY, a_weighing, an_event


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    folder = tmp_path / "shop"
    demo.copy_to(folder)
    return folder


def begin(shop: Path) -> None:
    living.begin_records(shop, at=MONDAY, who=["OP4"], why="the app was opened")


def test_a_workshop_is_opened_from_its_records_once_they_are_begun(shop: Path):
    files = open_workshop(shop)
    begin(shop)
    records = open_workshop(shop)
    assert (files.form, records.form) == ("files", "records")
    assert files == records


def test_what_is_weighed_on_the_floor_is_gone_from_the_stock_that_commands_read(shop: Path):
    begin(shop)
    with open_store(shop) as store:
        store.append([a_weighing(lot="L-2301", mass=12.0)])
    assert open_workshop(shop).lots["L-2301"].mass == 400.0


def taken_back(name: str, of: str) -> Event:
    return an_event(name, kind="undone", corrects=of, place=None, facts={})


@pytest.mark.parametrize(
    "happened",
    [
        [a_weighing(lot="L-2301", mass=12.0)],
        [a_weighing(lot="L-2301", mass=12.0), a_weighing("W-2", lot="L-2303", mass=3.1, sheet="B-015")],
        [a_weighing(lot="L-2301", mass=12.0), taken_back("U-1", "W-1")],
        [an_event(kind="counted", sheet=None, place=None, why="on the scale", facts={"lot": "L-2301", "mass_kg": 7.0})],
        [],
    ],
)  # fmt: skip
def test_a_workshop_followed_through_weighings_is_the_one_that_its_records_give(
    shop: Path, happened: list[Event]
):
    begin(shop)
    held = living.Living(shop)
    before, seen = open_workshop(shop), held.mark()
    held.store.append(happened)
    assert held.followed(before, seen) == open_workshop(shop)
    held.close()


def test_a_workshop_whose_lot_was_held_or_whose_files_changed_is_read_afresh(shop: Path):
    begin(shop)
    held = living.Living(shop)
    before, seen = open_workshop(shop), held.mark()
    held.store.append(
        [an_event(kind="blocked", sheet=None, place=None, why="smell", facts={"lot": "L-2301"})]
    )
    assert held.followed(before, seen) is None
    before, seen = open_workshop(shop), held.mark()
    was = (shop / "offcuts.csv").read_text()
    put(shop, "offcuts.csv", was + "\n", was=was, at=MONDAY, who=["OP4"])
    assert held.followed(before, seen) is None
    held.close()


def test_a_file_changed_by_hand_after_records_were_begun_is_named(shop: Path):
    begin(shop)
    assert living.hand_changes(shop) == []
    (shop / "lots.csv").write_text((shop / "lots.csv").read_text() + "\n")
    assert living.hand_changes(shop) == [living.HandChange("lots.csv", "changed")]


def test_a_form_that_was_kept_while_its_file_could_not_follow_is_on_record_and_the_file_told_of(
    shop: Path, monkeypatch: pytest.MonkeyPatch
):
    begin(shop)

    def full(path: Path, data: bytes) -> None:
        raise Refused(Fault(str(path), "can't be written (No space left on device)", "make room"))

    monkeypatch.setattr(living, "write_bytes", full)
    assert another_daylight(shop) == ()
    assert open_workshop(shop).hot_presses["HP1"].daylight == pytest.approx(0.175)
    assert living.hand_changes(shop) == [living.HandChange("shop.toml", "older")]


def another_daylight(shop: Path) -> tuple[Fault, ...]:
    was = (shop / "shop.toml").read_text()
    text = was.replace("daylight_mm = 180", "daylight_mm = 175")
    return put(shop, "shop.toml", text, was=was, at=MONDAY, who=["OP4"], why="measured again")


def test_a_form_written_after_a_weighing_leaves_no_file_behind(shop: Path):
    begin(shop)
    with open_store(shop) as store:
        store.append([a_weighing(lot="L-2301", mass=12.0)])
    assert another_daylight(shop) == ()
    assert living.hand_changes(shop) == []


def test_a_form_written_beside_a_list_changed_by_hand_leaves_that_as_it_is(shop: Path):
    begin(shop)
    with open_store(shop) as store:
        store.append([a_weighing(lot="L-2301", mass=12.0)])
    by_hand = (shop / "lots.csv").read_text() + "\n"
    (shop / "lots.csv").write_text(by_hand)
    assert another_daylight(shop) == ()
    assert living.hand_changes(shop) == [living.HandChange("lots.csv", "changed")]
    assert (shop / "lots.csv").read_text() == by_hand


def test_a_form_with_a_fault_keeps_nothing(shop: Path):
    begin(shop)
    was = (shop / "shop.toml").read_text()
    assert put(shop, "shop.toml", "name = 3", was=was, at=MONDAY, who=["OP4"], why="x")
    assert living.hand_changes(shop) == []
    assert open_workshop(shop).name == "Lower Sluice Sheet Workshop"


def test_records_written_as_files_are_the_same_workshop(shop: Path, tmp_path: Path):
    begin(shop)
    with open_store(shop) as store:
        store.append([a_weighing(lot="L-2301", mass=12.0)])
    out = tmp_path / "out"
    living.write_files(shop, out, at=MONDAY)
    assert open_workshop(out).lots == open_workshop(shop).lots
    assert open_workshop(out).form == "files"


def test_a_floor_that_keeps_events_alone_leaves_its_workshop_in_the_files(shop: Path):
    with open_store(shop) as store:
        store.append([a_weighing(lot="L-2301")])
    assert open_workshop(shop).form == "files"


def test_a_folder_without_records_is_opened_without_the_database_library(shop: Path):
    told = (
        "import sys; from pathlib import Path; from flatstock.actions.workshops import open_workshop\n"
        "open_workshop(Path(sys.argv[1])); assert 'sqlalchemy' not in sys.modules\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", told, str(shop)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("name", ["done.csv", "done.toml", "changes.toml"])
def test_a_note_of_the_day_is_no_file_changed_by_hand_and_goes_into_copies_and_written_files(
    shop: Path, tmp_path: Path, name: str
):
    begin(shop)
    (shop / name).write_text("# of the day\n")
    assert living.hand_changes(shop) == []
    living.write_files(shop, tmp_path / "out", at=MONDAY)
    assert (tmp_path / "out" / name).read_text() == "# of the day\n"
    copy, _ = copies.back_up_records(shop, MONDAY)
    copies.restore_records(copy.file, tmp_path / "elsewhere", MONDAY)
    assert (tmp_path / "elsewhere" / name).read_text() == "# of the day\n"

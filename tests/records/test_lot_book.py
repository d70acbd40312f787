"""A lot is taken in, held, released and counted by one action each, with who, when and why."""

import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from flatstock import demo
from flatstock.actions import lot_book
from flatstock.actions.living import begin_records, hand_changes, take_files
from flatstock.actions.setting_up import change, sheaf_of
from flatstock.actions.workshops import open_workshop
from flatstock.errors import Fault, Refused
from flatstock.records import Store, open_store
from flatstock.running.event import Event
from flatstock.workshop.shop import Lot
from tests.records.some import MONDAY, a_weighing


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    folder = tmp_path / "shop"
    demo.copy_to(folder)
    return folder


def enter(shop: Path, **said: str) -> tuple[str, ...]:
    usual = {"id": "L-9", "plastic": "hdpe", "mass_kg": "12,5", "status": "quarantine", "origin": "crates"}
    faults = lot_book.enter_lot(shop, usual | said, at=MONDAY, who=["OP4"], why="brought by the school")
    return tuple(fault.sentence() for fault in faults)


def test_a_new_lot_is_on_record_in_its_file_and_in_what_commands_read(shop: Path):
    assert enter(shop) == ()
    assert open_workshop(shop).lots["L-9"].mass == 12.5
    assert "L-9" in (shop / "lots.csv").read_text()
    (entry,) = lot_book.lot_history(shop, "L-9")
    assert (entry.status, entry.who, entry.why) == ("quarantine", ("OP4",), "brought by the school")
    assert hand_changes(shop) == []


def test_a_lot_with_a_fault_is_not_taken_in(shop: Path):
    before = (shop / "lots.csv").read_bytes()
    assert any("mass_kg" in fault for fault in enter(shop, mass_kg="-3"))
    assert (shop / "lots.csv").read_bytes() == before
    assert "L-9" not in open_workshop(shop).lots


def test_a_name_that_is_taken_is_no_new_lot(shop: Path):
    assert "called L-2301 already" in enter(shop, id="L-2301")[0]


def test_a_held_lot_is_not_weighed_until_it_is_released_again(shop: Path):
    lot_book.give_status(shop, "L-2301", "quarantine", at=MONDAY, who=["OP4"], why="smells of solvent")
    with open_store(shop) as store:
        with pytest.raises(Refused, match="a held lot is not weighed"):
            store.append([a_weighing(lot="L-2301")])
        lot_book.give_status(shop, "L-2301", "released", at=MONDAY, who=["OP4"], why="aired, looked at")
        store.append([a_weighing(lot="L-2301")])
    assert [one.status for one in lot_book.lot_history(shop, "L-2301")] == [
        "released",
        "quarantine",
        "released",
    ]


@pytest.mark.parametrize(
    ("who", "why", "said"), [([], "damp", "nobody says so"), (["OP4"], " ", "no reason is given")]
)
def test_a_hold_needs_somebody_and_a_reason(shop: Path, who: list[str], why: str, said: str):
    with pytest.raises(Refused, match=said):
        lot_book.give_status(shop, "L-2301", "blocked", at=MONDAY, who=who, why=why)


def test_a_release_that_a_rule_forbids_is_refused_whoever_gives_it(shop: Path):
    held = enter(shop, id="L-10", plastic="hdpe", origin="electrical", colour="black")
    assert held == ()
    with pytest.raises(Refused, match="brom"):
        lot_book.give_status(shop, "L-10", "released", at=MONDAY, who=["OP4"], why="looks clean")
    assert open_workshop(shop).lots["L-10"].status == "quarantine"


def test_a_count_says_what_the_book_was_off_by(shop: Path):
    assert lot_book.count_lot(shop, "L-2301", 400.0, at=MONDAY, who=["OP4"]) == -12.0
    assert open_workshop(shop).lots["L-2301"].mass == 400.0


def released_by(said: pytest.ExceptionInfo[Refused]) -> str:
    return " ".join(fault.sentence() for fault in said.value.faults)


def test_a_lot_that_a_form_takes_in_as_released_lacks_its_tests(shop: Path):
    faults = " ".join(enter(shop, status="released"))
    assert "float and sink: no result is in (origin: crates)" in faults
    assert "L-9" not in open_workshop(shop).lots


def test_a_file_that_releases_a_lot_lacks_its_tests_too(shop: Path):
    assert enter(shop) == ()
    path = shop / "lots.csv"
    path.write_text(path.read_text("utf-8").replace('"12,5",quarantine', '"12,5",released'), "utf-8")
    with pytest.raises(Refused) as said:
        take_files(shop, at=MONDAY, who=["OP4"], why="written by hand")
    assert "looking through: no result is in" in released_by(said)
    assert open_workshop(shop).lots["L-9"].status == "quarantine"


def test_with_its_tests_in_a_file_may_release_it(shop: Path):
    assert enter(shop) == ()
    with open_store(shop) as store:
        store.append([a_test("L-9", one) for one in ("float_sink", "zero_find", "moisture", "bulk_density")])
    path = shop / "lots.csv"
    path.write_text(path.read_text("utf-8").replace('"12,5",quarantine', '"12,5",released'), "utf-8")
    take_files(shop, at=MONDAY, who=["OP4"], why="written by hand")
    assert open_workshop(shop).lots["L-9"].status == "released"


def test_a_test_that_failed_last_keeps_a_file_from_releasing_a_lot_again(shop: Path):
    lot_book.give_status(shop, "L-2301", "quarantine", at=MONDAY, who=["OP4"], why="looks odd")
    with open_store(shop) as store:
        store.append([a_test("L-2301", "zero_find", "failed")])
    path = shop / "lots.csv"
    take_files(shop, at=MONDAY, who=["OP4"], why="as it stands")
    held = path.read_text("utf-8")
    path.write_text(held.replace("412,quarantine", "412,released"), "utf-8")
    with pytest.raises(Refused, match="it has failed last"):
        take_files(shop, at=MONDAY, who=["OP4"], why="written by hand")


def test_another_origin_of_a_released_lot_asks_for_what_that_origin_asks_for_besides(shop: Path):
    begin_records(shop, at=MONDAY, who=["OP4"], why="begun")
    path = shop / "lots.csv"
    text = path.read_text("utf-8")
    line = next(one for one in text.splitlines() if one.startswith("L-2305"))
    path.write_text(text.replace(line, line.replace("household", "unknown")), "utf-8")
    with pytest.raises(Refused) as said:
        take_files(shop, at=MONDAY, who=["OP4"], why="nobody knows after all")
    assert "bromine: no result is in (origin: unknown)" in released_by(said)
    assert "float and sink" not in released_by(said)  # asked for by the former origin as well


def test_what_a_workshop_had_when_its_records_began_stands_as_it_was(shop: Path):
    begin_records(shop, at=MONDAY, who=["OP4"], why="begun")
    assert open_workshop(shop).lots["L-2305"].status == "released"


def a_test(lot: str, test: str, result: str = "passed") -> Event:
    return Event(id=f"{lot} {test} {result}", at=MONDAY, noted_at=MONDAY, kind="tested", who=("OP4",),
                 facts={"lot": lot, "test": test, "result": result})  # fmt: skip


class WhileItIsSaid(dict[str, str]):
    """What a form says, while something else happens in the shop."""

    def __init__(self, said: dict[str, str], happens: Callable[[], object]) -> None:
        super().__init__(said)
        self.happens: Callable[[], object] | None = happens

    def items(self):  # type: ignore[no-untyped-def]  # the view that a dict gives has no public name
        happens, self.happens = self.happens, None
        if happens is not None:
            happens()
        return super().items()


def test_a_lot_that_is_held_and_weighed_while_its_row_is_changed_stays_held_and_weighed(shop: Path):
    begin_records(shop, at=MONDAY, who=["OP4"], why="the app was opened")
    row = next(one for one in sheaf_of(shop, "lots").entries if one.title == "L-2301")

    def happens() -> None:
        with open_store(shop) as store:
            store.append([a_weighing(lot="L-2301", mass=12.0)])
        lot_book.give_status(shop, "L-2301", "quarantine", at=MONDAY, who=["OP4"], why="smells of solvent")

    said = WhileItIsSaid({"dry_first": "true"}, happens)
    assert change(shop, "lots", row.at, row.of, said, at=MONDAY, who=["OP1"]) == ()
    lot = open_workshop(shop).lots["L-2301"]
    assert (lot.status, lot.mass, lot.dry_first) == ("quarantine", 400.0, True)


def test_of_two_changes_to_one_list_at_the_same_moment_both_stand(shop: Path):
    begin_records(shop, at=MONDAY, who=["OP4"], why="the app was opened")
    rows = {one.title: one for one in sheaf_of(shop, "lots").entries}

    def happens() -> None:
        other = rows["L-2304"]
        assert change(shop, "lots", other.at, other.of, {"dry_first": "true"}, at=MONDAY, who=["OP2"]) == ()

    said = WhileItIsSaid({"moisture_percent": "0.2"}, happens)
    assert change(shop, "lots", rows["L-2301"].at, "", said, at=MONDAY, who=["OP1"]) == ()
    lots = open_workshop(shop).lots
    assert lots["L-2304"].dry_first
    assert lots["L-2301"].moisture == pytest.approx(0.002)


def test_a_test_that_fails_while_a_lot_is_being_released_is_noted_after_it(
    shop: Path, monkeypatch: pytest.MonkeyPatch
):
    assert enter(shop) == ()
    with open_store(shop) as store:
        store.append([a_test("L-9", one) for one in ("float_sink", "zero_find", "moisture", "bulk_density")])
    late: list[threading.Thread] = []
    looked = lot_book.not_yet

    def told() -> None:
        with open_store(shop) as other:
            other.append([a_test("L-9", "zero_find", "failed")])

    def look(store: Store, lot: Lot) -> list[Fault]:
        faults = looked(store, lot)
        late.append(threading.Thread(target=told))
        late[0].start()
        late[0].join(1)  # time enough to slip in between, if it could
        return faults

    monkeypatch.setattr(lot_book, "not_yet", look)
    lot_book.give_status(shop, "L-9", "released", at=MONDAY, who=["OP4"], why="its tests are in")
    late[0].join(30)
    with open_store(shop) as store:
        kinds = [one.kind for _, one in store.events(kinds=("tested", "released"))]
    assert kinds[-2:] == ["released", "tested"]

"""A list under a name that is not read is told, never passed over without a word."""

import pytest

from flatstock.workshop.files import check


@pytest.mark.parametrize(
    ("right", "wrong", "instead"),
    [
        ("lots.csv", "Lots.CSV", "call it lots.csv"),
        ("lots.csv", "lot.csv", "call it lots.csv"),
        ("lots.csv", "lots.xlsx", "save it from the spreadsheet as lots.csv"),
        ("orders.csv", "orders.txt", "call it orders.csv"),
        ("plastics.toml", "Plastics.toml", "call it plastics.toml"),
    ],
)
def test_a_file_under_another_name_is_the_one_fault(folder, right, wrong, instead):
    (folder / right).rename(folder / wrong)
    if (folder / right).exists():
        pytest.skip("this file system takes both names for one")
    shop, faults, _ = check(folder)
    assert shop is None
    assert [(fault.where, fault.instead) for fault in faults] == [(wrong, instead)]


def test_a_copy_beside_the_file_that_is_read_is_left_alone(folder):
    (folder / "orders.txt").write_text("my notes", "utf-8")
    (folder / "orders-2025.csv").write_text("id\n", "utf-8")
    shop, faults, _ = check(folder)
    assert shop is not None
    assert faults == []


def test_a_link_to_nothing_is_told(folder):
    (folder / "lots.csv").unlink()
    (folder / "lots.csv").symlink_to(folder / "gone.csv")
    _, faults, _ = check(folder)
    assert [fault.where for fault in faults] == ["lots.csv"]
    assert "a link to a file that is not there" in faults[0].what

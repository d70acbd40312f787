"""A workshop of one's own from plain answers, every line explained beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from pathlib import Path
from tempfile import TemporaryDirectory

from flatstock.errors import Fault, Refused
from flatstock.workshop.files import check
from flatstock.workshop.folder import must_be_free, write_folder
from flatstock.workshop.machine_zone import machine_zone
from flatstock.workshop.start_answers import StartAnswers
from flatstock.workshop.start_before import outlay_text, supply_text
from flatstock.workshop.start_lists import PLASTICS, lots_text, orders_text
from flatstock.workshop.start_room import room_text
from flatstock.workshop.start_slips import slips
from flatstock.workshop.start_text import shop_text

__all__ = ["StartAnswers", "must_be_free", "start_faults", "usual_answers", "write_new"]


def usual_answers() -> StartAnswers:
    """What counts where nobody is asked: all of it assumed, the time zone this machine's."""
    names = frozenset(f.name for f in fields(StartAnswers)) - {"assumed"}
    return replace(StartAnswers(), time_zone=machine_zone(), assumed=names)


def write_new(folder: Path, answers: StartAnswers) -> list[Path]:
    """Write a new workshop into `folder`, all of it or nothing; the files written.

    Raises
    ------
    Refused
        The folder is not empty, or the answers don't make a workshop (a frame larger than the platens):
        one fault for each thing that is wrong.
    """
    if faults := slips(answers):
        raise Refused(faults)
    return write_folder(folder, _contents(answers), check=_must_read)


def start_faults(answers: StartAnswers) -> list[Fault]:
    """What would be wrong with the workshop of these answers; nothing is left behind."""
    if faults := slips(answers):
        return faults
    with TemporaryDirectory(prefix="flatstock-") as name:
        folder = Path(name)
        for file, data in _contents(answers).items():
            (folder / file).write_bytes(data)
        return check(folder)[1]


def _contents(answers: StartAnswers) -> Mapping[str, bytes]:
    texts = {
        "shop.toml": shop_text(answers),
        "plastics.toml": PLASTICS,
        "lots.csv": lots_text(answers),
        "orders.csv": orders_text(answers),
        "room.toml": room_text(answers),
        "supply.toml": supply_text(answers),
        "outlay.toml": outlay_text(answers),
    }
    return {name: text.encode("utf-8") for name, text in texts.items()}


def _must_read(folder: Path) -> None:
    _, faults, _ = check(folder)
    if faults:
        raise Refused(faults)

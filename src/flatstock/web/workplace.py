"""The folder that the app is open on, and what time it is there."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from threading import RLock

from flatstock.actions.living import HandChange, Living, begin_records
from flatstock.actions.workshops import open_workshop, zone_of
from flatstock.errors import Refused
from flatstock.prints.saying import PLAIN, Saying, saying_of
from flatstock.prints.shown import Shown
from flatstock.times import START_OF_DAY
from flatstock.web.clockwork import Clockwork, anchored
from flatstock.workshop.shop import Workshop
from flatstock.workshop.written import FILES, has_file, written_in

__all__ = ["Workplace"]


@dataclass
class Workplace:
    """One folder; a workshop may still have to be started in it.

    `now_is` is the moment that the app takes for now when it starts; from there its clock runs as any clock. Once
    the workshop's files can be read, its records are begun from them, and are what every page reads.
    """

    folder: Path
    now_is: datetime | None = None
    clock: Clockwork | None = None
    trouble: str = field(init=False, default="")  #: why there are no records; empty: there are, or may be yet
    _seen: tuple[object, ...] = field(init=False, default=())
    _shop: Workshop | None = field(init=False, default=None)
    _living: Living | None = field(init=False, default=None)
    _changes: tuple[tuple[object, ...], list[HandChange]] = field(init=False, default=((), []))
    _files: tuple[tuple[object, ...], frozenset[str]] = field(init=False, default=((), frozenset()))
    _lock: RLock = field(init=False, default_factory=RLock)

    @property
    def started(self) -> bool:
        """Whether a workshop stands in the folder."""
        return (self.folder / "shop.toml").is_file() or self._living is not None or self._in_records()

    def shop(self) -> Workshop:
        """The workshop as its records say at this moment, or its files where it has none; read where one has changed.

        Raises
        ------
        Refused
            With every fault of the files.
        """
        with self._lock:
            living = self.living()
            stamps = self._stamps() if living is None else living.mark()
            if self._shop is None or stamps != self._seen:
                known = (
                    None if living is None or self._shop is None else living.followed(self._shop, self._seen)
                )
                self._shop = open_workshop(self.folder) if known is None else known
                self._seen = stamps
            return self._shop

    def written(self) -> object:
        """What changes when any of the workshop's files does, in whichever form it is read."""
        with self._lock:
            living = self.living()
            return self._stamps() if living is None else living.mark().files

    def has(self, file: str) -> bool:
        """Whether the workshop has this file, in whichever form it is read."""
        with self._lock:
            living, stamps = self.living(), (self.written(),)
            if self._files[0] != stamps:
                if living is None:
                    there = written_in(self.folder)
                    self._files = (stamps, frozenset(name for name in FILES if there.has(name)))
                else:
                    self._files = (stamps, living.files())
            return file in self._files[1]

    def living(self) -> Living | None:
        """The records, begun from the files where there were none; None where they can't be: `trouble` says why."""
        with self._lock:
            if self._living is None and self.started:
                try:
                    begin_records(self.folder, at=self._opened(), who=(), why="the app was opened")
                    self._living = Living(self.folder)
                    self.trouble = ""
                except Refused as error:
                    self.trouble = error.faults[0].sentence()
            return self._living

    def hand_changes(self) -> list[HandChange]:
        """Files that were changed by hand since, to be taken in or left."""
        with self._lock:
            living = self.living()
            if living is None:
                return []
            stamps = (*self._stamps(), *living.mark())
            if self._changes[0] != stamps:
                self._changes = (stamps, living.hand_changes(self.folder))
            return self._changes[1]

    def _opened(self) -> datetime:
        """The moment at which the records begin: a practice workshop's stands in its own day."""
        try:
            return self.now_is or _stands_still(open_workshop(self.folder)) or datetime.now(UTC)
        except Refused:
            return datetime.now(UTC)

    def close(self) -> None:
        """Give the records back."""
        with self._lock:
            if self._living is not None:
                self._living.close()
                self._living = None

    def _in_records(self) -> bool:
        """Records that were copied without their files hold a workshop too."""
        try:
            return has_file(self.folder, "shop.toml")
        except Refused:
            return False

    def _stamps(self) -> tuple[object, ...]:
        """What changes when a file of the workshop changes."""
        found = []
        for path in sorted(self.folder.glob("*")):
            if path.suffix in (".toml", ".csv"):
                try:
                    stat = path.stat()
                except OSError:  # gone between the two calls
                    continue
                found.append((path.name, stat.st_mtime_ns, stat.st_size))
        return tuple(found)

    def zone(self) -> tzinfo:
        """Of the shop's clock; UTC where there is no shop yet, or none that can be read."""
        try:
            return zone_of(self.shop()) if self.started else UTC
        except Refused:
            return UTC

    def now(self) -> datetime:
        """The moment by the shop's clock, to the second, with its offset."""
        return self.instant().replace(microsecond=0)

    def instant(self) -> datetime:
        """The moment as exactly as it is known; the true one while the files can't be read."""
        if self.clock is None:
            try:
                self.clock = Clockwork(self._start())
            except Refused:
                return datetime.now(UTC)
        return self.clock.now().astimezone(self.zone())

    def _start(self) -> datetime | None:
        """What the clock shows at first; None: the true time."""
        if self.now_is is not None:
            return self.now_is
        start = _stands_still(self.shop()) if self.started else None
        return None if start is None else anchored(self.folder, start)

    def saying(self) -> Saying:
        """How the shop writes numbers and times."""
        return saying_of(self.shop()) if self.started else PLAIN

    def shown(self) -> Shown:
        """In which units the shop reads; in pounds and ounces where a scale of its own counts so."""
        if not self.started:
            return Shown()
        shop = self.shop()
        by_scale = [Shown(shop.units_shown, scale_step=one.step) for one in shop.scales]
        return next((one for one in by_scale if one.in_ounces), Shown(shop.units_shown))


def _stands_still(shop: Workshop) -> datetime | None:
    """When the day of a practice workshop begins; None: it is no such workshop."""
    day = shop.today
    if day is None:
        return None
    return datetime.combine(day, START_OF_DAY, zone_of(shop))

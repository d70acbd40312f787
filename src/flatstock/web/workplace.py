"""The folder that the app is open on, and what time it is there."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from threading import Lock

from flatstock.actions.workshops import open_workshop, zone_of
from flatstock.prints.shown import Shown
from flatstock.web.clockwork import Clockwork, anchored
from flatstock.web.saying import Saying
from flatstock.workshop.shop import Workshop

__all__ = ["Workplace"]

START_OF_DAY = 7  # the hour at which a workshop that stands still on one day is opened


@dataclass
class Workplace:
    """One folder; a workshop may still have to be started in it.

    `now_is` is the moment that the app takes for now when it starts; from there its clock runs as any clock.
    """

    folder: Path
    now_is: datetime | None = None
    clock: Clockwork | None = None
    _seen: tuple[object, ...] = field(init=False, default=())
    _shop: Workshop | None = field(init=False, default=None)
    _lock: Lock = field(init=False, default_factory=Lock)

    @property
    def started(self) -> bool:
        """Whether a workshop stands in the folder."""
        return (self.folder / "shop.toml").is_file()

    def shop(self) -> Workshop:
        """The workshop as its files say at this moment; read again only where one has changed.

        Raises
        ------
        Refused
            With every fault of the files.
        """
        stamps = self._stamps()
        with self._lock:
            if self._shop is None or stamps != self._seen:
                self._shop = open_workshop(self.folder)
                self._seen = stamps
            return self._shop

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
        """Of the shop's clock; UTC where there is no shop yet."""
        return zone_of(self.shop()) if self.started else UTC

    def now(self) -> datetime:
        """The moment by the shop's clock, to the second, with its offset."""
        return self.instant().replace(microsecond=0)

    def instant(self) -> datetime:
        """The moment as exactly as it is known."""
        if self.clock is None:
            self.clock = Clockwork(self._start())
        return self.clock.now().astimezone(self.zone())

    def _start(self) -> datetime | None:
        """What the clock shows at first; None: the true time."""
        if self.now_is is not None:
            return self.now_is
        today = self.shop().today if self.started else None
        if today is None:
            return None
        start = datetime(today.year, today.month, today.day, START_OF_DAY, tzinfo=self.zone())
        return anchored(self.folder, start)

    def saying(self) -> Saying:
        """How the shop writes numbers and times."""
        if not self.started:
            return Saying()
        shop = self.shop()
        return Saying(shop.decimal_mark, shop.clock_face)

    def shown(self) -> Shown:
        """In which units the shop reads."""
        return Shown(self.shop().units_shown if self.started else "metric")

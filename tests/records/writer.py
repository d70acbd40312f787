"""A process that keeps events and says so after each, until it is killed or can't."""

import resource
import sys
from datetime import UTC, datetime

from flatstock.errors import UserError
from flatstock.records import open_store
from flatstock.running.event import Event


def keep(where: str, name: str, limit: int) -> None:
    """`limit`: bytes that no file may grow beyond; 0 for none."""
    with open_store(where) as store:
        if limit:
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
        at = datetime(2026, 3, 2, tzinfo=UTC)
        for n in range(100_000):
            event = Event(id=f"{name}-{n}", at=at, noted_at=at, kind="note", facts={"text": "x" * 500})
            try:
                store.append([event])
            except UserError as error:
                sys.stdout.write(f"{error}\n")
                break
            sys.stdout.write(f"{event.id}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    keep(sys.argv[1], sys.argv[2], int(sys.argv[3]))

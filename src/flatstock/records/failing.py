"""What a database says when it can't, in a sentence a person can act on; nothing half done is kept."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError

from flatstock.errors import Fault, NotNow, Refused

__all__ = ["Broken", "told"]

_NOTHING = "nothing of this was kept, and what was kept before is whole"

#: what SQLite or PostgreSQL says, what it means, what to do; the first that fits
_SAID: tuple[tuple[tuple[str, ...], str, str], ...] = (
    (
        ("database or disk is full", "No space left", "could not extend file", "disk I/O error"),
        f"the disk is full or failing: {_NOTHING}",
        "make room, then do it again",
    ),
    (
        ("readonly database", "read-only transaction", "permission denied"),
        f"it can't be written: {_NOTHING}",
        "make the folder and the file writable for whoever runs this",
    ),
    (
        ("unable to open database file",),
        "it can't be opened",
        "look whether the folder is there, and may be read and written by whoever runs this",
    ),
    (
        ("database is locked", "lock timeout", "canceling statement due to lock"),
        f"somebody else has been writing for too long: {_NOTHING}",
        "do it again in a moment",
    ),
    (
        ("malformed", "not a database", "file is encrypted"),
        "the file is damaged or no records at all",
        "close the app, put the file aside and copy the newest of `backups` in its place",
    ),
    (
        ("password", "authentication failed", 'role "', "no pg_hba.conf entry"),
        "the server does not let this user in",
        "correct user and password in the URL",
    ),
    (
        ('database "',),
        "the server has no such database",
        "make it (`createdb NAME`), or correct the URL",
    ),
    (
        ("connection", "connect", "server closed", "terminating", "resolve host"),
        f"the server does not answer: {_NOTHING}",
        "look whether it runs and the network is there, then do it again",
    ),
)


class Broken(Refused):
    """A rule of the records stood against it: a held lot, a row that stays, a name that is not there."""


@contextmanager
def told(shown: str) -> Iterator[None]:
    """Turn what the database raises into `Refused`, mostly `NotNow`; what nobody foresaw goes on as it is."""
    try:
        yield
    except IntegrityError as error:
        raise Broken(Fault(shown, _plain(error), "")) from error
    except DBAPIError as error:
        text = str(error.orig)
        for words, what, instead in _SAID:
            if any(word in text for word in words):
                raise NotNow(Fault(shown, what, instead)) from error
        if isinstance(error, OperationalError):
            raise NotNow(Fault(shown, f"{_plain(error)}: {_NOTHING}", "do it again in a moment")) from error
        raise


def _plain(error: DBAPIError) -> str:
    """The first line of what the database said."""
    return str(error.orig).strip().partition("\n")[0]

"""The living form of a workshop: what is kept for good, in SQLite beside its files or in PostgreSQL by URL.

Only this room speaks SQL. `open_store` opens the records and brings them up to this version's tables; a `Store`
gives connections for one action each, and the modules beside it ask and keep through them, one function a
question, dataclasses in and out.
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from flatstock.records.store import Store, open_store

__all__ = ["Store", "open_store"]


def __getattr__(name: str) -> Any:
    """`Store` and `open_store` when they are asked for: to look for records must not import a database library."""
    if name in __all__:
        from flatstock.records import store

        return getattr(store, name)
    raise AttributeError(name)

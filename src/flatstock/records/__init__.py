"""The living form of a workshop: what is kept for good, in SQLite beside its files or in PostgreSQL by URL.

Only this room speaks SQL. `open_store` opens the records and brings them up to this version's tables; a `Store`
gives connections for one action each, and the modules beside it ask and keep through them, one function a
question, dataclasses in and out.
"""

from flatstock.records.store import Store, open_store

__all__ = ["Store", "open_store"]

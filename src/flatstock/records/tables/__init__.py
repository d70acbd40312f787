"""The tables as they are now; `migrations` leads every earlier version to them."""

from sqlalchemy import MetaData

__all__ = ["metadata"]

#: names of constraints follow one rule, so that a later migration can name what it changes
metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)

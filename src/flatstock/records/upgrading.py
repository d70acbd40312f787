"""Bring records up to the tables of this version; Alembic is imported only where a step is missing."""

from __future__ import annotations

from importlib.resources import files

from sqlalchemy import Connection, inspect, text

from flatstock.errors import Fault, Refused

__all__ = ["HEAD", "at_version", "upgrade"]

HEAD = "r0003"  #: the last step in `migrations/versions`
_TABLE = "alembic_version"


def at_version(db: Connection) -> str | None:
    """The last step that these records have been through; None for an empty database."""
    if not inspect(db).has_table(_TABLE):
        return None
    found: str | None = db.execute(text(f"select version_num from {_TABLE}")).scalar()
    return found


def upgrade(db: Connection, *, shown: str, to: str = HEAD) -> None:
    """Run the steps that are missing, in the transaction of `db`.

    Raises
    ------
    Refused
        The records were made by a newer version of this program.
    """
    from alembic.config import Config
    from alembic.runtime.environment import EnvironmentContext
    from alembic.script import ScriptDirectory

    from flatstock.records.tables.all import metadata

    now = at_version(db)
    if now is not None and now > HEAD:
        raise Refused(
            Fault(
                shown,
                f"these records were kept by a newer version (tables {now}, this one knows {HEAD})",
                "bring this program up to date",
            )
        )
    config = Config()
    scripts = str(files("flatstock.records") / "migrations")
    config.set_main_option("script_location", scripts.replace("%", "%%"))  # its parser fills % in
    config.set_main_option("path_separator", "os")
    script = ScriptDirectory.from_config(config)
    with EnvironmentContext(
        config, script, fn=lambda rev, _: script._upgrade_revs(to, rev), destination_rev=to
    ) as environment:
        environment.configure(connection=db, target_metadata=metadata)
        environment.run_migrations()

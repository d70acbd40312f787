"""Rules that the database itself keeps, whoever writes to it: rows that stay as they are."""

from __future__ import annotations

__all__ = ["only_added"]


def only_added(table: str, dialect: str) -> list[str]:
    """Statements after which the rows of `table` can be added to and neither changed nor taken out."""
    said = f"rows of {table} are only ever added"
    if dialect == "sqlite":
        return [
            f"create trigger {table}_is_not_changed before update on {table}"
            f" begin select raise(abort, '{said}'); end",
            f"create trigger {table}_is_not_taken_out before delete on {table}"
            f" begin select raise(abort, '{said}'); end",
        ]
    return [
        f"create trigger {table}_is_not_changed before update or delete on {table}"
        f" for each row execute function refuse('{said}')",
        f"create trigger {table}_is_not_emptied before truncate on {table}"
        f" for each statement execute function refuse('{said}')",
    ]


#: PostgreSQL's way to say no in a trigger
REFUSE = """
create function refuse() returns trigger language plpgsql as $$
begin
    raise exception '%', tg_argv[0] using errcode = 'integrity_constraint_violation';
end $$
"""

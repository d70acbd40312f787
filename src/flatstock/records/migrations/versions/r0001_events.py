"""Events of the floor."""

import sqlalchemy as sa
from alembic import op

from flatstock.records.columns import Instant, Json, Sequence
from flatstock.records.rules import REFUSE, only_added

revision = "r0001"
down_revision = None


def upgrade() -> None:
    """Make the table of events, whose rows stay."""
    op.create_table(
        "event",
        sa.Column("seq", Sequence, autoincrement=True),
        sa.Column("id", sa.Text, nullable=False),
        sa.Column("at", Instant, nullable=False),
        sa.Column("noted_at", Instant, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("who", Json, nullable=False),
        sa.Column("sheet", sa.Text),
        sa.Column("place", sa.Text),
        sa.Column("facts", Json, nullable=False),
        sa.Column("corrects", sa.Text),
        sa.Column("why", sa.Text),
        sa.Column("device", sa.Text),
        sa.Column("kept_at", Instant, nullable=False),
        sa.PrimaryKeyConstraint("seq", name="pk_event"),
        sa.UniqueConstraint("id", name="uq_event_id"),
        sa.ForeignKeyConstraint(
            ["corrects"], ["event.id"], name="fk_event_corrects", deferrable=True, initially="DEFERRED"
        ),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_event_at", "event", ["at"])
    op.create_index("ix_event_sheet_seq", "event", ["sheet", "seq"])
    op.create_index("ix_event_kind_seq", "event", ["kind", "seq"])
    op.create_index("ix_event_corrects", "event", ["corrects"])
    dialect = op.get_bind().dialect.name
    if dialect == "postgresql":
        op.execute(REFUSE)
    else:  # `insert or replace` would take the old row out without asking a trigger
        op.execute(
            "create trigger event_comes_once before insert on event"
            " when exists (select 1 from event where id = new.id or seq = new.seq)"
            " begin select raise(ignore); end"
        )
    for statement in only_added("event", dialect):
        op.execute(statement)

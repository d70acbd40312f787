"""The written form, lots with states and book stock, weighings, and what went into what."""

import sqlalchemy as sa
from alembic import op

from flatstock.records.columns import Instant, Json, Sequence
from flatstock.records.holds import rules_of_lots
from flatstock.records.rules import only_added

revision = "r0002"
down_revision = "r0001"

ADDED = ("kept_file", "lot_status", "stock_entry", "weighing", "passage", "withdrawn")


def upgrade() -> None:
    """Make the tables of stock and their rules."""
    op.create_table(
        "kept_file",
        sa.Column("name", sa.Text),
        sa.Column("version", sa.Integer),
        sa.Column("body", sa.LargeBinary),
        sa.Column("at", Instant, nullable=False),
        sa.Column("who", Json, nullable=False),
        sa.Column("why", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("name", "version", name="pk_kept_file"),
    )
    op.create_table(
        "lot",
        sa.Column("id", sa.Text),
        sa.Column("plastic", sa.Text, nullable=False),
        sa.Column("colour", sa.Text),
        sa.Column("origin", sa.Text, nullable=False),
        sa.Column("status", sa.Text, nullable=False),
        sa.Column("mass_kg", sa.Float, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_lot"),
        sa.CheckConstraint("mass_kg >= 0", name="ck_lot_no_less_than_nothing"),
    )
    op.create_table(
        "lot_status",
        sa.Column("seq", Sequence, autoincrement=True),
        sa.Column("lot", sa.Text, nullable=False),
        sa.Column("status", sa.Text, nullable=False),
        sa.Column("at", Instant, nullable=False),
        sa.Column("who", Json, nullable=False),
        sa.Column("why", sa.Text, nullable=False),
        sa.Column("event", sa.Text),
        sa.PrimaryKeyConstraint("seq", name="pk_lot_status"),
        sa.ForeignKeyConstraint(["lot"], ["lot.id"], name="fk_lot_status_lot"),
        sa.ForeignKeyConstraint(["event"], ["event.id"], name="fk_lot_status_event"),
        sa.CheckConstraint(
            "status in ('received', 'quarantine', 'released', 'blocked', 'empty')", name="ck_lot_status_known"
        ),
        sa.CheckConstraint("trim(why) <> ''", name="ck_lot_status_reason"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "stock_entry",
        sa.Column("seq", Sequence, autoincrement=True),
        sa.Column("lot", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("change_kg", sa.Float, nullable=False),
        sa.Column("counted_kg", sa.Float),
        sa.Column("at", Instant, nullable=False),
        sa.Column("who", Json, nullable=False),
        sa.Column("why", sa.Text),
        sa.Column("event", sa.Text),
        sa.PrimaryKeyConstraint("seq", name="pk_stock_entry"),
        sa.ForeignKeyConstraint(["lot"], ["lot.id"], name="fk_stock_entry_lot"),
        sa.ForeignKeyConstraint(["event"], ["event.id"], name="fk_stock_entry_event"),
        sa.CheckConstraint(
            "kind in ('written', 'weighed', 'given_back', 'counted', 'more_than_booked')",
            name="ck_stock_entry_known",
        ),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "weighing",
        sa.Column("event", sa.Text),
        sa.Column("sheet", sa.Text, nullable=False),
        sa.Column("lot", sa.Text, nullable=False),
        sa.Column("target_kg", sa.Float),
        sa.Column("actual_kg", sa.Float, nullable=False),
        sa.Column("at", Instant, nullable=False),
        sa.Column("who", Json, nullable=False),
        sa.PrimaryKeyConstraint("event", name="pk_weighing"),
        sa.ForeignKeyConstraint(["event"], ["event.id"], name="fk_weighing_event"),
        sa.ForeignKeyConstraint(["lot"], ["lot.id"], name="fk_weighing_lot"),
        sa.CheckConstraint("actual_kg > 0", name="ck_weighing_something"),
    )
    op.create_table(
        "passage",
        sa.Column("seq", Sequence, autoincrement=True),
        sa.Column("from_kind", sa.Text, nullable=False),
        sa.Column("from_id", sa.Text, nullable=False),
        sa.Column("to_kind", sa.Text, nullable=False),
        sa.Column("to_id", sa.Text, nullable=False),
        sa.Column("mass_kg", sa.Float),
        sa.Column("at", Instant, nullable=False),
        sa.Column("who", Json, nullable=False),
        sa.Column("why", sa.Text),
        sa.Column("event", sa.Text),
        sa.Column("withdraws", Sequence),
        sa.PrimaryKeyConstraint("seq", name="pk_passage"),
        sa.ForeignKeyConstraint(["event"], ["event.id"], name="fk_passage_event"),
        sa.ForeignKeyConstraint(["withdraws"], ["passage.seq"], name="fk_passage_withdraws"),
        sa.CheckConstraint("from_kind in ('lot', 'sheet', 'offcut', 'part')", name="ck_passage_from"),
        sa.CheckConstraint("to_kind in ('lot', 'sheet', 'offcut', 'part', 'order')", name="ck_passage_to"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "withdrawn",
        sa.Column("event", sa.Text),
        sa.Column("by_event", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("event", name="pk_withdrawn"),
        sa.ForeignKeyConstraint(["event"], ["event.id"], name="fk_withdrawn_event"),
        sa.ForeignKeyConstraint(["by_event"], ["event.id"], name="fk_withdrawn_by_event"),
    )
    op.create_index("ix_lot_status_lot_seq", "lot_status", ["lot", "seq"])
    op.create_index("ix_lot_status_event", "lot_status", ["event"])
    op.create_index("ix_stock_entry_lot_seq", "stock_entry", ["lot", "seq"])
    op.create_index("ix_stock_entry_event", "stock_entry", ["event"])
    op.create_index("ix_weighing_sheet", "weighing", ["sheet"])
    op.create_index("ix_weighing_lot", "weighing", ["lot"])
    op.create_index("ix_passage_from_kind_from_id", "passage", ["from_kind", "from_id"])
    op.create_index("ix_passage_to_kind_to_id", "passage", ["to_kind", "to_id"])
    op.create_index("ix_passage_event", "passage", ["event"])
    op.create_index("ix_passage_withdraws", "passage", ["withdraws"])
    dialect = op.get_bind().dialect.name
    for table in ADDED:
        for statement in only_added(table, dialect):
            op.execute(statement)
    for statement in rules_of_lots(dialect):
        op.execute(statement)

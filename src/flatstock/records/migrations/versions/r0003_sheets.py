"""Sheets with their recipes, steps, measurements, faults, photos; checks and signatures; weighing again."""

from typing import Any

import sqlalchemy as sa
from alembic import op

from flatstock.records.carrying import EVENT, carry, touched_sheets
from flatstock.records.columns import Instant, Json
from flatstock.records.holds import rule_of_weighing_again
from flatstock.records.rules import only_added
from flatstock.running.event import Event
from flatstock.running.standing import standing

revision = "r0003"
down_revision = "r0002"

ADDED = (
    "recipe",
    "sheet",
    "frozen",
    "step",
    "measurement",
    "thickness",
    "fault",
    "photo",
    "safety_check",
    "signature",
)
STEPS = ("prepared", "loaded", "breathed", "transferred", "moved", "demoulded", "trimmed", "scrapped")
ALWAYS = ("checked", "handed_over", "undone", "corrected")
NUMBERS = ("mass_kg", "length_mm", "width_mm", "bow_mm", "bow_over_mm")
TEXTS = ("grade", "face_up", "front_edge")


def _of_event() -> sa.Column[Any]:
    return sa.Column("event", sa.Text, nullable=False)


def _refers(table: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(["event"], ["event.id"], name=f"fk_{table}_event")


def _said() -> tuple[sa.Column[Any], sa.Column[Any]]:
    return sa.Column("at", Instant, nullable=False), sa.Column("who", Json, nullable=False)


def upgrade() -> None:
    """Make the tables and fill them from the events on record."""
    _make()
    _index()
    dialect = op.get_bind().dialect.name
    op.add_column("weighing", sa.Column("replaces", sa.Text))
    for statement in rule_of_weighing_again(dialect):
        op.execute(statement)
    _fill(op.get_bind())
    for table in ADDED:
        for statement in only_added(table, dialect):
            op.execute(statement)


def _make() -> None:
    op.create_table(
        "recipe",
        sa.Column("key", sa.Text),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("body", Json, nullable=False),
        *_said(),
        sa.PrimaryKeyConstraint("key", name="pk_recipe"),
        sa.UniqueConstraint("name", "version", name="uq_recipe_name_version"),
    )
    op.create_table(
        "sheet",
        sa.Column("id", sa.Text),
        sa.Column("order_id", sa.Text),
        sa.Column("plastic", sa.Text),
        sa.Column("colour", sa.Text),
        sa.Column("thickness_mm", sa.Float),
        _of_event(),
        sa.Column("at", Instant, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_sheet"),
        _refers("sheet"),
    )
    op.create_table(
        "frozen",
        _of_event(),
        sa.Column("sheet", sa.Text, nullable=False),
        sa.Column("recipe", sa.Text, nullable=False),
        sa.Column("plan", sa.Text),
        *_said(),
        sa.PrimaryKeyConstraint("event", name="pk_frozen"),
        _refers("frozen"),
        sa.ForeignKeyConstraint(["sheet"], ["sheet.id"], name="fk_frozen_sheet"),
        sa.ForeignKeyConstraint(["recipe"], ["recipe.key"], name="fk_frozen_recipe"),
    )
    op.create_table(
        "step",
        _of_event(),
        sa.Column("sheet", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("place", sa.Text),
        sa.Column("set_point_C", sa.Float),
        *_said(),
        sa.PrimaryKeyConstraint("event", name="pk_step"),
        _refers("step"),
        sa.CheckConstraint(f"kind in ({', '.join(map(repr, STEPS))})", name="ck_step_known"),
    )
    op.create_table(
        "measurement",
        _of_event(),
        sa.Column("sheet", sa.Text, nullable=False),
        *(sa.Column(name, sa.Float) for name in NUMBERS),
        *(sa.Column(name, sa.Text) for name in TEXTS),
        *_said(),
        sa.PrimaryKeyConstraint("event", name="pk_measurement"),
        _refers("measurement"),
    )
    op.create_table(
        "thickness",
        sa.Column("event", sa.Text),
        sa.Column("point", sa.Integer),
        sa.Column("mm", sa.Float, nullable=False),
        sa.PrimaryKeyConstraint("event", "point", name="pk_thickness"),
        sa.ForeignKeyConstraint(["event"], ["measurement.event"], name="fk_thickness_event"),
        sa.CheckConstraint("point between 1 and 9", name="ck_thickness_known"),
        sa.CheckConstraint("mm > 0", name="ck_thickness_something"),
    )
    op.create_table(
        "fault",
        _of_event(),
        sa.Column("sheet", sa.Text, nullable=False),
        sa.Column("fault", sa.Text, nullable=False),
        sa.Column("spot", sa.Text),
        *_said(),
        sa.PrimaryKeyConstraint("event", name="pk_fault"),
        _refers("fault"),
    )
    op.create_table(
        "photo",
        sa.Column("key", sa.Text),
        sa.Column("type", sa.Text, nullable=False),
        sa.Column("bytes", sa.LargeBinary, nullable=False),
        sa.Column("at", Instant, nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_photo"),
        sa.CheckConstraint("type in ('image/jpeg', 'image/png', 'image/webp')", name="ck_photo_known"),
    )
    op.create_table(
        "safety_check",
        _of_event(),
        sa.Column("list", sa.Text, nullable=False),
        *_said(),
        sa.PrimaryKeyConstraint("event", name="pk_safety_check"),
        _refers("safety_check"),
    )
    op.create_table(
        "signature",
        sa.Column("event", sa.Text),
        sa.Column("person", sa.Text),
        sa.Column("at", Instant, nullable=False),
        sa.PrimaryKeyConstraint("event", "person", name="pk_signature"),
        _refers("signature"),
    )


def _index() -> None:
    for table, *columns in (
        ("sheet", "order_id"),
        ("sheet", "at"),
        ("frozen", "sheet", "at"),
        ("frozen", "recipe"),
        ("step", "sheet", "at"),
        ("step", "kind", "at"),
        ("measurement", "sheet", "at"),
        ("measurement", "at"),
        ("fault", "sheet", "at"),
        ("fault", "fault", "at"),
        ("safety_check", "list", "at"),
        ("signature", "person", "at"),
    ):
        op.create_index(f"ix_{table}_{'_'.join(columns)}", table, columns)


def _fill(db: sa.Connection) -> None:
    """What earlier events said that these tables keep; a sheet's recipe was not kept then, and stays unknown."""
    gone = {row.event for row in db.execute(sa.text("select event from withdrawn"))}
    carry(db, steps=STEPS, numbers=NUMBERS, texts=TEXTS)
    # what was corrected, and what is of no sheet, goes through the rules of the program
    told = EVENT.c.kind.in_((*STEPS, "measured", "weighed")) & EVENT.c.sheet.in_(touched_sheets())
    query = sa.select(EVENT).where(told | EVENT.c.kind.in_(ALWAYS)).order_by(EVENT.c.seq)
    found = []
    roots: dict[str, str] = {}
    last: dict[str, str] = {}
    for row in db.execute(query):
        said = row._asdict()
        said.pop("seq")
        found.append(Event(**said))
        root = roots.setdefault(row.id, roots.get(row.corrects or "", row.id))
        if row.id not in gone:
            last[root] = row.id  # under it stands what followed from the event as it is now
    for one in standing(found):
        if one.id in last:
            _enter(db, one, last[one.id])


def _enter(db: sa.Connection, one: Event, event: str) -> None:
    said = {"at": one.at, "who": list(one.who)}
    facts = one.facts
    if one.kind in STEPS and one.sheet is not None:
        point = facts.get("set_point_C")
        heat = point if isinstance(point, int | float) else None
        _put(
            db, "step", event=event, sheet=one.sheet, kind=one.kind, place=one.where, set_point_C=heat, **said
        )
    if one.kind in ("weighed", "loaded") and one.sheet is not None:
        known = db.execute(sa.text("select 1 from sheet where id = :id"), {"id": one.sheet}).first()
        if known is None:
            _put(db, "sheet", id=one.sheet, event=event, at=one.at)
    if one.kind == "measured" and one.sheet is not None:
        measured = {name: facts.get(name) for name in (*NUMBERS, *TEXTS)}
        _put(db, "measurement", event=event, sheet=one.sheet, **measured, **said)
        for point in range(1, 10):
            mm = facts.get(f"t{point}_mm")
            if isinstance(mm, int | float) and mm > 0:
                _put(db, "thickness", event=event, point=point, mm=mm)
    if one.kind == "checked" and isinstance(facts.get("list"), str):
        _put(db, "safety_check", event=event, list=facts["list"], **said)
    if one.kind == "handed_over":
        for person in dict.fromkeys(one.who):
            _put(db, "signature", event=event, person=person, at=one.at)


def _put(db: sa.Connection, table: str, **row: object) -> None:
    types: dict[str, sa.types.TypeEngine[Any]] = {"at": Instant(), "who": Json}
    columns: list[sa.ColumnClause[Any]] = [sa.column(name, types.get(name)) for name in row]
    db.execute(sa.insert(sa.table(table, *columns)).values(row))

"""The rule that no held lot is weighed, kept by the database itself: by no route, not as a recipe, not as regrind."""

from __future__ import annotations

__all__ = ["rules_of_lots"]

#: the lot and everything that ever went into it; a passage that was withdrawn leads nowhere
_HELD = """exists (
    with recursive up(kind, id) as (
        select 'lot', new.lot
        union
        select p.from_kind, p.from_id from up join passage p on p.to_kind = up.kind and p.to_id = up.id
        where p.withdraws is null and not exists (select 1 from passage w where w.withdraws = p.seq)
    )
    select 1 from up join lot on up.kind = 'lot' and lot.id = up.id
    where (lot.id = new.lot and lot.status <> 'released')
       or (lot.id <> new.lot and lot.status not in ('released', 'empty'))
)"""
_WEIGHED = "a held lot is not weighed"
_UNSIGNED = "a lot changes its status by an entry that says who and why"
_GONE = "a lot that is held stays held when it is gone"

#: the lot's newest entry; None for one that is just being written
_NEWEST = "(select status from lot_status where lot = new.id order by seq desc limit 1)"
_BEFORE = "(select status from lot_status where lot = new.lot order by seq desc limit 1)"


def rules_of_lots(dialect: str) -> list[str]:
    """Statements that make the rules; they need the tables of stock."""
    checks = [
        ("weighing_of_a_held_lot", "insert on weighing", _HELD, _WEIGHED),
        ("lot_status_is_signed", "update on lot", f"new.status is distinct from {_NEWEST}", _UNSIGNED),
        (
            "held_lot_is_not_emptied",
            "insert on lot_status",
            f"new.status = 'empty' and {_BEFORE} in ('received', 'quarantine', 'blocked')",
            _GONE,
        ),
        ("lot_begins_unused", "insert on lot", "new.status <> 'received'", _UNSIGNED),
    ]
    if dialect == "sqlite":
        return [
            f"create trigger {name} before {when} when {_sqlite(rule)} begin select raise(abort, '{said}'); end"
            for name, when, rule, said in checks
        ] + [
            "create trigger lot_stays before delete on lot begin select raise(abort, 'a lot stays on record'); end"
        ]
    made = []
    for name, when, rule, said in checks:
        made.append(
            f"create function {name}() returns trigger language plpgsql as $$ begin if {rule} then raise exception"
            f" '{said}' using errcode = 'integrity_constraint_violation'; end if; return new; end $$"
        )
        made.append(f"create trigger {name} before {when} for each row execute function {name}()")
    made.append(
        "create trigger lot_stays before delete on lot for each row execute function refuse('a lot stays on record')"
    )
    return made


def _sqlite(rule: str) -> str:
    return rule.replace(" is distinct from ", " is not ")


#: a weighing that puts another right, of the same lot for the same sheet: it was let in when it was told first
_AGAIN = """exists (
    select 1 from weighing first where first.event = new.replaces and first.lot = new.lot and first.sheet = new.sheet
)"""


def rule_of_weighing_again(dialect: str) -> list[str]:
    """Statements after which a weighing on record may be put right though its lot has been held since."""
    rule = f"not {_AGAIN} and {_HELD}"
    if dialect == "sqlite":
        return [
            "drop trigger weighing_of_a_held_lot",
            f"create trigger weighing_of_a_held_lot before insert on weighing when {rule}"
            f" begin select raise(abort, '{_WEIGHED}'); end",
        ]
    return [
        "create or replace function weighing_of_a_held_lot() returns trigger language plpgsql as $$ begin"
        f" if {rule} then raise exception '{_WEIGHED}' using errcode = 'integrity_constraint_violation'; end if;"
        " return new; end $$"
    ]

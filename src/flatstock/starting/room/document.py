"""The document `flatstock.room/1`: the question, and with a plan the answer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from flatstock.plastics.safety import cautions_for
from flatstock.starting.room.answer import Alternative, Proof, RoomAnswer
from flatstock.starting.room.check import judge
from flatstock.starting.room.corner import equal_ways
from flatstock.starting.room.move_in import passage
from flatstock.starting.room.plan import Caveat, Plan
from flatstock.starting.room.question import Door, Item, Placement, Question, Room, Rules, Trolley, Zone
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.skate import way_in
from flatstock.starting.room.trolley import route, turning_side
from flatstock.starting.room.ways import Ways

__all__ = ["FORMAT", "TOPICS", "question_document", "room_document", "walk_per_day"]

FORMAT = "flatstock.room/1"
TOPICS = ("room", "fire", "fume", "saw", "noise", "electricity", "plan")
Document = dict[str, Any]


def question_document(question: Question, where: Mapping[str, Placement] | None = None) -> Document:
    """The question as a document; with placements its items and zones as placed."""
    at = {item.id: item.placed for item in question.items if item.placed} if where is None else where
    return {
        "format": FORMAT,
        "shop": question.shop,
        "grid_mm": question.grid_mm,
        "room": _room(question.room),
        "rules": _rules(question.rules),
        "items": [_item(item, at.get(item.id), question) for item in _by_id(question.items)],
        "near": [{"a": n.a, "b": n.b, "how": n.how, "longest_mm": n.longest_mm} for n in question.near],
        "apart": [{"a": n.a, "b": n.b, "shortest_mm": n.shortest_mm} for n in question.apart],
        "in_line": [
            {
                "a": n.a, "b": n.b, "side_a": n.side_a, "side_b": n.side_b, "gap_min_mm": n.gap_min_mm,
                "gap_max_mm": n.gap_max_mm, "offset_max_mm": n.offset_max_mm, "via": n.via,
            }
            for n in question.in_line
        ],
        "flows": [
            {"from": f.start, "to": f.to, "trips_per_day": _plain(f.trips_per_day), "by": f.by, "mass_kg": f.mass_kg}
            for f in question.flows
        ],
    }  # fmt: skip


def room_document(
    question: Question,
    answer: RoomAnswer,
    *,
    made_at: datetime | None = None,
    caveats: Iterable[Caveat] = (),
    more: Mapping[str, Any] | None = None,
) -> Document:
    """The answer to a question.

    Parameters
    ----------
    caveats
        What nothing here forbids but somebody must decide.
    more
        Further parts under their own keys: "air", "fire".
    """
    plan = answer.plan
    document = question_document(question, plan.placements if plan else None)
    if made_at is not None:
        document["made_at"] = made_at.isoformat()
    ways = judge(question, plan).ways if plan else None
    document["flows"] = [
        _walked(flow, ways, plan) | _pushed(flow, question, plan) for flow in document["flows"]
    ]
    document |= {
        "walk_m_per_day": walk_per_day(question, ways, plan) if ways and plan else None,
        "ways_out": _ways_out(question, ways, plan) if ways and plan else [],
        "left_out": [{"item": k, "because": v} for k, v in sorted(plan.left_out.items())] if plan else [],
        "warnings": [{"code": c.code, "item": c.item, "text": c.text} for c in sorted(caveats)],
        "conflict": list(answer.conflict),
        "why": answer.why,
        "would_help": [{"what": h.what, "proof": h.proof} for h in answer.would_help],
        "alternatives": [_alternative(n, a) for n, a in enumerate(answer.alternatives, 1)],
        "proof": _proof(answer.proof),
        "trolley": _trolley(question.rules.trolley),
        "cautions": cautions_for(*TOPICS),
        **(more or {}),
    }
    return document


def walk_per_day(question: Question, ways: Ways, plan: Plan) -> float | None:
    """Metres walked a day by the flows between things that are there; None where one has no way."""
    total = 0.0
    for flow in question.flows:
        if not _there(plan, flow.start, flow.to):
            continue
        walk = ways.walk_mm(flow.start, flow.to)
        if walk is None:
            return None
        total += flow.trips_per_day * walk / 1000
    return round(total, 6)


def _room(room: Room) -> Document:
    return {
        "outline_mm": [list(corner) for corner in room.written_mm or room.outline_mm],
        "height_mm": room.height_mm,
        "low": [{"id": low.id, **_rect(low.box), "height_mm": low.height_mm} for low in _by_id(room.low)],
        "floor_kN_m2": room.floor_kN_m2,
        "columns": [{"id": column.id, **_rect(column.box)} for column in _by_id(room.columns)],
        "doors": [_door(door) for door in _by_id(room.doors)],
        "supply_points": [
            {"id": p.id, "kind": p.kind, "x_mm": p.x_mm, "y_mm": p.y_mm} for p in _by_id(room.supply_points)
        ],
    }


def _door(door: Door) -> Document:
    return {
        "id": door.id, "x1_mm": door.x1_mm, "y1_mm": door.y1_mm, "x2_mm": door.x2_mm, "y2_mm": door.y2_mm,
        "clear_width_mm": door.clear_width_mm, "clear_height_mm": door.clear_height_mm, "exit": door.exit,
        "goods": door.goods, "opens": door.opens,
    }  # fmt: skip


def _rules(rules: Rules) -> Document:
    document: Document = {
        "escape_width_mm": rules.escape_width_mm,
        "escape_longest_mm": rules.escape_longest_mm,
        "access_width_mm": rules.access_width_mm,
        "service_width_mm": rules.service_width_mm,
        "narrow_longest_mm": rules.narrow_longest_mm,
        "door_clear_mm": rules.door_clear_mm,
        "sources": dict(sorted(rules.sources.items())),
    }
    if (trolley := rules.trolley) is not None:
        document["trolley"] = {
            "length_mm": trolley.length_mm, "width_mm": trolley.width_mm, "clearance_mm": trolley.clearance_mm,
            "moves": trolley.moves, "door_clearance_mm": trolley.door_clearance_mm,
        }  # fmt: skip
    return document


def _item(item: Item, at: Placement | None, question: Question) -> Document:
    box = Rect(0, 0, item.length_mm, item.width_mm) if at is None else item.footprint(at)
    document: Document = {
        "id": item.id,
        "class": item.kind,
        "length_mm": box.length_mm,
        "width_mm": box.width_mm,
        "height_mm": item.height_mm,
        "head_room_mm": item.head_room_mm,
        "mass_kg": None if item.mass_kg is None else _plain(item.mass_kg),
        "combustible": item.combustible,
        "hot_gap_mm": item.hot_gap_mm,
        "optional": item.optional,
        "may_turn_deg": list(item.may_turn_deg),
        "move_in": None,
        "zones": [_zone(item, zone, at) for zone in _by_id(item.zones)],
    }
    if at is not None:
        document |= {"x_mm": at.x_mm, "y_mm": at.y_mm, "turned_deg": at.turned_deg}
    if item.assumed:
        document["assumed"] = list(item.assumed)
    if (way := item.move_in) is not None:
        document["move_in"] = {
            "door": way.door, "how": way.how, "skate_mm": way.skate_mm, "clearance_mm": way.clearance_mm,
            "angle_max_deg": way.angle_max_deg,
        }  # fmt: skip
        if (found := passage(item, question.room)) is not None:
            document["comes_in"] = {"passes": found.passes, "text": found.text}
            comes = not item.there and found.passes
            if at is not None and comes and (by := way_in(question, item, at)) is not None:
                path = [[_plain(x), _plain(y)] for x, y in by.path_mm]
                turns = [[_plain(x), _plain(y)] for x, y in by.turns_mm]
                document["comes_in"] |= {"path_mm": path, "turns_mm": turns}
    return document


def _zone(item: Item, zone: Zone, at: Placement | None) -> Document:
    document: Document = {
        "id": zone.id, "kind": zone.kind, "side": zone.side, "depth_mm": zone.depth_mm, "from_mm": zone.from_mm,
        "to_mm": item.side_length(zone.side) if zone.to_mm is None else zone.to_mm, "exclusive": zone.exclusive,
        "trolley": zone.trolley, "people": zone.people, "allow": sorted(zone.allow),
    }  # fmt: skip
    return document if at is None else document | _rect(item.zone_as_placed(zone, at))


def _walked(flow: Document, ways: Ways | None, plan: Plan | None) -> Document:
    if ways is None or plan is None or not _there(plan, flow["from"], flow["to"]):
        return flow | {"walk_mm": None, "path_mm": []}
    path = [[_plain(x), _plain(y)] for x, y in ways.path_mm(flow["from"], flow["to"])]
    return flow | {"walk_mm": ways.walk_mm(flow["from"], flow["to"]), "path_mm": path}


def _pushed(flow: Document, question: Question, plan: Plan | None) -> Document:
    """The way of the trolley, where a flow goes by it between two of its zones."""
    if plan is None or flow["by"] != "trolley" or not _there(plan, flow["from"], flow["to"]):
        return {}
    found = route(question, plan.placements, flow["from"], flow["to"])
    if found is None:
        return {}
    return {
        "trolley_path_mm": [[_plain(x), _plain(y)] for x, y in found.path_mm],
        "trolley_turns_mm": [[_plain(x), _plain(y)] for x, y in found.turns_mm],
    }


def _ways_out(question: Question, ways: Ways, plan: Plan) -> list[Document]:
    found = []
    for item in question.items:
        for zone in item.zones if item.id in plan.placements else ():
            if zone.standing:
                out = ways.out(f"{item.id}.{zone.id}")
                path = [[_plain(x), _plain(y)] for x, y in ways.out_path_mm(f"{item.id}.{zone.id}")]
                found.append({
                    "zone": f"{item.id}.{zone.id}", "exit": out.exit, "walk_mm": out.walk_mm,
                    "narrow_mm": out.narrow_mm, "path_mm": path,
                })  # fmt: skip
    return sorted(found, key=lambda way: str(way["zone"]))


def _alternative(number: int, other: Alternative) -> Document:
    return {
        "file": None,
        "number": number,
        "walk_m_per_day": other.walk_m_per_day,
        "differs": other.differs,
        "items": [
            {"id": name, "x_mm": at.x_mm, "y_mm": at.y_mm, "turned_deg": at.turned_deg}
            for name, at in sorted(other.plan.placements.items())
        ],
    }


def _proof(proof: Proof) -> Document:
    return {
        "status": proof.status,
        "walk_m_per_day": proof.walk_m_per_day,
        "bound_m_per_day": None if proof.bound_m_per_day is None else round(proof.bound_m_per_day, 6),
        "grid_mm": proof.grid_mm,
        "seconds": round(proof.seconds, 3),
    }


def _trolley(trolley: Trolley | None) -> Document | None:
    """What the trolley takes: its box, the square that it turns in, and how wide equal ways round a corner are."""
    if trolley is None:
        return None
    length, width = (side + 2 * trolley.clearance_mm for side in (trolley.length_mm, trolley.width_mm))
    return {
        "box_mm": [length, width],
        "turning_mm": turning_side(trolley),
        "corner_mm": round(equal_ways(length, width), 1),
    }


def _there(plan: Plan, *zones: str) -> bool:
    return all(zone.rpartition(".")[0] in plan.placements for zone in zones)


def _rect(box: Rect) -> Document:
    return {"x_mm": box.x_mm, "y_mm": box.y_mm, "length_mm": box.length_mm, "width_mm": box.width_mm}


def _by_id(things: Iterable[Any]) -> list[Any]:
    return sorted(things, key=lambda thing: str(thing.id))


def _plain(number: float) -> float | int:
    """A whole number without its point."""
    return int(number) if float(number).is_integer() else number

"""Floor that people and the trolley need somewhere, as rectangles that no thing may stand on.

Whoever gets out of a standing place comes, within the narrow limit, to a square as wide as a way out; and the trolley
must be somewhere with its middle in each of its zones. That much holds in every plan that passes, so a model with these
rectangles forbids none of those, and most plans that nobody could walk through fail it.
"""

from __future__ import annotations

from flatstock.starting.room.question import Item, Zone
from flatstock.starting.room.solve.beside import legs
from flatstock.starting.room.solve.crossings import TrolleyBox, cross_lines
from flatstock.starting.room.solve.master import Master

__all__ = ["room_to_walk"]


def room_to_walk(master: Master) -> None:
    """Ask for a square beside each standing place, for the trolley's box at each of its zones, and where both cross."""
    boxes: list[TrolleyBox] = []
    for item in master.question.items:
        for zone in item.zones:
            if zone.standing:
                _square(master, item, zone)
            if zone.trolley and master.question.rules.trolley is not None:
                boxes.append(_trolley(master, item, zone))
    cross_lines(master, boxes)


def _square(master: Master, item: Item, zone: Zone) -> None:
    rules, model = master.question.rules, master.model
    wide, most = rules.escape_width_mm, 2 * rules.narrow_longest_mm
    left, right, low, high = master.free_rect(wide, wide)
    name = f"{item.id}.{zone.id}"
    middle = master.middle(name, 0), master.middle(name, 1)
    model.add(sum(legs(model, (left + right, low + high), middle, (most, most))) <= most)


def _trolley(master: Master, item: Item, zone: Zone) -> TrolleyBox:
    trolley = master.question.rules.trolley
    assert trolley is not None
    long, wide = (side + 2 * trolley.clearance_mm for side in (trolley.length_mm, trolley.width_mm))
    lies = master.model.new_bool_var("")
    box = master.free_rect(wide + (long - wide) * lies, long + (wide - long) * lies)
    floor = master.zone_rect(item, zone)
    for first in (0, 2):
        master.model.add(box[first] + box[first + 1] >= 2 * floor[first])
        master.model.add(box[first] + box[first + 1] <= 2 * floor[first + 1])
    return box, lies

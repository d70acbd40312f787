"""Every rule that a plan is held to, by the short id that a finding carries."""

from __future__ import annotations

from collections.abc import Mapping

__all__ = ["RULES"]

RULES: Mapping[str, str] = {
    # the document
    "shape": "every field is there and holds what it should; instants carry an offset",
    "unique": "an id stands once in its list",
    "known": "what is named stands in the document, and is of the kind needed there",
    "sorted": "tasks, settings and power by start, then id; the rest by id",
    "lasts": "a task ends after it starts, and so does a setting (off may be an instant)",
    # the steps of a sheet
    "compulsory": "weigh, prepare, load, dwell, transfer, press_cool and demould, each once",
    "once": "no step but move, stack and rack comes twice",
    "order": "the steps come in their order",
    "overlap": "the steps of a sheet do not overlap",
    "moved_in": "stack and rack are each entered by a move, and a move leads to one of them",
    "dwell_after_load": "dwell begins when load ends",
    "cool_after_transfer": "press_cool begins when transfer ends",
    "leaves_as_it_ends": "after dwell, press_cool, stack and rack the next step begins when they end",
    "nowhere": "a mould is in a place until it is demoulded",
    # times of a sheet
    "dwell_figures": "dwell_min <= dwell_planned_min <= dwell_latest_min",
    "dwell_short": "transfer begins no earlier than dwell_min after dwell began",
    "dwell_advised": "transfer begins no earlier than dwell_planned_min after dwell began",
    "dwell_long": "transfer begins no later than dwell_latest_min after dwell began",
    "press_cool_short": "press_cool lasts at least press_cool_min",
    # places
    "places": "a step names the places it needs",
    "touched": "load, transfer and move list the place left and the place entered",
    "capacity": "no place holds more than its capacity",
    "bench_kept": "the bench of prepare is the sheet's own until load ends",
    "mass": "no place or lift carries more than it may",
    "last_in_first_out": "a stack gives back last in, first out",
    "stacked_at_once": "no two sheets come onto a stack at the same moment",
    # mould sets
    "frame_shared": "a frame belongs to one sheet from prepare to the end of demould",
    "skins_shared": "a pair of skins belongs to one sheet from prepare to the end of demould",
    "frame_fit": "a frame is 0 to 0.75 mm thinner than the sheet",
    # people
    "hands": "a step with hands names people",
    "one_thing": "a person does one thing at a time",
    "present": "a person works only while present",
    "two_people": "load and transfer have two different people with the skill hot_transfer",
    "saw_skill": "trim has a person with the skill saw",
    "lifting": "move and demould have two people, or one and a lift among the places",
    "unattended": "a person with hot_transfer is present from heat_up to off",
    # heating
    "hot_while_out": "heaters are off while their press is out of order, once the mould that it held is out",
    "heated": "a press is heated up before anything else is set, and switched off at the end",
    "hold_fills": "hold fills every gap from heat_up to off",
    "settings_overlap": "a press has one setting at a time",
    "temperatures": "a setting starts where the one before ended, and goes the way its kind says",
    "too_quick": "a setting takes no less time than the model says",
    "while_changing": "no dwell while a setting changes",
    "set_point": "dwell only at the sheet's own set-point, heated from beginning to end",
    "clean": "nobody cleans a press that holds a mould",
    # supply
    "rated": "no phase over rated_A at any instant",
    "power": "power says what the loads that are on add up to",
    # material
    "charge": "the charge is the sum of its lots",
    "released": "only released lots are drawn",
    "lot_mass": "no lot is drawn beyond its mass",
    # charges given up
    "given_up_sheet": "a charge given up or set aside is not planned too, and what is pressed for it is in the plan",
    "given_up_kept": "its press, frame and skins are nobody else's and cold until it is taken out",
    "given_up_hands": "it is taken out once it is cold, by people and on a lift or bench that are free for it",
    # promises
    "ready": "ready is the end of trim (or demould) plus condition_h",
    "condition": "condition begins when trim (or demould) ends and lasts until ready",
    "late_min": "late_min is how long after due the sheet is ready, 0 where it is not",
    "late": "late lists every order that is late, with the sum over its sheets",
    "left_out": "an order left out carries its reason, and such a week is called impossible",
    "proof": "optimal means that every value equals its bound",
    "rehearsed": "each sheet that was rehearsed has one verdict",
}

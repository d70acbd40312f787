"""A plan written by hand: four sheets, two hot presses, a stack and a rack, on a Monday and a Tuesday morning.

A and B (HDPE, 12 mm) rest in the stack over night, B on top; C and D (PP, 6 mm, dried before) share one frame:
C cools in the rack, D stays in the cooling press until it is demoulded, and is six minutes late.
"""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from typing import Any

Plan = dict[str, Any]
ZONE = timezone(timedelta(hours=1))
MONDAY = datetime(2026, 3, 2, tzinfo=ZONE)

RESOURCES = [
    {"id": "BENCH1", "kind": "bench", "capacity": 1},
    {"id": "BENCH2", "kind": "bench", "capacity": 1},
    {"id": "CP1", "kind": "cooling_press", "capacity": 1},
    {"id": "CP2", "kind": "cooling_press", "capacity": 1},
    {"id": "DR1", "kind": "dryer", "capacity": 2, "load_max_kg": 40},
    {"id": "F06-1", "kind": "frame", "capacity": 1, "thickness_mm": 6},
    {"id": "F12-1", "kind": "frame", "capacity": 1, "thickness_mm": 11.5},
    {"id": "F12-2", "kind": "frame", "capacity": 1, "thickness_mm": 12},
    {"id": "HP1", "kind": "hot_press", "capacity": 1},
    {"id": "HP2", "kind": "hot_press", "capacity": 1},
    {"id": "LIFT", "kind": "lift", "capacity": 1, "load_max_kg": 100},
    {"id": "R1", "kind": "rack", "capacity": 1, "load_max_kg": 350},
    {"id": "S-1", "kind": "skins", "capacity": 1},
    {"id": "S-2", "kind": "skins", "capacity": 1},
    {"id": "S-3", "kind": "skins", "capacity": 1},
    {"id": "SAW", "kind": "saw", "capacity": 1},
    {"id": "SCALE", "kind": "scale", "capacity": 1},
    {"id": "ST1", "kind": "stack", "capacity": 2, "load_max_kg": 200, "order": "last_in_first_out"},
]
PEOPLE = {
    "ADA": (["hot_transfer", "saw"], ["1 07:00 12:00", "1 12:30 16:00", "2 07:00 12:00"]),
    "BO": (["hot_transfer"], ["1 07:00 12:30", "1 13:00 16:00", "2 07:00 12:00"]),
    "CY": ([], ["1 07:00 12:00", "1 12:30 16:00"]),
}
#: sheet, step, day and clock from and to, places, people
TASKS = """
A weigh      1 07:10 1 07:14 SCALE         CY
A prepare    1 07:20 1 07:25 BENCH1        CY
A load       1 08:00 1 08:03 BENCH1,HP1    ADA,BO
A dwell      1 08:03 1 08:31 HP1           -
A transfer   1 08:31 1 08:34 HP1,CP1       ADA,BO
A press_cool 1 08:34 1 08:54 CP1           -
A move       1 08:54 1 08:57 CP1,LIFT,ST1  CY
A stack      1 08:57 2 07:20 ST1           -
A demould    2 07:20 2 07:26 LIFT          BO
A trim       2 08:00 2 08:08 SAW           ADA
A condition  2 08:08 2 20:08 -             -
B weigh      1 07:30 1 07:34 SCALE         CY
B prepare    1 07:40 1 07:45 BENCH2        CY
B load       1 08:15 1 08:18 BENCH2,HP2    ADA,BO
B dwell      1 08:18 1 08:46 HP2           -
B transfer   1 08:46 1 08:49 CP2,HP2       ADA,BO
B press_cool 1 08:49 1 09:12 CP2           -
B move       1 09:12 1 09:15 CP2,ST1       BO,CY
B stack      1 09:15 2 07:10 ST1           -
B demould    2 07:10 2 07:16 BENCH1        ADA,BO
B trim       2 07:50 2 07:58 SAW           ADA
C dry        1 07:00 1 08:20 DR1           -
C weigh      1 08:20 1 08:24 SCALE         CY
C prepare    1 08:35 1 08:40 BENCH1        CY
C load       1 09:00 1 09:03 BENCH1,HP1    ADA,BO
C dwell      1 09:03 1 09:17 HP1           -
C transfer   1 09:17 1 09:20 CP1,HP1       ADA,BO
C press_cool 1 09:20 1 09:29 CP1           -
C move       1 09:29 1 09:32 CP1,R1        ADA,BO
C rack       1 09:32 1 10:10 R1            -
C demould    1 10:10 1 10:16 BENCH1        ADA,BO
C trim       1 13:10 1 13:18 SAW           ADA
D dry        1 07:00 1 08:25 DR1           -
D weigh      1 08:26 1 08:30 SCALE         CY
D prepare    1 10:20 1 10:25 BENCH1        CY
D load       1 10:30 1 10:33 BENCH1,HP1    ADA,BO
D dwell      1 10:33 1 10:47 HP1           -
D transfer   1 10:47 1 10:50 CP1,HP1       ADA,BO
D press_cool 1 10:50 1 11:00 CP1           -
D demould    1 11:00 1 11:06 BENCH1        ADA,BO
"""
SETTINGS = """
HP1 heat_up 1 07:05 1 07:40  20 195
HP1 soak    1 07:40 1 07:55 195 195
HP1 hold    1 07:55 1 08:36 195 195
HP1 clean   1 08:36 1 08:40 195 195
HP1 raise   1 08:40 1 08:50 195 210
HP1 hold    1 08:50 1 10:51 210 210
HP1 off     1 10:51 1 10:51 210  20
HP2 heat_up 1 07:10 1 07:50  20 195
HP2 soak    1 07:50 1 08:05 195 195
HP2 hold    1 08:05 1 08:51 195 195
HP2 off     1 08:51 1 08:51 195  20
"""
LOADS = [
    {"id": "HEAT", "L1_A": 30.0, "L2_A": 30.0, "L3_A": 30.0, "on_during": ["heated"]},
    {"id": "LIGHT", "L1_A": 0.0, "L2_A": 0.0, "L3_A": 1.0, "on_during": ["always"]},
    {"id": "PUMP", "L1_A": 8.7, "L2_A": 0.0, "L3_A": 0.0, "on_during": ["load", "press_cool", "transfer"]},
    {"id": "SAW", "L1_A": 15.0, "L2_A": 15.0, "L3_A": 15.0, "on_during": ["trim"]},
]


def at(day: str | int, clock: str, monday: datetime = MONDAY) -> str:
    """An instant of that week, day 1 being the Monday."""
    hour, minute = map(int, clock.split(":"))
    return (monday + timedelta(days=int(day) - 1, hours=hour, minutes=minute)).isoformat()


def small_week(monday: datetime = MONDAY) -> Plan:
    """The plan; every call makes a new one."""

    def span(words: str) -> Plan:
        day, start, end = words.split()
        return {"start": at(day, start, monday), "end": at(day, end, monday)}

    resources = [dict(one) for one in RESOURCES] + [
        {
            "id": name,
            "kind": "person",
            "capacity": 1,
            "skills": list(skills),
            "present": [span(s) for s in there],
        }
        for name, (skills, there) in PEOPLE.items()
    ]
    hdpe = {"order": "O-1", "plastic": "hdpe", "colour": "dark", "thickness_mm": 12, "charge_kg": 11.74, "set_point_C": 195,
            "dwell_min": 21.5, "dwell_planned_min": 28, "dwell_latest_min": 40, "press_cool_min": 20, "condition_h": 12,
            "due": at(3, "10:00", monday), "mould_mass_kg": 68}  # fmt: skip
    pp = {"order": "O-2", "plastic": "pp", "colour": None, "thickness_mm": 6, "charge_kg": 5.6, "set_point_C": 210,
          "dwell_min": 9, "dwell_planned_min": 13, "dwell_latest_min": None, "press_cool_min": 9, "condition_h": 0,
          "due": at(1, "15:00", monday), "mould_mass_kg": 54}  # fmt: skip
    sheets = [
        {"id": "A", **hdpe, "lots": [{"lot": "L-1", "mass_kg": 10.74}, {"lot": "L-2", "mass_kg": 1.0}], "frame": "F12-1", "skins": "S-1"},
        {"id": "B", **hdpe, "lots": [{"lot": "L-1", "mass_kg": 11.74}], "frame": "F12-2", "skins": "S-2"},
        {"id": "C", **pp, "lots": [{"lot": "L-3", "mass_kg": 5.6}], "frame": "F06-1", "skins": "S-3"},
        {"id": "D", **pp, "lots": [{"lot": "L-3", "mass_kg": 5.6}], "frame": "F06-1", "skins": "S-3", "due": at(1, "11:00", monday)},
    ]  # fmt: skip
    plan: Plan = {
        "format": "flatstock.plan/1",
        "shop": "Two Presses",
        "made_at": at(1, "07:00", monday),
        "start": at(1, "07:00", monday),
        "end": at(2, "16:00", monday),
        "resources": sorted(resources, key=lambda one: one["id"]),
        "lots": [
            {"id": "L-1", "plastic": "hdpe", "colour": "dark", "status": "released", "mass_kg": 25.0},
            {"id": "L-2", "plastic": "hdpe", "colour": "dark", "status": "released", "mass_kg": 1.0},
            {"id": "L-3", "plastic": "pp", "colour": None, "status": "released", "mass_kg": 11.2},
            {"id": "L-4", "plastic": "abs", "colour": "black", "status": "quarantine", "mass_kg": 75.0},
        ],
        "sheets": sheets,
        "tasks": [_task(line.split(), monday) for line in TASKS.strip().splitlines()],
        "settings": [_setting(line.split(), monday) for line in SETTINGS.strip().splitlines()],
        "rehearsal": {
            "rounds": 1,
            "sheets": [
                {"sheet": name, "core_at_transfer_C": 171.0, "core_at_open_C": 84.0, "peak_after_C": 84.0,
                 "core_at_demould_C": 31.0, "verdict": "good"}
                for name in "ABCD"
            ],
        },
        "supply": {"rated_A": 40.0, "loads": [{**one, "on_during": list(one["on_during"])} for one in LOADS]},
        "power": [],
        "energy_kWh": 31.5,
        "late": [{"order": "O-2", "minutes": 6, "because": ["one 6 mm frame for two sheets"],
                  "would_help": [{"what": "one more frame of 6 mm", "saves_min": 6}]}],
        "left_out": [],
        "warnings": [],
        "cautions": [{"text": "Platens, skins and frames burn at a touch.", "defer_to": "the workshop's risk assessment"}],
        "proof": {"status": "optimal", "objective": [{"name": "late minutes", "value": 6, "bound": 6}], "seconds": 0.4},
    }  # fmt: skip
    return settled(plan)


def _task(words: list[str], monday: datetime) -> Plan:
    sheet, step, day, start, until, end, places, people = words
    return {
        "id": f"{sheet}-{step}",
        "sheet": sheet,
        "step": step,
        "start": at(day, start, monday),
        "end": at(until, end, monday),
        "places": [] if places == "-" else places.split(","),
        "people": [] if people == "-" else people.split(","),
    }


def _setting(words: list[str], monday: datetime) -> Plan:
    place, kind, day, start, until, end, low, high = words
    return {"place": place, "kind": kind, "start": at(day, start, monday), "end": at(until, end, monday),
            "from_C": float(low), "to_C": float(high)}  # fmt: skip


def instant(text: str) -> datetime:
    return datetime.fromisoformat(text)


def task(plan: Plan, name: str) -> Plan:
    """A task by its id, to be changed."""
    return next(one for one in plan["tasks"] if one["id"] == name)


def sheet(plan: Plan, name: str) -> Plan:
    """A sheet by its id, to be changed."""
    return next(one for one in plan["sheets"] if one["id"] == name)


def resource(plan: Plan, name: str) -> Plan:
    """A resource by its id, to be changed."""
    return next(one for one in plan["resources"] if one["id"] == name)


def setting(plan: Plan, place: str, kind: str) -> Plan:
    """The first setting of a kind, to be changed."""
    return next(one for one in plan["settings"] if one["place"] == place and one["kind"] == kind)


def settled(plan: Plan) -> Plan:
    """The same plan with everything that follows from its tasks and settings written anew: order, power, ready, late."""
    plan["tasks"].sort(key=lambda one: (instant(one["start"]), one["id"]))
    plan["settings"].sort(key=lambda one: (instant(one["start"]), one["place"]))
    for one in plan["sheets"]:
        ends = {t["step"]: instant(t["end"]) for t in plan["tasks"] if t["sheet"] == one["id"]}
        last = ends.get("trim") or ends.get("demould") or instant(plan["end"])
        one["ready"] = (last + timedelta(hours=one["condition_h"])).isoformat()
        one["late_min"] = max(0, round((instant(one["ready"]) - instant(one["due"])).total_seconds() / 60))
    sums = {o: sum(s["late_min"] for s in plan["sheets"] if s["order"] == o) for o in ("O-1", "O-2")}
    kept = {one["order"]: one for one in plan["late"]}
    plan["late"] = [
        {
            "because": ["written anew"],
            "would_help": [],
            **kept.get(order, {}),
            "order": order,
            "minutes": minutes,
        }
        for order, minutes in sorted(sums.items())
        if minutes
    ]
    plan["power"] = _minute_by_minute(plan)
    return plan


def _minute_by_minute(plan: Plan) -> list[Plan]:
    """Currents by looking at every single minute: slow, and nothing like what the judge does."""
    first = instant(plan["start"])

    def minute_of(text: str) -> int:
        return round((instant(text) - first).total_seconds() / 60)

    last = minute_of(plan["end"])
    spans = [(t["step"], minute_of(t["start"]), minute_of(t["end"])) for t in plan["tasks"]]
    spans += [(s["kind"], minute_of(s["start"]), minute_of(s["end"])) for s in plan["settings"]]
    for up in [s for s in plan["settings"] if s["kind"] == "heat_up"]:
        offs = [
            minute_of(s["start"])
            for s in plan["settings"]
            if s["place"] == up["place"] and s["kind"] == "off"
        ]
        spans.append(("heated", minute_of(up["start"]), min(offs, default=last)))
    pieces: list[Plan] = []
    for minute in range(last):
        on = {name for name, start, end in spans if start <= minute < end} | {"always"}
        loads = [one for one in plan["supply"]["loads"] if on & set(one["on_during"])]
        amps = {f"L{n}_A": round(sum(one[f"L{n}_A"] for one in loads), 3) for n in (1, 2, 3)}
        end = (first + timedelta(minutes=minute + 1)).isoformat()
        if pieces and {k: pieces[-1][k] for k in amps} == amps:
            pieces[-1]["end"] = end
        else:
            pieces.append({"start": (first + timedelta(minutes=minute)).isoformat(), "end": end, **amps})
    return pieces

"""What hot presses and frames can bring out by when at best, one sheet after the other; bounds follow for any plan.

Two relaxations, each of which forgets everything but one resource; beside them stands what there is no flake for, and
the most of the three is the bound:

- *Presses.* By the time the k-th sheet leaves the hot presses, k sheets have been loaded, dwelt and transferred, so at
  least the k shortest such stays have found room: in P presses no more than P times the minutes until then in which a
  mould may be in a press at all (`hot_hours`). From there each sheet still has its
  shortest way to cool, to be demoulded, sawn and left to rest.
- *Frames.* A frame is used by one sheet after the other: prepared while somebody is there, loaded and transferred
  within one supervised stay, demoulded while somebody is there. No order of sheets empties one frame a j-th time
  sooner than the quickest sheet of all does j times in a row, each time as early as can be (the next end grows with the
  start, so taking each turn as early as possible is best, by induction). With F frames the k-th mould of the
  group is empty no sooner than the ceil(k / F)-th turn.

Let c1 <= c2 <= ... be these earliest ends and d1 <= d2 <= ... the latest ends with which sheets are in time (due less
what comes after). In any plan the ends, sorted, are no sooner than c; late minutes are a sum of max(0, end - d), and of
all ways to pair ends and dues the sorted one has the least sum, as max(0, x) is convex. So no plan has less than
sum max(0, ck - dk). If q sheets are in time, the q largest d bear c1 ... cq in turn; the largest such q leaves at
least n - q late. A sheet that is left out counts as sawn a day after the week: every c is cut off at what that comes
to. One whose due time lies after the week may be left out for nothing and is not counted at all; what has begun is
not counted either: it only takes room.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from flatstock.planning.problem.clock import Span, starts_within
from flatstock.planning.problem.warmth import least_to_end, least_to_open
from flatstock.planning.problem.week import Sheet, Week
from flatstock.planning.solve.flake import DAY, sheets_without, short_of_flake, unpressed_late
from flatstock.planning.solve.hot_hours import hot_hours

__all__ = ["minutes_late", "sheets_late", "sheets_open"]

NEVER = 10**7  #: minutes
Latest = Callable[[Sheet], int]  #: by when it has to be sawn, or demoulded where nothing is sawn


@dataclass(frozen=True, slots=True)
class _Group:
    """Sheets that come out of one resource in turn: when each turn ends at the earliest, and what comes after."""

    ends: list[int]  #: ascending
    after: list[tuple[Sheet, int]]  #: minutes from there until it is sawn

    def late(self, latest: Latest) -> int:
        """At least so many end after their latest."""
        dues = sorted((latest(sheet) - rest for sheet, rest in self.after), reverse=True)
        in_time = 0
        while in_time < len(dues) and all(
            end <= due for end, due in zip(self.ends, dues[in_time::-1], strict=False)
        ):
            in_time += 1
        return len(dues) - in_time

    def minutes(self, latest: Latest, *, cut: int) -> int:
        """At least so many minutes after their latest, over all of them."""
        dues = sorted(latest(sheet) - rest for sheet, rest in self.after)
        return sum(max(0, min(end, cut) - due) for end, due in zip(self.ends, dues, strict=True))


def minutes_late(week: Week) -> int:
    """No plan is fewer minutes late, over all its sheets."""
    counted = _with_a_due(week)
    ways = [[_presses(week, counted)], list(_frames(week, counted))]
    by_turn = max(sum(group.minutes(_due, cut=_cut(week, group)) for group in groups) for groups in ways)
    unpressed = [
        sorted(unpressed_late(week, sheet) for sheet in many)[:without]
        for many, without in short_of_flake(week, counted)
    ]
    return max(by_turn, sum(map(sum, unpressed)))


def sheets_late(week: Week) -> int:
    """No plan has fewer sheets late or left out."""
    return _most_late(week, _with_a_due(week), _due)


def sheets_open(week: Week) -> int:
    """No plan has fewer sheets that are not sawn, or not demoulded, by closing."""
    return _most_late(week, [sheet for sheet in week.sheets if sheet.done is None], lambda _: week.closing)


def _most_late(week: Week, counted: Sequence[Sheet], latest: Latest) -> int:
    ways = [[_presses(week, counted)], list(_frames(week, counted))]
    by_turn = max(sum(group.late(latest) for group in groups) for groups in ways)
    return max(by_turn, sheets_without(week, counted))


def _due(sheet: Sheet) -> int:
    assert sheet.due is not None
    return sheet.due - sheet.condition


def _with_a_due(week: Week) -> list[Sheet]:
    return [
        sheet
        for sheet in week.sheets
        if sheet.done is None and sheet.due is not None and sheet.due <= week.end + sheet.condition
    ]


def _cut(week: Week, group: _Group) -> int:
    """A sheet that is left out counts as sawn a day after the week's end: its turn would end no sooner than this."""
    return week.end + DAY - max((rest for _, rest in group.after), default=0)


def _presses(week: Week, counted: Sequence[Sheet]) -> _Group:
    presses = len({press for sheet in counted for press in sheet.kind.dwell})
    needed = accumulate(sorted(_in_press(week, sheet) for sheet in counted))
    open_ = [span for stay in week.supervised() for span in hot_hours(week, stay)]
    after = [(sheet, _after_press(week, sheet)) for sheet in counted]
    return _Group([_reached(open_, -(-minutes // presses)) for minutes in needed], after)


def _reached(spans: Sequence[Span], minutes: int) -> int:
    """When so many minutes of these spans have gone by."""
    for span in spans:
        if minutes <= max(0, span.length):
            return span.start + minutes
        minutes -= max(0, span.length)
    return NEVER


def _frames(week: Week, counted: Sequence[Sheet]) -> Iterator[_Group]:
    groups: dict[tuple[str, ...], list[Sheet]] = defaultdict(list)
    for sheet in counted:
        groups[tuple(sorted(sheet.kind.frames))].append(sheet)
    if len({frame for group in groups for frame in group}) < sum(map(len, groups)):
        return  # groups that share a frame would each count it as theirs
    for frames, sheets in groups.items():
        turns = _turns(week, sheets, -(-len(sheets) // len(frames)))
        ends = [turns[n // len(frames)] for n in range(len(sheets))]
        yield _Group(ends, [(sheet, _trim(week)) for sheet in sheets])


def _turns(week: Week, sheets: Sequence[Sheet], count: int) -> list[int]:
    """When one frame is empty for the first, the second … time, at the earliest."""
    t = week.times
    held = min(_in_press(week, sheet) for sheet in sheets)
    cool = min(_cooling(week, sheet) for sheet in sheets)
    there = [one.present for one in week.people]
    prepares, demoulds = (
        starts_within(there, people=1, minutes=minutes, start=week.now, end=week.end)
        for minutes in (t.prepare, t.demould)
    )
    loads = [
        Span(span.start, span.end - held) for stay in week.supervised() for span in hot_hours(week, stay)
    ]
    ends, moment = [], week.now
    for _ in range(count):
        for starts, minutes in ((prepares, t.prepare), (loads, held + cool), (demoulds, t.demould)):
            open_ = (max(moment, span.start) for span in starts if max(moment, span.start) <= span.end)
            moment = min(open_, default=NEVER - minutes) + minutes
        ends.append(moment)
    return ends


def _in_press(week: Week, sheet: Sheet) -> int:
    dwell = min(max(one.planned, sheet.dwell_least) for one in sheet.kind.dwell.values())
    return week.times.load + dwell + week.times.transfer


def _cooling(week: Week, sheet: Sheet) -> int:
    """From the transfer's end to the demoulding, by the shortest way, on cold plates."""
    kind = sheet.kind
    ways = [least_to_end(sheet, place) for place in kind.cool_to_end]
    if kind.rest:
        rest = week.times.move + min(kind.rest.values())
        ways += [least_to_open(sheet, place) + rest for place in kind.press_cool]
    return min(ways)


def _after_press(week: Week, sheet: Sheet) -> int:
    return _cooling(week, sheet) + week.times.demould + _trim(week)


def _trim(week: Week) -> int:
    return week.times.trim if week.sawing() else 0

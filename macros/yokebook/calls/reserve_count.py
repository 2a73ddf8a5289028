"""How many cylinders a time needs, opened one after the other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from yokebook import units
from yokebook.calls import readings, reserve_words, threshold, working
from yokebook.calls.refusal import Refusal
from yokebook.calls.reserve_arguments import CylindersNeeded
from yokebook.calls.reserve_change import rule_for
from yokebook.calls.reserve_in_turn import TOGETHER, InTurn, in_turn
from yokebook.calls.reserve_source import called, inputs, least, nominal, of_which, read_and_drawn
from yokebook.calls.reserve_words import LESS_TAKEN, LESS_TAKEN_EXAMPLE
from yokebook.calls.result import Input, Value, Working
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.number_list import Shown, significant
from yokebook.physics import reserve
from yokebook.quantities import Seconds

_A_MINUTE = 60.0
_ONE_CHANGE = 2
"""Cylinders: with two there is one change, and time for it."""


def count_of_cylinders(arguments: CylindersNeeded, department: Department) -> Value:
    """Return how many like cylinders last a time, each at the reading that is named, or full."""
    source, column = read_and_drawn(arguments, department)
    asked, time = arguments.reading, _time(arguments, department)
    rule = rule_for(source, arguments.in_hand, department, "in_hand")
    turn = in_turn(source, column, rule, next(place for place, _ in arguments.asked))
    reading = readings.of_dial(source, asked, ("reading",)) if asked else readings.full_mark(source)
    till_change, last = turn.least_till_change(reading), least(source, reading, column)
    if last < time.s and not till_change:
        raise Refusal(_too_soon(turn, arguments, "before it has given anything: no number of them is enough"))
    count = reserve.needed_in_turn(till_change, last, time.s)
    if count > _ONE_CHANGE and till_change < rule.change.s:
        after = f"after {units.shown(till_change, 'min', '0.1')}, sooner than the {rule.change.text} of a change"
        raise Refusal(_too_soon(turn, arguments, f"{after}: they cannot be changed so often"))
    usual = reserve.needed_in_turn(turn.nominal_till_change(reading), nominal(source, reading, column), time.s)
    lines = (
        f"{reserve_words.worked('up', source, (column,))} {reserve_words.litres_at(department)}",
        working.TIME,
        threshold.TURNED_ROUND,
        turn.proof(),
        TOGETHER,
        f"Each cylinder but the last: {turn.worked(reading)}",
        f"The last cylinder: {working.worked_duration(source, reading, column, 'not rounded')}",
        *_counted(count, till_change, last, time),
        working.sources(source),
    )
    from_call = [
        called("Time", arguments.time),
        *_margin(arguments, department),
        *([called("Reading of each", asked)] if asked else []),
    ]
    return Value(
        label=f"Cylinders of {source.entry.gas} for {time.text}, one after the other, each but the last changed "
        f"at {turn.mark} with {rule.in_hand.text} in hand, {column.head}, each {'' if asked else 'full, '}"
        f"showing {source.dial.label(source.dial.printed(reading))} or more, {of_which(source)}",
        shown=Shown(f"at least {_cylinders(count)}", significant(count), significant(usual)),
        unit="cylinders",
        rounding=units.Rounding.UP,
        working=Working(inputs(source, (column,), *from_call, *rule.inputs), lines),
    )


@dataclass(frozen=True)
class _Time:
    """How long cylinders are to last [s], in words."""

    s: Seconds
    text: str


def _time(arguments: CylindersNeeded, department: Department) -> _Time:
    """Return how long the cylinders are to last: the time asked for, with the margin where that is a time planned."""
    asked, margin = arguments.time, department.settings.transfer_margin
    if not arguments.planned:
        return _Time(asked.s, asked.text)
    return _Time(Seconds(asked.s * float(margin)), f"{margin} times the {asked.text} planned")


def _margin(arguments: CylindersNeeded, department: Department) -> tuple[Input, ...]:
    if not arguments.planned:
        return ()
    margin = f"× {department.settings.transfer_margin}"
    return (Input("Margin on the time planned", margin, "department.transfer_margin"),)


def _cylinders(count: int) -> str:
    return f"{units.group(Decimal(count))}{units.NO_BREAK_SPACE}{'cylinder' if count == 1 else 'cylinders'}"


def _counted(count: int, till_change: Seconds, last: Seconds, time: _Time) -> Iterator[str]:
    """Yield how long one cylinder fewer lasts, and how long the count does."""
    wanted = units.shown(time.s, "min", "0.01")
    for number in range(max(1, count - 1), count + 1):
        total = reserve.lasts_in_turn([till_change] * (number - 1), last)
        sum_of = f"{number - 1} × {units.shown(till_change, 'min', '0.01')} + {units.shown(last, 'min', '0.01')}"
        enough = "enough" if total >= time.s else "too short"
        yield f"{_cylinders(number)}: {sum_of} = {units.shown(total, 'min', '0.01')}; asked for: {wanted}, so {enough}."


def _too_soon(turn: InTurn, arguments: CylindersNeeded, when: str) -> Fault:
    """Return the fault of cylinders that are changed before they have given anything, and the reading that would do."""
    whose = "from this reading a cylinder" if arguments.reading else "a full cylinder"
    wrong = (
        f"{whose} may have come to {turn.mark}, where it is changed ({turn.rule.in_hand.text} in hand, "
        f"{turn.column.head}), {when}"
    )
    source = turn.source
    enough = turn.rule.change.s or Seconds(_A_MINUTE)
    higher = threshold.threshold(turn.till_changed, turn.column, enough) if arguments.reading else None
    if higher is None:
        at_use = next(place for place, _ in arguments.asked)
        allowed = f"{LESS_TAKEN}; or less time in hand"
        return Fault("E532", wrong, at_use, allowed=allowed, example=LESS_TAKEN_EXAMPLE)
    allowed, example = source.dial.label(higher.mark), source.dial.as_quantity(higher.mark)
    return Fault("E532", wrong, ("reading",), allowed=f"at least {allowed}", example=f'"{example}"')

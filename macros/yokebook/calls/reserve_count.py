"""How many cylinders a time needs, opened one after the other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from yokebook import units
from yokebook.calls import readings, reserve_words, threshold, working
from yokebook.calls.draw import Drawn
from yokebook.calls.refusal import Refusal
from yokebook.calls.reserve_arguments import CylindersNeeded
from yokebook.calls.reserve_source import called, change_input, inputs, least, nominal, of_which, read_and_drawn
from yokebook.calls.reserve_words import LESS_TAKEN, LESS_TAKEN_EXAMPLE
from yokebook.calls.result import Input, Value, Working
from yokebook.calls.supply import Supply
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.number_list import Shown, significant
from yokebook.physics import reserve
from yokebook.quantities import Seconds

_A_MINUTE = 60.0


def count_of_cylinders(arguments: CylindersNeeded, department: Department) -> Value:
    """Return how many like cylinders last a time, each at the reading that is named, or full."""
    source, column = read_and_drawn(arguments, department)
    asked, change, time = arguments.reading, department.settings.change_time, _time(arguments, department)
    reading = readings.of_dial(source, asked, ("reading",)) if asked else readings.full_mark(source)
    each = least(source, reading, column)
    if each <= change.s:
        raise Refusal(_no_longer_than_a_change(source, column, change, arguments))
    count = reserve.needed_in_turn(each, change.s, time.s)
    usual = reserve.needed_in_turn(nominal(source, reading, column), change.s, time.s)
    lines = (
        f"{reserve_words.worked('up', source, (column,), department)} {reserve_words.litres_at(department)}",
        working.TIME,
        f"Each cylinder: {working.worked_duration(source, reading, column, 'not rounded')}",
        reserve_words.TOGETHER,
        *_counted(count, each, change, time),
        working.sources(source),
    )
    from_call = [
        called("Time", arguments.time),
        *_margin(arguments, department),
        *([called("Reading of each", asked)] if asked else []),
    ]
    return Value(
        label=f"Cylinders of {source.entry.gas} for {time.text}, one after the other, {column.head}, "
        f"each {'' if asked else 'full, '}showing {source.dial.label(source.dial.printed(reading))} or more, "
        f"{of_which(source)}",
        shown=Shown(f"at least {_cylinders(count)}", significant(count), significant(usual)),
        unit="cylinders",
        rounding=units.Rounding.UP,
        working=Working(inputs(source, (column,), *from_call, change_input(department)), lines),
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


def _counted(count: int, each: Seconds, change: units.Duration, time: _Time) -> Iterator[str]:
    """Yield how long one cylinder fewer lasts, and how long the count does."""
    wanted = units.shown(time.s, "min", "0.01")
    for number in range(max(1, count - 1), count + 1):
        total = reserve.lasts_in_turn([each] * number, change.s)
        sum_of = f"{number} × {units.shown(each, 'min', '0.01')} − {number - 1} × {change.text}"
        enough = "enough" if total >= time.s else "too short"
        yield f"{_cylinders(number)}: {sum_of} = {units.shown(total, 'min', '0.01')}; asked for: {wanted}, so {enough}."


def _no_longer_than_a_change(
    source: Supply, column: Drawn, change: units.Duration, arguments: CylindersNeeded
) -> Fault:
    """Return the fault of cylinders that may be empty before they are changed, and the reading that would do."""
    whose = "from this reading a cylinder" if arguments.reading else "a full cylinder"
    wrong = (
        f"{whose} may last no longer than the {change.text} of a change ({column.head}): no number of them is enough"
    )
    higher = threshold.threshold(source, column, Seconds(change.s + _A_MINUTE)) if arguments.reading else None
    if higher is None:
        at_use = next(place for place, _ in arguments.asked)
        return Fault("E532", wrong, at_use, allowed=LESS_TAKEN, example=LESS_TAKEN_EXAMPLE)
    allowed, example = source.dial.label(higher.mark), source.dial.as_quantity(higher.mark)
    return Fault("E532", wrong, ("reading",), allowed=f"at least {allowed}", example=f'"{example}"')

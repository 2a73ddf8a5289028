"""Family weight: what is left of a gas by its weight, and of a liquefied one once only gas is left."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import partial
from typing import Any

from yokebook import units
from yokebook.calls import cooling, reserve_words, vapour, weighed_words, working
from yokebook.calls.definition import Definition
from yokebook.calls.draw import Drawn, Taken, of_all, taken
from yokebook.calls.readings import with_end as readings_with_end
from yokebook.calls.refusal import both, every, in_range, pick
from yokebook.calls.result import Table, Value, Working
from yokebook.calls.steps import steps_down
from yokebook.calls.weighing import Weighing, checked, weighing, with_tare
from yokebook.calls.weight_arguments import (
    MOST_WEIGHTS,
    AfterPlateau,
    ContentsByWeight,
    VapourTable,
    Weighed,
    WeightTable,
)
from yokebook.data.department import Department
from yokebook.number_list import Shown, duration_down
from yokebook.physics import amounts, contents, realgas, reserve

_CHANGE_NOW = "change now"


def weight_table(arguments: WeightTable, department: Department) -> Table:
    """At least how many litres are left in one cylinder, and how long it lasts a use, by its weight."""
    weighed, takes = _on_scale(arguments, department)
    drawn, weights = both(lambda: of_all(takes, weighed, department), lambda: _weights(arguments, weighed))
    full = weighed.label(units.round_to(weighed.printed(weighed.full), weighed.interval, units.Rounding.DOWN))
    # A filling ratio is the most that may be filled; what is delivered is often less. Models of a mixture differ.
    doubted = len(realgas.models(weighed.physics.gas)) > 1
    roughly = "at most " if weighed.entry.liquefied else "about " if doubted else ""
    cells = tuple(
        (_litres(weighed, weight), *(_lasts(weighed, weight, column) for column in drawn)) for weight in weights
    )
    heads = tuple(weighed.figures(weight) for weight in weights)
    if any(cell.value for cell in cells[-1]):
        nothing = Shown(_CHANGE_NOW, Decimal(0), Decimal(0))
        heads, cells = (*heads, f"below {heads[-1]}"), (*cells, (nothing,) * len(cells[-1]))
    return Table(
        caption=f"At least what is left in one cylinder of {weighed.entry.gas}, by its weight: {weighed.stamped}, "
        f"weighed {weighed.weighed}, {roughly}{full} when full",
        condition=weighed_words.condition(weighed, drawn, department),
        corner=f"Weight ({weighed.scale.interval.unit.symbol})",
        rows=heads,
        columns=("Usable", *(column.head for column in drawn)),
        cells=cells,
        unit=("L", *("min" for _ in drawn)),
        rounding=tuple(units.Rounding.DOWN for _ in range(len(drawn) + 1)),
        cautions=weighed_words.cautions(weighed, drawn, department),
        working=_worked_table(weighed, drawn, weights[0]),
    )


def contents_by_weight(arguments: ContentsByWeight, department: Department) -> Value:
    """At least how many litres one cylinder gives down to the keep-back, by its weight."""
    weighed, _ = _on_scale(arguments, department)
    weight = checked(weighed, arguments.weight, ("weight",))
    shown = _litres_at_least(weighed, weight)
    label = (
        f"Usable {weighed.entry.gas} in one cylinder that weighs {weighed.label(weight)} {weighed.weighed}, "
        f"{weighed.stamped}. {weighed_words.condition(weighed, (), department)}"
    )
    worked = weighed_words.worked_litres(weighed, weighed.kg(weight), shown.text)
    lines = (
        weighed_words.EQUATION,
        f"{weighed.label(weight)}: {worked}",
        reserve_words.LITRES_DOWN,
        weighed_words.sources(weighed),
    )
    return Value(label, shown, "L", units.Rounding.DOWN, Working(weighed.inputs, lines))


def vapour_table(arguments: VapourTable, department: Department) -> Table:
    """At least how long one cylinder of liquefied gas lasts once only gas is left in it, by its gauge and by use."""
    source, takes = both(
        lambda: vapour.liquefied_supply(arguments, department), lambda: taken(department, arguments.asked)
    )
    drawn, readings = both(lambda: of_all(takes, source, department), lambda: vapour.rows(source, arguments.readings))
    dial = source.dial
    cells = tuple(tuple(vapour.lasts(source, reading, column) for column in drawn) for reading in readings)
    if arguments.readings is None:
        readings, cells = readings[: (count := _until_nothing(cells))], cells[:count]
    heads, with_end = readings_with_end(source, readings, cells)
    first = vapour.worked(source, readings[0], drawn[0], f"shown as {cells[0][0].text}")
    lines = (
        working.TIME,
        vapour.sure_below(source, vapour.highest_mark(source)),
        *(column.boiling.worked for column in drawn[:1] if column.boiling),
        f"First cell, {drawn[0].title} at {dial.label(dial.printed(readings[0]))}: {first}",
        working.TIMES_DOWN,
        working.sources(source),
    )
    return Table(
        caption=f"At least how long one cylinder of {source.entry.gas} lasts with only gas left in it, by its gauge: "
        f"{source.stamped}{source.where}, {reserve_words.on_the_dial(source)}",
        condition=f"{reserve_words.worked('down', source, drawn)} Time to change the cylinder is not "
        f"counted. {reserve_words.litres_at(department)}{cooling.condition(drawn)}",
        corner=f"Reading ({dial.unit_text})",
        rows=heads,
        columns=tuple(column.head for column in drawn),
        cells=with_end,
        unit="min",
        rounding=units.Rounding.DOWN,
        cautions=(reserve_words.LOWER_ROW, *vapour.cautions(source, drawn, department), reserve_words.NOT_INSTEAD),
        working=_inputs_and(source.inputs, drawn, lines),
    )


def after_plateau(arguments: AfterPlateau, department: Department) -> Value:
    """At least how long one cylinder of liquefied gas lasts once its reading has fallen so far that little is left."""
    source, takes = both(
        lambda: vapour.liquefied_supply(arguments, department), lambda: taken(department, arguments.asked)
    )
    (column,), mark = both(lambda: of_all(takes, source, department), lambda: vapour.highest_mark(source))
    dial, reading = source.dial, source.dial.pa(mark)
    lasts = vapour.lasts(source, reading, column)
    seen = f"from when the reading has fallen to {dial.label(mark)}"
    shown = replace(lasts, text=f"{reserve_words.at_least(lasts).text}, {seen}")
    label = (
        f"How long one cylinder of {source.entry.gas} lasts, {column.head}, once its reading has fallen so far that "
        f"little is left: {source.stamped}{source.where}, {reserve_words.on_the_dial(source)}. "
        f"{reserve_words.worked('down', source, [column])} {reserve_words.litres_at(department)}"
        f"{cooling.condition([column])} {vapour.plateau(source).removesuffix('.')}"
    )
    lines = (
        working.TIME,
        vapour.sure_below(source, mark),
        *([column.boiling.worked] if column.boiling else []),
        f"{column.title} at {dial.label(mark)}: "
        f"{vapour.worked(source, reading, column, f'shown as {reserve_words.at_least(lasts).text}')}",
        working.TIMES_DOWN,
        working.sources(source),
    )
    return Value(label, shown, "min", units.Rounding.DOWN, _inputs_and(source.inputs, (column,), lines))


def _on_scale(arguments: Weighed, department: Department) -> tuple[Weighing, tuple[Taken, ...]]:
    """Return the cylinder on its scale and what is taken from it, or refuse with all that leads nowhere."""
    machine, asked = arguments.machine, getattr(arguments, "asked", ())
    works: list[Any] = [
        lambda: with_tare(department, arguments.cylinder),
        lambda: pick(department, "scales", arguments.scale, ("scale",)),
        lambda: pick(department, "machines", machine, ("machine",)) if machine else None,
        lambda: taken(department, asked),
    ]
    entry, scale, on, takes = every(works)
    return weighing(department, entry, scale, on), takes


def _weights(arguments: WeightTable, weighed: Weighing) -> tuple[Decimal, ...]:
    """Return the weights of the rows as the scale shows them, the heaviest first, to the first that leaves nothing."""
    if arguments.weights is not None:
        asked = every(
            partial(checked, weighed, weight, ("weights", number)) for number, weight in enumerate(arguments.weights)
        )
        return tuple(sorted(set(asked), reverse=True))
    full = in_range(lambda: weighed.printed(weighed.full), ("cylinder",))
    top = units.round_to(full, weighed.interval, units.Rounding.DOWN)
    rows = steps_down(top, weighed.printed(weighed.tare.kg), weighed.interval, MOST_WEIGHTS - 1)
    rows = rows if top in rows else (top, *rows)
    return rows[: _until_nothing(tuple((_litres(weighed, weight),) for weight in rows))]


def _until_nothing(cells: tuple[tuple[Shown, ...], ...]) -> int:
    """Return how many rows there are down to the first in which nothing is left, that one among them."""
    empty = (number for number, row in enumerate(cells, 1) if all(cell.value == 0 for cell in row))
    return next(empty, len(cells))


def _litres_at_least(weighed: Weighing, weight: Decimal) -> Shown:
    gas, condition, gross = weighed.physics.gas, weighed.condition, weighed.kg(weight)
    least = in_range(lambda: amounts.least_volume(gas, weighed.least_usable(gross), condition), ("cylinder",))
    nominal = in_range(lambda: contents.gas_volume(gas, weighed.nominal_usable(gross), condition), ("cylinder",))
    return reserve_words.litres_down(least, nominal)


def _litres(weighed: Weighing, weight: Decimal) -> Shown:
    shown = _litres_at_least(weighed, weight)
    return replace(shown, text=shown.text.removeprefix(reserve_words.AT_LEAST) if shown.value else _CHANGE_NOW)


def _lasts(weighed: Weighing, weight: Decimal, column: Drawn) -> Shown:
    gas, use, gross = weighed.physics.gas, column.physics, weighed.kg(weight)
    usable = in_range(lambda: weighed.least_usable(gross, column.coldest), ("cylinder",))
    least = in_range(lambda: amounts.least_time(gas, usable, use), ("cylinder",))
    rate = reserve.amount_rate(gas, use.nominal, use.condition)
    return duration_down(least, reserve.duration(weighed.nominal_usable(gross), rate))


def _worked_table(weighed: Weighing, drawn: tuple[Drawn, ...], weight: Decimal) -> Working:
    gross = weighed.kg(weight)
    litres = weighed_words.worked_litres(weighed, gross, _litres(weighed, weight).text)
    lines = [weighed_words.EQUATION, f"First row, {weighed.label(weight)}: {litres}"]
    if drawn and weighed.least_usable(gross, drawn[0].coldest):
        time = weighed_words.worked_time(weighed, gross, drawn[0], _lasts(weighed, weight, drawn[0]))
        lines += [weighed_words.TIME, *([drawn[0].boiling.worked] if drawn[0].boiling else [])]
        lines += [f"The same row, {drawn[0].title}: {time}", working.TIMES_DOWN]
    return _inputs_and(weighed.inputs, drawn, (*lines, reserve_words.LITRES_DOWN, weighed_words.sources(weighed)))


def _inputs_and(inputs: tuple[Any, ...], drawn: tuple[Drawn, ...], lines: tuple[str, ...]) -> Working:
    return Working(tuple(dict.fromkeys([*inputs, *(entry for column in drawn for entry in column.inputs)])), lines)


_CYLINDER = 'cylinder="nitrous-oxide-e"'
CALLS = (
    Definition(
        WeightTable, weight_table, f'weight_table({_CYLINDER}, scale="store-scale", flows=["2 L/min", "5 L/min"])'
    ),
    Definition(
        ContentsByWeight, contents_by_weight, f'contents_by_weight({_CYLINDER}, scale="store-scale", weight="7.40 kg")'
    ),
    Definition(
        VapourTable, vapour_table, f'vapour_table({_CYLINDER}, machine="theatre-1", flows=["2 L/min", "5 L/min"])'
    ),
    Definition(AfterPlateau, after_plateau, f'after_plateau({_CYLINDER}, machine="theatre-1", flow="5 L/min")'),
)

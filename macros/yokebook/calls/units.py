"""Family units: conversions, and numbers that stand in the text on purpose."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from pydantic import Field

from yokebook import units
from yokebook.calls.arguments import Arguments
from yokebook.calls.conversion import SOURCE, Conversion, convert_to, rounding_of, unlike
from yokebook.calls.definition import Definition
from yokebook.calls.quantities import AnyQuantity, AnyUnit
from yokebook.calls.refusal import Refusal
from yokebook.calls.result import Input, Result, Table, Value, Working
from yokebook.calls.typed_text import Typed
from yokebook.data.department import Department
from yokebook.data.faults import Fault, Path
from yokebook.data.fields import Reason
from yokebook.number_list import Shown, significant

MOST_ROWS = 16
MOST_UNITS = 5
_GAUGE_STAYS = "A gauge pressure stays a gauge pressure."


class Convert(Arguments):
    """The arguments of convert."""

    what = "convert"
    value: AnyQuantity = Field(description="a number with its unit", examples=['"137 bar"'])
    to: AnyUnit = Field(description="the unit in which it is wanted too", examples=['"psi"'])


def convert(arguments: Convert, department: Department) -> Value:  # noqa: ARG001 - every call is given the data
    """A value with the same in another unit, rounded to the nearest with no more digits than it bears."""
    value, unit = arguments.value, arguments.to
    if fault := unlike(value, unit, ("to",)):
        raise Refusal(fault)
    found = convert_to(value, unit)
    shown = replace(found.cell, text=f"{value.text} ({found.with_unit})")
    inputs = (Input("Value", value.text, ""), Input("Unit wanted", unit.symbol, ""))
    return Value(
        label=f"{_kind(value)} in {unit.symbol}",
        shown=shown,
        unit=unit.symbol,
        rounding=units.Rounding.NEAREST,
        working=Working(inputs, (found.worked, *_notes(value))),
    )


def _one_way(table: ConversionTable) -> Iterator[Fault]:
    steps = [name for name in ("first", "last", "step") if getattr(table, name) is not None]
    if (table.values is None) == (not steps):
        wrong = "values and steps are both given" if steps else "neither values nor steps are given"
    elif 0 < len(steps) < 3:
        stand = "stands" if len(steps) == 1 else "stand"
        wrong = f"of first, last and step only {' and '.join(steps)} {stand} here"
    else:
        return
    yield Fault(
        "E529", wrong, allowed="values= with a list, or first=, last= and step=", example='values=["50 bar", "100 bar"]'
    )


def _one_unit(table: ConversionTable) -> Iterator[Fault]:
    given: list[tuple[Path, units.Quantity]] = [
        (("values", number), value) for number, value in enumerate(table.values or ())
    ]
    given += [((name,), getattr(table, name)) for name in ("first", "last", "step") if getattr(table, name) is not None]
    for at, value in given[1:]:
        first = given[0][1]
        if value.unit != first.unit:
            wrong = f"the rows of one table stand in one unit, here {first.unit.symbol}; this is {value.unit.symbol}"
            yield Fault("E551", wrong, at, allowed=f"a number of {first.unit.symbol}")


def _rising(table: ConversionTable) -> Iterator[Fault]:
    if table.step is not None and table.step.number <= 0:
        yield Fault("E108", "a step is to be above 0", ("step",), allowed="more than 0")
    if table.first is not None and table.last is not None and table.last.number < table.first.number:
        wrong = f"last ({table.last.text}) lies below first ({table.first.text})"
        yield Fault("E212", wrong, ("last",), allowed=f"{table.first.text} or more", example='"100 bar"')


def _few_enough(table: ConversionTable) -> Iterator[Fault]:
    for name, most in (("values", MOST_ROWS), ("to", MOST_UNITS)):
        items = getattr(table, name)
        if items is not None and not 1 <= len(items) <= most:
            yield Fault("E529", f"{name} has {len(items)} items", (name,), allowed=f"1 to {most}")
    if table.first is not None and table.last is not None and table.step is not None and table.step.number > 0:
        rows = (table.last.number - table.first.number) // table.step.number + 1
        if rows > MOST_ROWS:
            wrong = f"{table.first.text} to {table.last.text} makes {rows:f} rows in steps of {table.step.text}"
            yield Fault("E529", wrong, ("step",), allowed=f"a step that makes at most {MOST_ROWS} rows")


class ConversionTable(Arguments):
    """The arguments of conversion_table."""

    what = "conversion_table"
    values: tuple[AnyQuantity, ...] | None = Field(
        None, description="the values of the rows", examples=['["50 bar", "100 bar"]']
    )
    first: AnyQuantity | None = Field(None, description="the first value of rows in steps", examples=['"20 bar"'])
    last: AnyQuantity | None = Field(None, description="where the rows end", examples=['"140 bar"'])
    step: AnyQuantity | None = Field(None, description="from one row to the next", examples=['"20 bar"'])
    to: tuple[AnyUnit, ...] = Field(description="the units of the columns", examples=['["psi", "kPa"]'])
    checks = (
        ((), _one_way),
        (("values", "first", "last", "step"), _one_unit),
        (("first", "last", "step"), _rising),
        (("values", "to", "first", "last", "step"), _few_enough),
    )


def conversion_table(arguments: ConversionTable, department: Department) -> Table:  # noqa: ARG001 - as convert
    """Values with the same in other units, rounded to the nearest with no more digits than they bear."""
    values = _rows(arguments)
    first, to = values[0], arguments.to
    faults = [fault for number, unit in enumerate(to) if (fault := unlike(first, unit, ("to", number)))]
    if faults:
        raise Refusal(*faults)
    found = [[convert_to(value, unit) for unit in to] for value in values]
    return Table(
        caption=f"{_kind(first)}: {first.unit.symbol} in {_listed([unit.symbol for unit in to])}",
        condition=" ".join(
            [rounding_of(first), "Read no threshold off here: where one is given, it is rounded up.", *_gauge(first)]
        ),
        corner=first.unit.symbol,
        rows=tuple(units.group(value.number) for value in values),
        columns=tuple(unit.symbol for unit in to),
        cells=tuple(tuple(one.cell for one in row) for row in found),
        unit=tuple(unit.symbol for unit in to),
        rounding=units.Rounding.NEAREST,
        cautions=(),
        working=_table_working(arguments, found[0]),
    )


def _rows(arguments: ConversionTable) -> tuple[units.Quantity, ...]:
    if arguments.values is not None:
        return arguments.values
    first, last, step = arguments.first, arguments.last, arguments.step
    assert first is not None
    assert last is not None
    assert step is not None
    count = int((last.number - first.number) // step.number) + 1
    return tuple(replace(first, number=first.number + step.number * Decimal(number)) for number in range(count))


def _table_working(arguments: ConversionTable, first_row: list[Conversion]) -> Working:
    names = ("first", "last", "step")
    steps = [(name, value) for name in names if (value := getattr(arguments, name)) is not None]
    inputs = [
        *(Input("Value", value.text, "") for value in arguments.values or ()),
        *(Input(name.capitalize(), value.text, "") for name, value in steps),
    ]
    lines = (f"First row, {one.unit.symbol}: {one.worked}" for one in first_row)
    return Working(tuple(inputs), (*lines, SOURCE))


class TypedArguments(Arguments):
    """The arguments of typed."""

    what = "typed"
    text: Typed = Field(description="the text as it is to stand", examples=['"40 to 45 psi"'])
    why: Reason = Field(
        description="why it is typed and not worked out", examples=['"as the manual of the machine states it"']
    )


@dataclass(frozen=True)
class TypedValue(Value):
    """A text that stands as its author typed it: the list of numbers holds each quantity in it."""

    quantities: tuple[units.Quantity, ...]

    def result(self, name: str, arguments: Mapping[str, Any]) -> Result:
        """Return the text as the result of a call with these arguments."""
        result = super().result(name, arguments)
        assert result.numbers is not None
        numbers = replace(
            result.numbers,
            columns=tuple(f"number {count}" for count, _ in enumerate(self.quantities, 1)),
            cells=(tuple(Shown(one.text, significant(one.number)) for one in self.quantities),),
            unit=tuple(one.unit.symbol for one in self.quantities),
            texts={**result.numbers.texts, "text": self.shown.text},
        )
        return replace(result, numbers=numbers)


def typed(arguments: TypedArguments, department: Department) -> TypedValue:  # noqa: ARG001 - as convert
    """A text with numbers that its author typed on purpose, with the reason why they are not worked out."""
    text, quantities = arguments.text.text, arguments.text.quantities
    inputs = (Input("Why it is typed", arguments.why, ""), *(Input("Number read", one.text, "") for one in quantities))
    line = "This stands as its author typed it. It does not follow when the department's data change."
    return TypedValue(
        label="Typed on purpose",
        shown=Shown(text),
        unit="",
        rounding=units.Rounding.NEAREST,
        working=Working(inputs, (line,)),
        quantities=quantities,
    )


def _kind(value: units.Quantity) -> str:
    return value.kind.capitalize()


def _gauge(value: units.Quantity) -> list[str]:
    return [_GAUGE_STAYS] if isinstance(value, units.GaugePressure) else []


def _notes(value: units.Quantity) -> tuple[str, ...]:
    return (*_gauge(value), rounding_of(value), SOURCE)


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


CALLS: tuple[Definition, ...] = (
    Definition(Convert, convert, 'convert(value="137 bar", to="psi")'),
    Definition(
        ConversionTable,
        conversion_table,
        'conversion_table(first="20 bar", last="140 bar", step="20 bar", to=["psi", "kPa"])',
    ),
    Definition(
        TypedArguments,
        typed,
        'typed(text="40 to 45 psi", why="the regulated pressure as the manual of the machine states it")',
    ),
)

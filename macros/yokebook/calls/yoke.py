"""Family yoke: pins, what fits, and what a leak costs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from pydantic import Field

from yokebook import units
from yokebook.calls import yoke_drawing, yoke_fall, yoke_leaks, yoke_pins
from yokebook.calls.arguments import Arguments
from yokebook.calls.definition import Definition
from yokebook.calls.pin_words import COUNTED, SOURCE, code_text, gas_text, lets_in
from yokebook.calls.refusal import Refusal, both, pick, pick_named
from yokebook.calls.result import Figure, Input, Table, Value, Working
from yokebook.data.cylinders import PIN_INDEX, Cylinder
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.fields import Duration, FlowAboveZero, GasName, Gauge, GaugeAboveZero, Text, one_of
from yokebook.data.sources import key_text
from yokebook.gases import FIXED, MIXTURE_NAMES, Gas
from yokebook.number_list import Shown

MOST_ROWS = 16
MOST_CYLINDERS = 4
Valve = Annotated[str, one_of((yoke_fall.CLOSED, yoke_fall.OPEN))]


def _one_of_two(one: str, other: str, entry: Arguments) -> Iterator[Fault]:
    given = [name for name in (one, other) if getattr(entry, name) is not None]
    if len(given) != 1:
        wrong = f"{one} and {other} are both given" if given else f"neither {one} nor {other} is given"
        example = str(entry.keys()[one].examples[0])  # type: ignore[index]  # each argument has its example
        yield Fault("E529", wrong, allowed=f"{one}= or {other}=", example=f"{one}={example}")


def _pin_indexed(department: Department, name: str) -> Cylinder:
    """Return the cylinder that an argument names; refuse one that hangs in no yoke."""
    entry: Cylinder = pick(department, "cylinders", name, ("cylinder",))
    if entry.valve != PIN_INDEX:
        wrong = f"{entry.key} has an integral valve, which bears no pin holes: it hangs in no yoke"
        fitting = [one.key for one in department.cylinders.values() if one.valve == PIN_INDEX]
        allowed = ", ".join(fitting) or "a cylinder with valve: pin-index"
        example = f'"{fitting[0]}"' if fitting else ""
        raise Refusal(Fault("E555", wrong, ("cylinder",), allowed=allowed, example=example))
    return entry


class PinIndex(Arguments):
    """The arguments of pin_index."""

    what = "pin_index"
    gas: GasName | None = Field(None, description="a gas by its name", examples=['"oxygen"'])
    cylinder: Text | None = Field(None, description="the entry of cylinders.yaml", examples=['"oxygen-e"'])
    checks = ((("gas", "cylinder"), lambda entry: _one_of_two("gas", "cylinder", entry)),)


def pin_index(arguments: PinIndex, department: Department) -> Value:
    """The pin index code of a gas, or of a cylinder of the department, such as 2-5."""
    told, gas, inputs = _told_gas(arguments, department)
    return Value(
        label=f"Pin index of {told}",
        shown=Shown(code_text(gas.pins)),
        unit="",
        rounding=units.Rounding.NEAREST,
        working=Working(inputs, (COUNTED, f"This code lets in: {lets_in(gas.pins)}. Read the label.", SOURCE)),
    )


def _told_gas(arguments: PinIndex, department: Department) -> tuple[str, Gas, tuple[Input, ...]]:
    """Return how the gas is told that an author names, the gas, and what led to it; refuse one of two codes."""
    if arguments.cylinder:
        entry = _pin_indexed(department, arguments.cylinder)
        gas, key = gas_text(entry), ("cylinders", entry.key)
        inputs = (
            Input("Gas", gas, key_text((*key, "gas"))),
            Input("Valve", entry.valve, key_text((*key, "valve"))),
            *([Input("Fractions", gas, key_text((*key, "fractions")))] if entry.fractions else []),
        )
        return gas, entry.contents, inputs
    assert arguments.gas is not None
    if arguments.gas in MIXTURE_NAMES:
        wrong = f"{arguments.gas} has one of two codes, by its fractions"
        allowed = "cylinder= with an entry of cylinders.yaml that states its fractions"
        raise Refusal(Fault("E215", wrong, ("gas",), allowed=allowed, example='cylinder="oxygen-e"'))
    return arguments.gas, FIXED[arguments.gas], (Input("Gas", arguments.gas, ""),)


class PinFigure(PinIndex):
    """The arguments of pin_figure: those of pin_index."""

    what = "pin_figure"


def pin_figure(arguments: PinFigure, department: Department) -> Figure:
    """A drawing of the holes of a cylinder valve beside the pins of the yoke that it fits, each as one sees it."""
    return yoke_drawing.pins_figure(department, *_told_gas(arguments, department))


class YokeFigure(Arguments):
    """The arguments of yoke_figure: none."""

    what = "yoke_figure"


def yoke_figure(arguments: YokeFigure, department: Department) -> Figure:  # noqa: ARG001  # as all calls
    """A drawing of a hanger yoke with its parts numbered, what each does, and what follows when it is bad."""
    return yoke_drawing.parts_figure()


def _few_gases(table: PinTable) -> Iterator[Fault]:
    if table.gases is not None and not 1 <= len(table.gases) <= MOST_ROWS:
        yield Fault("E529", f"gases has {len(table.gases)} items", ("gases",), allowed=f"1 to {MOST_ROWS}")


class PinTable(Arguments):
    """The arguments of pin_table."""

    what = "pin_table"
    gases: tuple[GasName, ...] | None = Field(
        None, description="gases by their names; left out, those of the department", examples=['["oxygen", "air"]']
    )
    checks = ((("gases",), _few_gases),)


def pin_table(arguments: PinTable, department: Department) -> Table:
    """Gases with their pin index code, their colour marks by the department's standard, and all that a code lets in."""
    standard = department.settings.colour_marks
    marks = Input("Standard of the colour marks", standard, "department.colour_marks")
    if arguments.gases is not None:
        named = tuple(Input("Gas", name, "") for name in arguments.gases)
        return yoke_pins.table_of(yoke_pins.named_rows(arguments.gases), (*named, marks), standard)
    rows = yoke_pins.department_rows(department)
    if not 1 <= len(rows) <= MOST_ROWS:
        wrong = f"the department has {len(rows)} pin-indexed gases"
        raise Refusal(Fault("E529", wrong, allowed="gases= with those of this table", example='gases=["oxygen"]'))
    return yoke_pins.table_of(rows, (*yoke_pins.department_inputs(department), marks), standard)


class YokeCheck(Arguments):
    """The arguments of yoke_check."""

    what = "yoke_check"
    machine: Text = Field(description="the entry of machines.yaml", examples=['"theatre-1"'])


def yoke_check(arguments: YokeCheck, department: Department) -> Table:
    """A machine's yokes against the department's cylinders: which fit by their pins, and whether the gas is right."""
    machine = pick(department, "machines", arguments.machine, ("machine",))
    if not machine.yokes:
        wrong = f"{machine.key} has no yoke"
        allowed = "a machine with yokes"
        raise Refusal(Fault("E553", wrong, ("machine",), allowed=allowed, example='"theatre-1"'))
    return yoke_pins.check_table(machine, department)


def _few_flows(table: LeakTable) -> Iterator[Fault]:
    if table.flows is not None and not 1 <= len(table.flows) <= MOST_ROWS:
        yield Fault("E529", f"flows has {len(table.flows)} items", ("flows",), allowed=f"1 to {MOST_ROWS}")


class LeakTable(Arguments):
    """The arguments of leak_table."""

    what = "leak_table"
    machine: Text | None = Field(None, description="the entry of machines.yaml", examples=['"theatre-1"'])
    cylinder: Text | None = Field(None, description="the entry of cylinders.yaml", examples=['"oxygen-e"'])
    flows: tuple[FlowAboveZero, ...] | None = Field(
        None, description="leaks of the rows", examples=['["100 mL/min", "5 L/min"]']
    )
    checks = (
        (("machine", "cylinder"), lambda entry: _one_of_two("machine", "cylinder", entry)),
        (("flows",), _few_flows),
    )


def leak_table(arguments: LeakTable, department: Department) -> Table:
    """What a leaking or open yoke costs: litres lost in an hour, and how soon a full cylinder is used up."""
    flows = arguments.flows or yoke_leaks.EXAMPLES
    if arguments.cylinder:
        entries = [_pin_indexed(department, arguments.cylinder)]
        machine, where = None, ""
    else:
        assert arguments.machine is not None
        machine = pick(department, "machines", arguments.machine, ("machine",))
        where = f" on {machine.called}"
        names = dict.fromkeys(yoke.cylinder for yoke in machine.yokes if yoke.cylinder)
        if not 1 <= len(names) <= MOST_CYLINDERS:
            wrong = (
                f"{machine.key} has {len(names)} kinds of cylinder in its yokes"
                if names
                else (f"{machine.key} has no yoke in use")
            )
            allowed = f"a machine with 1 to {MOST_CYLINDERS} kinds of cylinder in its yokes, or cylinder="
            raise Refusal(Fault("E553", wrong, ("machine",), allowed=allowed, example='cylinder="oxygen-e"'))
        entries = [pick_named(department, "cylinders", name) for name in names]
    full = tuple(yoke_leaks.full_cylinder(department, entry, machine) for entry in entries)
    return yoke_leaks.table_of(full, tuple(dict.fromkeys(flows)), department, where)


def _some_time(fall: PressureFall) -> Iterator[Fault]:
    if fall.time.number <= 0:
        yield Fault("E108", "this time is to be above 0", ("time",), allowed="more than 0", example='"5 min"')


class PressureFall(Arguments):
    """The arguments of pressure_fall."""

    what = "pressure_fall"
    machine: Text = Field(description="the entry of machines.yaml", examples=['"theatre-1"'])
    cylinder: Text = Field(description="the cylinder in the yoke, of cylinders.yaml", examples=['"oxygen-e"'])
    start: GaugeAboveZero = Field(alias="from", description="the reading at first", examples=['"130 bar"'])
    end: Gauge = Field(alias="to", description="the reading at last", examples=['"125 bar"'])
    time: Duration = Field(description="the time between the readings", examples=['"5 min"'])
    valve: Valve = Field(description="whether the cylinder valve was closed or open", examples=['"closed"'])
    checks = ((("time",), _some_time),)


def pressure_fall(arguments: PressureFall, department: Department) -> Table:
    """What a timed fall of the reading says of a leak: how much it may be at most, and what may stay unseen."""
    machine, entry = both(
        lambda: pick(department, "machines", arguments.machine, ("machine",)),
        lambda: pick(department, "cylinders", arguments.cylinder, ("cylinder",)),
    )
    fall = yoke_fall.timed_fall(
        department, machine, entry, arguments.start, arguments.end, arguments.time, arguments.valve
    )
    return yoke_fall.table_of(fall, department)


CALLS: tuple[Definition, ...] = (
    Definition(PinIndex, pin_index, 'pin_index(gas="oxygen")'),
    Definition(PinTable, pin_table, "pin_table()"),
    Definition(PinFigure, pin_figure, 'pin_figure(gas="oxygen")'),
    Definition(YokeFigure, yoke_figure, "yoke_figure()"),
    Definition(YokeCheck, yoke_check, 'yoke_check(machine="theatre-1")'),
    Definition(LeakTable, leak_table, 'leak_table(machine="theatre-1")'),
    Definition(
        PressureFall,
        pressure_fall,
        'pressure_fall(machine="theatre-1", cylinder="oxygen-e", from="130 bar", to="125 bar", time="5 min", '
        'valve="closed")',
    ),
)

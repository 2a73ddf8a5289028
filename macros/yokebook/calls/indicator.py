"""What the indicator lamp of a machine's oxygen supply says, and how little gas may be left when it turns red."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TypeVar

from yokebook import units
from yokebook.calls import reserve_words
from yokebook.calls.draw import Drawn, Taken, of_all, of_use, taken
from yokebook.calls.refusal import Refusal, in_range, pick_named
from yokebook.calls.result import Caution, Input, Table, Working
from yokebook.calls.supply import Supply, supply
from yokebook.calls.working import TIME, TIMES_DOWN, sources, worked_duration
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.machines import Machine
from yokebook.data.sources import key_text
from yokebook.number_list import Shown, duration_down
from yokebook.physics import bounds

T = TypeVar("T")
MOST_USES = 5
_AT = ("machine",)
_READ_THE_GAUGE = Caution(
    "WARNING",
    "The lamp tells pressure, not minutes, and green may be just above its threshold. Gas that stays trapped after the "
    "cylinder is closed keeps it green. Open the cylinder and read the gauge; where the two do not agree, believe the "
    "lower.",
)


def red_below(machine: Machine) -> units.GaugePressure:
    """Return the threshold of a machine's lamp; refuse a machine without one."""
    if machine.indicator is None:
        raise Refusal(
            Fault(
                "E553",
                f"no indicator lamp of {machine.key} stands in the data",
                _AT,
                allowed="a machine with an indicator in machines.yaml",
                example="indicator: {red_below: 30 bar}",
            )
        )
    return machine.indicator.red_below


def sources_of(department: Department, machine: Machine) -> tuple[Supply, ...]:
    """Return each kind of oxygen cylinder on a machine as it is read there."""
    hung = dict.fromkeys(
        (yoke.cylinder, yoke.gauge) for yoke in machine.yokes if yoke.gas == "oxygen" and yoke.cylinder and yoke.gauge
    )
    if not hung:
        wrong = f"{machine.key} has no oxygen yoke in use, so its lamp tells of no cylinder"
        raise Refusal(Fault("E553", wrong, _AT, allowed="a machine with an oxygen yoke in use"))
    for name, _ in hung:
        pick_named(department, "cylinders", name)
    return tuple(_at_machine(partial(supply, department, name, machine.key, gauge)) for name, gauge in hung)


def uses_of(
    department: Department, machine: Machine, source: Supply, names: tuple[str, ...] | None
) -> tuple[Taken, ...]:
    """Return the uses that an author names, or all that the machine can do with oxygen."""
    if names is not None:
        return taken(department, ((("uses", number), name) for number, name in enumerate(names)))
    can = [use for use in department.uses.values() if _possible(partial(of_use, use, source, department, _AT))]
    if not 1 <= len(can) <= MOST_USES:
        wrong = f"{len(can)} uses of uses.yaml can be done with oxygen on {machine.key}"
        raise Refusal(Fault("E529", wrong, allowed=f"uses= with 1 to {MOST_USES} of them", example='uses=["bellows"]'))
    return tuple((("machine",), use) for use in can)


def _possible(work: Callable[[], object]) -> bool:
    try:
        work()
    except Refusal:
        return False
    return True


def _at_machine(work: Callable[[], T]) -> T:
    """Return what `work` gives; what it refuses, it refuses of the machine that the call names."""
    try:
        return work()
    except Refusal as refusal:
        raise Refusal(*(replace(fault, at=_AT, on_key=False) for fault in refusal.faults)) from refusal


def table_of(department: Department, machine: Machine, found: tuple[Supply, ...], takes: tuple[Taken, ...]) -> Table:
    """Return the table of the lamp's states, with how long a use surely lasts while it is green."""
    red = red_below(machine)
    drawn = [of_all(takes, source, department) for source in found]
    stamped = "; ".join(dict.fromkeys(source.stamped for source in found))
    columns = drawn[0]
    least = tuple(_least(found, drawn, column, red) for column in range(len(columns)))
    words = (
        ("Green", f"the pressure is above {red.text}, nobody knows by how much"),
        ("Red", f"the pressure is below {red.text}, perhaps nothing is left"),
        ("Dark", "no pressure reaches the lamp, or it has no power: it says nothing"),
    )
    change_now = duration_down(0.0, 0.0)
    cells = {"Green": least, "Red": (change_now,) * len(columns), "Dark": (Shown("not known"),) * len(columns)}
    return Table(
        caption=f"What the oxygen indicator lamp of {machine.called} says, and at least how long one cylinder lasts "
        f"while it is in that state: {stamped}",
        condition=f"{_condition(found, columns, department)} The lamp turns red below {red.text} as read on the gauge, "
        f"whose possible error is in; an error of the lamp's own is not known and not in.",
        corner="Lamp",
        rows=tuple(state for state, _ in words),
        columns=("What it says", *(column.head for column in columns)),
        cells=tuple((Shown(text), *cells[state]) for state, text in words),
        unit=("", *("min" for _ in columns)),
        rounding=(units.Rounding.NEAREST, *(units.Rounding.DOWN for _ in columns)),
        cautions=(_READ_THE_GAUGE, reserve_words.NOT_INSTEAD),
        working=_working(machine, found, drawn, red),
    )


def _least(found: tuple[Supply, ...], drawn: list[tuple[Drawn, ...]], column: int, red: units.GaugePressure) -> Shown:
    """Return how long a use surely lasts from the threshold, on the cylinder that lasts shortest."""
    cells = [_cell(source, columns[column], red) for source, columns in zip(found, drawn, strict=True)]
    shortest = min(cells, key=lambda cell: cell.value or 0)
    return shortest if shortest.value else replace(shortest, text="nothing sure")


def _cell(source: Supply, column: Drawn, red: units.GaugePressure) -> Shown:
    reading = source.reading(red.pa)
    least = in_range(lambda: bounds.least_duration(source.physics, reading, column.physics), _AT)
    nominal = in_range(lambda: bounds.nominal_duration(source.physics, red.pa, column.physics), _AT)
    return duration_down(least, nominal)


def _condition(found: tuple[Supply, ...], columns: tuple[Drawn, ...], department: Department) -> str:
    lines = dict.fromkeys(reserve_words.worked("down", source, columns) for source in found)
    return " ".join((*lines, reserve_words.litres_at(department)))


def _working(
    machine: Machine, found: tuple[Supply, ...], drawn: list[tuple[Drawn, ...]], red: units.GaugePressure
) -> Working:
    inputs = (
        Input("The lamp is red below", red.text, key_text(("machines", machine.key, "indicator", "red_below"))),
        *(entry for source in found for entry in source.inputs),
        *(entry for columns in drawn for column in columns for entry in column.inputs),
    )
    worked = (
        f"Green, {columns[0].title}, {source.stamped}: "
        + worked_duration(source, red.pa, columns[0], f"shown as {_cell(source, columns[0], red).text}")
        for source, columns in zip(found, drawn, strict=True)
    )
    lines = (TIME, *worked, TIMES_DOWN, *dict.fromkeys(sources(source) for source in found))
    return Working(tuple(dict.fromkeys(inputs)), lines)

"""What the pins say: tables of codes, and which of the department's cylinders fit into which yoke."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from yokebook import gases
from yokebook.calls.pin_words import (
    COUNTED,
    READ_THE_LABEL,
    SOURCE,
    code_text,
    codes_of,
    colours_source,
    cylinder_text,
    gas_text,
    lets_in,
    swatch,
)
from yokebook.calls.result import Caution, Input, Table, Working
from yokebook.data.cylinders import PIN_INDEX, Cylinder
from yokebook.data.department import Department
from yokebook.data.machines import Machine, Yoke
from yokebook.data.sources import key_text
from yokebook.gases import Gas
from yokebook.number_list import Shown
from yokebook.physics import pins
from yokebook.units import Rounding

Row = tuple[str, tuple[int, ...], Gas]
LOOK_AT_THE_PINS = Caution(
    "WARNING",
    "A yoke with a bent or missing pin, or with two washers in it, lets a wrong cylinder in. Look at pins and washer "
    "before each change.",
)
_NONE = "none"


def named_rows(names: tuple[str, ...]) -> tuple[Row, ...]:
    """Return the rows of gases by their names."""
    return tuple(dict.fromkeys(row for name in names for row in codes_of(name)))


def department_rows(department: Department) -> tuple[Row, ...]:
    """Return the rows of all gases that the department has in pin-indexed cylinders or has yokes for."""
    cylinders = [entry for entry in department.cylinders.values() if entry.valve == PIN_INDEX]
    rows: list[Row] = [(gas_text(entry), entry.contents.pins, entry.contents) for entry in cylinders]
    held = {entry.gas for entry in cylinders}
    for machine in department.machines.values():
        for yoke in machine.yokes:
            rows += codes_of(yoke.gas) if yoke.gas not in held else ()
    return tuple(dict.fromkeys(rows))


def table_of(rows: tuple[Row, ...], inputs: tuple[Input, ...], standard: str) -> Table:
    """Return the table of some gases: code, colour marks by a standard, and all that the code lets in."""
    return Table(
        caption=f"Pin index and colour marks of gases, the colours by {standard}",
        condition=COUNTED,
        corner="Gas",
        rows=tuple(name for name, _, _ in rows),
        columns=("Pins", f"Colour marks by {standard}", "Every gas that this code lets in"),
        cells=tuple(
            (Shown(code_text(code)), Shown(swatch("", gas, standard).words_text), Shown(lets_in(code)))
            for _, code, gas in rows
        ),
        unit="",
        rounding=Rounding.NEAREST,
        cautions=(READ_THE_LABEL,),
        working=Working(inputs, (colours_source(standard), SOURCE)),
    )


def department_inputs(department: Department) -> tuple[Input, ...]:
    """Return which cylinders and yokes of the department a table of codes was made from."""
    yokes = (entry for entry in _yoke_inputs(department.machines.values()) if entry.key.endswith(".gas"))
    return (*_cylinder_inputs(department), *yokes)


def check_table(machine: Machine, department: Department) -> Table:
    """Return the table of a machine's yokes against all cylinders of the department."""
    fitting = [entry for entry in department.cylinders.values() if entry.valve == PIN_INDEX]
    others = [entry for entry in department.cylinders.values() if entry.valve != PIN_INDEX]
    beside = (
        f" No yoke holds a cylinder with an integral valve: {'; '.join(cylinder_text(entry) for entry in others)}."
        if others
        else ""
    )
    return Table(
        caption=f"Which of the department's cylinders the pins of {machine.called} let in, yoke by yoke",
        condition=f"Fits is not right. {COUNTED}{beside}",
        corner="Yoke",
        rows=tuple(_yoke_head(number, yoke) for number, yoke in enumerate(machine.yokes, 1)),
        columns=("Pins", "Fits, and the gas is right", "Fits, and the gas is wrong", "Kept out by the pins"),
        cells=tuple(_yoke_cells(yoke, fitting, department) for yoke in machine.yokes),
        unit="",
        rounding=Rounding.NEAREST,
        cautions=(READ_THE_LABEL, LOOK_AT_THE_PINS),
        working=Working(
            (*_yoke_inputs([machine]), *_cylinder_inputs(department)),
            ("A valve goes in where each pin of the yoke meets a hole at its position.", SOURCE),
        ),
    )


def _yoke_head(number: int, yoke: Yoke) -> str:
    unused = f", not used: {yoke.not_used}" if yoke.not_used else ""
    return f"{number}, {yoke.gas}{unused}"


def _yoke_cells(yoke: Yoke, cylinders: list[Cylinder], department: Department) -> tuple[Shown, ...]:
    """Return the cells of one yoke: its code, the right, the wrong, and those that are kept out."""
    hung = department.cylinders.get(yoke.cylinder or "")
    gas = hung.contents if hung else gases.FIXED.get(yoke.gas)
    if gas is None:
        codes = " or ".join(code_text(code) for _, code, _ in codes_of(yoke.gas))
        return (Shown(f"{codes}: look at the yoke"), *(Shown("not known") for _ in range(3)))
    right, wrong, out = [], [], []
    for entry in cylinders:
        if not pins.fits(gas.pins, entry.contents.pins).fits:
            out.append(entry)
        elif entry.contents == gas:
            right.append(entry)
        else:
            wrong.append(entry)
    listed = ("; ".join(cylinder_text(entry) for entry in entries) or _NONE for entries in (right, wrong, out))
    return (Shown(code_text(gas.pins)), *(Shown(text) for text in listed))


def _yoke_inputs(machines: Iterable[Machine]) -> Iterator[Input]:
    for machine in machines:
        for number, yoke in enumerate(machine.yokes):
            key = ("machines", machine.key, "yokes", number)
            label = f"Yoke {number + 1} of {machine.key}"
            yield Input(f"{label}: gas", yoke.gas, key_text((*key, "gas")))
            if yoke.cylinder:
                yield Input(f"{label}: cylinder", yoke.cylinder, key_text((*key, "cylinder")))


def _cylinder_inputs(department: Department) -> Iterator[Input]:
    for entry in department.cylinders.values():
        key = ("cylinders", entry.key)
        yield Input(f"{entry.key}: gas", gas_text(entry), key_text((*key, "gas")))
        yield Input(f"{entry.key}: valve", entry.valve, key_text((*key, "valve")))

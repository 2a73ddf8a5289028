"""The table of all cylinders of one gas on a machine, one after the other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import TypeVar

from yokebook import units
from yokebook.calls import readings, reserve_words, threshold, working
from yokebook.calls.draw import of_all, taken
from yokebook.calls.refusal import Refusal, both, every, in_range, pick, pick_named
from yokebook.calls.reserve_arguments import MachineReserveTable
from yokebook.calls.reserve_change import rule_for
from yokebook.calls.reserve_in_turn import TOGETHER, InTurn, in_turn
from yokebook.calls.reserve_source import called, inputs, least, nominal
from yokebook.calls.result import Input, Table, Working
from yokebook.calls.row_finder import row_finder
from yokebook.calls.supply import Supply, read_on_dial
from yokebook.data.cylinders import LIQUEFIED
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.machines import Machine, Yoke
from yokebook.data.sources import key_text
from yokebook.number_list import Shown, duration_down
from yokebook.physics import reserve
from yokebook.physics.gauges import reading_that_assures
from yokebook.quantities import GaugePa, Seconds

T = TypeVar("T")


def table_of_machine(arguments: MachineReserveTable, department: Department) -> Table:
    """Return how long the cylinder in use and its spares last, by the reading of the one in use."""
    yokes, takes = both(
        lambda: _yokes(department, arguments.machine, arguments.gas), lambda: taken(department, arguments.asked)
    )
    source = _at_machine(lambda: _supply(department, arguments.machine, yokes[0]))
    drawn, (rows, spare) = both(
        lambda: of_all(takes, source, department),
        lambda: both(lambda: readings.of_rows(source, arguments.readings), lambda: _spare(source, arguments.spare)),
    )
    rule, dial = rule_for(source, arguments.in_hand, department, "in_hand"), source.dial
    at_uses = next((name,) for name in ("uses", "flows") if getattr(arguments, name))
    columns = every(partial(in_turn, source, column, rule, at_uses) for column in drawn)
    turns = [_Turn(source, row, spare, len(yokes) - 1) for row in rows]
    first = "the first" if len(yokes) == 2 else "each but the last"
    others = "the other" if len(yokes) == 2 else f"each of the other {len(yokes) - 1}"
    count = Input("Cylinders in turn", str(len(yokes)), key_text(("machines", arguments.machine, "yokes")))
    from_call = (count, called("Reading of each spare", arguments.spare), *rule.inputs)
    heads = tuple(units.group(dial.printed(row)) for row in rows)
    return Table(
        caption=f"At least how long the {len(yokes)} cylinders of {arguments.gas} last one after the other, "
        f"{first} changed with {rule.in_hand.text} in hand, by the gauge of the one in use, with {others} "
        f"showing {dial.label(dial.printed(spare))} or more, read on its own: {source.stamped}{source.where}, "
        f"{reserve_words.on_the_dial(source)}",
        condition=f"{reserve_words.worked('down', source, drawn)} Each cylinder but the last is changed "
        f"when its gauge has come to the reading that leaves {rule.in_hand.text} and {rule.change.text} for the "
        f"change: {'; '.join(f'{one.mark} ({one.column.title})' for one in columns)}. What lies below it counts "
        f"in the last cylinder alone, so one cylinder used down to its end may last longer. "
        f"{reserve_words.litres_at(department)}",
        corner=f"Reading of the cylinder in use ({dial.unit_text})",
        rows=heads,
        columns=tuple(one.column.head for one in columns),
        cells=tuple(tuple(turn.cell(one) for one in columns) for turn in turns),
        unit="min",
        rounding=units.Rounding.DOWN,
        cautions=(
            reserve_words.TRAPPED,
            reserve_words.ONE_OPEN,
            *reserve_words.of_gas(source),
            reserve_words.NOT_INSTEAD,
        ),
        working=Working(inputs(source, drawn, *from_call), turns[0].lines(columns[0])),
        finder=row_finder(source, rows, heads, "the cylinder in use"),
    )


@dataclass(frozen=True)
class _Turn:
    """One row: the cylinder in use and its spares, each at its reading [Pa], one after the other."""

    source: Supply
    in_use: GaugePa
    spare: GaugePa
    spares: int

    def cell(self, use: InTurn) -> Shown:
        """Return how long a use lasts."""
        return duration_down(self._least(use), self._nominal(use))

    def lines(self, use: InTurn) -> tuple[str, ...]:
        """Return how the cell of a use came about."""
        dial, column = self.source.dial, use.column
        in_use, spare = (dial.label(dial.printed(reading)) for reading in (self.in_use, self.spare))
        lasts = [*self._till_change(use), least(self.source, self.spare, column)]
        summed = " + ".join(units.shown(each, "min", "0.01") for each in lasts)
        between = [f"Each spare but the last, at {spare}: {use.worked(self.spare)}"] if self.spares > 1 else []
        return (
            working.TIME,
            threshold.TURNED_ROUND,
            use.proof(),
            TOGETHER,
            f"First cell, {column.title}, the cylinder in use at {in_use}: {use.worked(self.in_use)}",
            *between,
            f"The last cylinder, at {spare}: {working.worked_duration(self.source, self.spare, column, 'not rounded')}",
            f"Together: {summed} = {units.shown(self._least(use), 'min', '0.01')}, shown as {self.cell(use).text}.",
            working.TIMES_DOWN,
            working.sources(self.source),
        )

    @property
    def _changed(self) -> list[GaugePa]:
        """The readings of all cylinders but the last [Pa]."""
        return [self.in_use, *[self.spare] * (self.spares - 1)]

    def _till_change(self, use: InTurn) -> list[Seconds]:
        return [use.least_till_change(reading) for reading in self._changed]

    def _least(self, use: InTurn) -> Seconds:
        return reserve.lasts_in_turn(self._till_change(use), least(self.source, self.spare, use.column))

    def _nominal(self, use: InTurn) -> Seconds:
        till_change = [use.nominal_till_change(reading) for reading in self._changed]
        return reserve.lasts_in_turn(till_change, nominal(self.source, self.spare, use.column))


def _yokes(department: Department, name: str, gas: str) -> list[Yoke]:
    """Return the yokes of a machine that hold cylinders of a gas: two or more, all alike."""
    machine: Machine = pick(department, "machines", name, ("machine",))
    if gas in LIQUEFIED:
        raise Refusal(
            Fault(
                "E526",
                f"a gauge of {gas} shows its vapour pressure, not its contents, for as long as liquid is left",
                ("gas",),
                allowed="a compressed gas; what is left of a liquefied one is told by its weight",
                example='"oxygen"',
            )
        )
    yokes = [yoke for yoke in machine.yokes if yoke.gas == gas and yoke.cylinder]
    if len(yokes) < 2:
        has = "one cylinder" if yokes else "no cylinder"
        raise Refusal(
            Fault(
                "E533",
                f"{name} has {has} of {gas} in its yokes, so there is no spare to turn to",
                ("machine",),
                allowed=f"a machine with two yokes or more for {gas}; for one cylinder call reserve_table",
                example='reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"])',
            )
        )
    kinds = sorted({f"{yoke.cylinder} on {yoke.gauge}" for yoke in yokes})
    if len(kinds) > 1:
        raise Refusal(
            Fault(
                "E534",
                f"the yokes for {gas} are not alike ({', '.join(kinds)}), so that one column of readings cannot serve "
                "them all",
                ("machine",),
                allowed="a machine whose yokes for the gas hold one kind of cylinder and are read on one gauge; for "
                "others call reserve_table once for each",
                example=f'reserve_table(cylinder="{yokes[0].cylinder}", machine="{name}", gauge="{yokes[0].gauge}", '
                'flows=["2 L/min"])',
            )
        )
    return yokes


def _supply(department: Department, machine: str, yoke: Yoke) -> Supply:
    assert yoke.cylinder is not None
    assert yoke.gauge is not None
    entry, _ = pick_named(department, "cylinders", yoke.cylinder), pick_named(department, "gauges", yoke.gauge)
    return read_on_dial(department, entry, department.machines[machine], yoke.gauge)


def _spare(source: Supply, asked: units.GaugePressure) -> GaugePa:
    """Return the reading of a spare [Pa], or refuse one that may leave nothing."""
    reading = readings.of_dial(source, asked, ("spare",))
    dial, keep_back = source.dial, source.physics.keep_back
    if source.reading(reading).lowest <= keep_back:
        enough = dial.mark_above(in_range(lambda: reading_that_assures(keep_back, source.error, dial.face), ("spare",)))
        if source.reading(dial.pa(enough)).lowest <= keep_back:
            enough += dial.interval
        raise Refusal(
            Fault(
                "E532",
                "less what the gauge may be out, this reading is not above the keep-back: the spare may give nothing",
                ("spare",),
                allowed=f"at least {source.dial.label(enough)}",
                example=f'"{source.dial.as_quantity(enough)}"',
            )
        )
    return reading


def _at_machine(work: Callable[[], T]) -> T:
    """Return what a work gives; what is wrong with the machine's cylinder is told at the machine, which names it."""
    try:
        return work()
    except Refusal as refusal:
        raise Refusal(*(replace(fault, at=("machine",)) for fault in refusal.faults)) from None

"""What two compressed gases hold at the same reading, with the spread of the models where a gas has several."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from yokebook import gases, units
from yokebook.calls import reserve_words, working
from yokebook.calls.dial import DialFace
from yokebook.calls.refusal import Refusal, in_range, pick
from yokebook.calls.reserve_arguments import ContentsFigure
from yokebook.calls.reserve_source import read
from yokebook.calls.result import Caution, Figure, Input, Table, Working
from yokebook.calls.steps import steps_down
from yokebook.calls.supply import (
    Supply,
    filling_text,
    in_its_place,
    place_temperature,
    refuse_liquid,
    refuse_separation,
)
from yokebook.data.cylinders import Cylinder
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.filling import full_reading
from yokebook.data.keep_back import keep_back
from yokebook.data.sources import key_text
from yokebook.figures import chart
from yokebook.number_list import Shown, significant
from yokebook.physics import contents, realgas
from yokebook.physics.contents import Condition
from yokebook.physics.realgas import Model
from yokebook.quantities import AbsolutePa, CubicMetres, GaugePa, Kelvin

_MOST_STEPS = 9
_ONE_LITRE = CubicMetres(1e-3)
_LITRE = Decimal(1)
_MARKS = "AB"
_ALL_GAS = Caution(
    "WARNING",
    "These are all the litres in a cylinder, on a dial without error. What can be counted on is less: use the tables "
    "and values that say at least.",
)


@dataclass(frozen=True)
class _Contents:
    """A gas in one litre of water capacity, at one temperature [K], in litres at a condition."""

    entry: Cylinder
    temperature: Kelvin
    ambient: AbsolutePa
    condition: Condition

    @property
    def models(self) -> tuple[Model, ...]:
        """The models by which it is worked out, the named one first."""
        return realgas.models(self.entry.contents)

    def litres(self, reading: GaugePa, model: Model) -> Decimal:
        """Return the litres at a true reading [Pa] by a model."""

        def work() -> float:
            gas = self.entry.contents
            amount = contents.total(gas, _ONE_LITRE, reading, self.temperature, self.ambient, model)
            return contents.gas_volume(gas, amount, self.condition, model)

        return significant(in_range(work, ("cylinder",)) * 1000)

    def cells(self, reading: GaugePa, full: GaugePa) -> Iterator[Shown]:
        """Yield the cells of a row: litres by the named model, the least and the most by any, the share of full."""
        nominal = self.litres(reading, self.models[0])
        yield _litres(nominal, nominal, units.Rounding.NEAREST)
        if len(self.models) > 1:
            found = [self.litres(reading, model) for model in self.models]
            yield _litres(min(found), nominal, units.Rounding.DOWN)
            yield _litres(max(found), nominal, units.Rounding.UP)
        share = nominal / self.litres(full, self.models[0]) * 100
        value = units.round_to(share, Decimal(1), units.Rounding.NEAREST)
        yield Shown(units.with_unit(units.group(value), units.SPELLINGS["%"]), value, significant(share))

    @property
    def short(self) -> str:
        """The gas as it heads a column: of the mixture of halves only its ratio."""
        gas = self.entry.contents
        return gas.name.rpartition(" ")[2] if gas is gases.FIFTY_FIFTY else self.entry.gas

    @property
    def named(self) -> str:
        """The gas in full, with what stands for it in the heads."""
        return self.entry.gas if self.short == self.entry.gas else f"{self.entry.gas} ({self.short} for short)"

    @property
    def columns(self) -> tuple[tuple[str, str, units.Rounding], ...]:
        """The head, unit and rounding of each column."""
        gas, nearest = self.short, units.Rounding.NEAREST
        spread = (
            (f"{gas}: the least of the models", "L", units.Rounding.DOWN),
            (f"{gas}: the most of the models", "L", units.Rounding.UP),
        )
        litres = f"{gas}: litres"
        share = f"{gas}: share of the first row"
        return ((litres, "L", nearest), *(spread if len(self.models) > 1 else ()), (share, "%", nearest))


def _litres(litres: Decimal, nominal: Decimal, rounding: units.Rounding) -> Shown:
    value = units.round_to(litres, _LITRE, rounding)
    return Shown(units.with_unit(units.group(value), units.SPELLINGS["L"]), value, nominal)


def figure_of(arguments: ContentsFigure, department: Department) -> Figure:
    """Return the curves of two gases in one litre of water capacity each, by the reading of the first one's dial."""
    source = read(arguments, department)
    beside = _beside(arguments, department, source)
    dial, usual = source.dial, source.physics.temperature.nominal
    pair = tuple(_Contents(entry, usual, source.physics.ambient, source.condition) for entry in (source.entry, beside))
    full = in_range(lambda: _common_full(pair), ("cylinder",))
    rows = _rows(dial, full)
    cells = tuple(tuple(cell for one in pair for cell in one.cells(row, rows[0])) for row in rows)
    columns = [column for one in pair for column in one.columns]
    table = Table(
        caption=f"What {' and '.join(one.named for one in pair)} hold at the same true reading, in each litre of water "
        f"capacity, for dials in {dial.unit_text}",
        condition=f"Worked at {units.shown(usual, '°C', '0.1')}, nominal values throughout: for understanding, not for "
        f"reckoning. {reserve_words.litres_at(department)} All gas is counted, that which stays behind too. A "
        "cylinder holds as many times more as litres are stamped on it.",
        corner=f"True reading ({dial.unit_text})",
        rows=tuple(units.group(dial.printed(row).normalize()) for row in rows),
        columns=tuple(head for head, _, _ in columns),
        cells=cells,
        unit=tuple(unit for _, unit, _ in columns),
        rounding=tuple(rounding for _, _, rounding in columns),
        cautions=(_ALL_GAS, *reserve_words.of_entries(source.entry, beside), reserve_words.NOT_INSTEAD),
        working=_working(source, pair, rows[0], cells[0][0]),
    )
    drawn = _chart(dial, pair, rows, cells)
    return Figure(partial(chart.draw, drawn), drawn.title, chart.words(drawn), table)


def _beside(arguments: ContentsFigure, department: Department, source: Supply) -> Cylinder:
    """Return the cylinder that the first is set beside, or refuse one that cannot be."""
    beside: Cylinder = pick(department, "cylinders", arguments.beside, ("beside",))
    refuse_liquid(beside, ("beside",))
    if beside.contents == source.entry.contents:
        wrong = f"both cylinders hold {beside.gas}: their curves would be one"
        raise Refusal(Fault("E529", wrong, ("beside",), allowed="a cylinder of another gas"))
    place, _ = place_temperature(department, _place_of(source))
    refuse_separation(beside, in_its_place(department, beside, place, keep_back(department, beside)))
    return beside


def _place_of(source: Supply) -> str | None:
    return source.machine.place if source.machine and not source.entry.gauge else source.dial.gauge.place


def _common_full(pair: Sequence[_Contents]) -> GaugePa:
    """Return the highest true reading [Pa] that both have when full."""
    return min(full_reading(one.entry, one.temperature, one.ambient) for one in pair)


def _rows(dial: DialFace, full: GaugePa) -> tuple[GaugePa, ...]:
    """Return the readings of the rows [Pa]: steps of the dial from a full cylinder's mark to 0, and half of it."""
    top = dial.mark_below(full)
    printed = {top, top / 2, Decimal(0), *steps_down(top, Decimal(0), dial.interval, _MOST_STEPS)}
    return tuple(dial.pa(number) for number in sorted(printed, reverse=True))


def _working(source: Supply, pair: Sequence[_Contents], first: GaugePa, shown: Shown) -> Working:
    def of_entry(entry: Cylinder) -> Iterator[Input]:
        yield Input("Gas", entry.gas, key_text(("cylinders", entry.key, "gas")))
        yield Input(f"Filling of {entry.gas}", filling_text(entry), key_text(("cylinders", entry.key, "filling")))

    wanted = ("Dial", "Scale interval", "Temperature of the cylinder", "Ambient pressure (absolute)",
              "Height above sea level", "Litres are counted at")  # fmt: skip
    inputs = (
        *(entry for one in pair for entry in of_entry(one.entry)),
        *(entry for entry in source.inputs if entry.label in wanted),
    )
    one, gas, dial = pair[0], pair[0].entry.contents, source.dial
    model, state = one.models[0], one.condition
    held = realgas.density(gas, AbsolutePa(first + one.ambient), one.temperature, model)
    counted = realgas.density(gas, state.pressure, state.temperature, model)
    lines = (
        "Litres in each litre of water capacity = molar density at the reading ÷ molar density at the condition of the "
        f"litres. {working.ABSOLUTE}",
        f"First row, {one.entry.gas}: at {dial.label(dial.printed(first))} {working.digits(held / 1000, '0.0001')} "
        f"mol/L ÷ {working.digits(counted / 1000, '0.000001')} mol/L = {working.digits(held / counted, '0.01')}, shown "
        f"as {shown.text}.",
        "Rounding: to the nearest, but the least of the models down and the most of them up.",
        *(f"Source of the densities of {each.entry.gas}: {working.densities(each.entry.contents)}." for each in pair),
    )
    return Working(inputs, lines)


def _chart(
    dial: DialFace, pair: Sequence[_Contents], rows: Sequence[GaugePa], cells: Sequence[Sequence[Shown]]
) -> chart.Chart:
    across = [dial.printed(row) for row in rows]
    curves, bands, column = [], [], 0
    for mark, one in zip(_MARKS, pair, strict=True):
        columns = [
            tuple((x, row[number].value or Decimal(0)) for x, row in zip(across, cells, strict=True))
            for number in range(column, column + len(one.columns) - 1)
        ]
        curves.append(chart.Curve(mark, one.entry.gas, columns[0]))
        if len(columns) > 1:
            bands.append(chart.Band(f"between the least and the most of the models of {mark}", columns[1], columns[2]))
        column += len(one.columns)
    highest = max(y for band in bands for _, y in band.upper) if bands else Decimal(0)
    highest = max(highest, *(y for curve in curves for _, y in curve.points))
    both = " and ".join(one.entry.gas for one in pair)
    return chart.Chart(
        title=f"Contents against reading: {both}",
        description=f"Curves of the litres of {both} in each litre of water capacity, from a reading of 0 to "
        f"{dial.label(across[0].normalize())}. The straighter a curve, the nearer half the reading is to half the "
        "contents. The table below has each point.",
        across=chart.round_axis(f"True reading ({dial.unit_text})", Decimal(0), across[0]),
        upright=chart.round_axis("Litres in each litre of water capacity", Decimal(0), highest),
        curves=tuple(curves),
        bands=tuple(bands),
    )

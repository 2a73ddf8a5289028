"""What a regulator gives by the pressure in its cylinder, for both kinds: an example, and a machine beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from yokebook import units
from yokebook.calls import reserve_words, working
from yokebook.calls.measured_regulator import MeasuredRegulator
from yokebook.calls.refusal import in_range
from yokebook.calls.result import Caution, Figure, Input, Table, Working
from yokebook.calls.steps import steps_down
from yokebook.calls.supply import keep_back_input
from yokebook.data.department import Department
from yokebook.data.keep_back import KeepBack, of_department, of_yoke
from yokebook.figures import chart
from yokebook.number_list import Shown, significant
from yokebook.physics.regulators import Kind, outlet_from_setting, supply_effect
from yokebook.quantities import GaugePa

_MOST_STEPS = 8
_OUTLET_STEP = Decimal("0.01")
_BAR = units.SPELLINGS["bar"]
_MARKS = "ABC"
_KINDS = {
    Kind.INLET_OPENS: "inlet pressure opens the seat: the outlet falls",
    Kind.INLET_CLOSES: "inlet pressure closes the seat: the outlet rises",
}
_TEACHING = Caution(
    "WARNING",
    "A and B are an example for teaching, of no machine: never set, judge or repair a regulator by it. Names such as "
    "direct-acting are used the opposite way round in different books; what counts is what the inlet does to the seat.",
)
_MEASURED = Caution("NOTICE", "C is a straight line between two measurements; beyond them nothing is told.")


@dataclass(frozen=True)
class Example:
    """A regulator of one stage as books draw it: set to an outlet at an inlet, with a ratio of its two areas."""

    inlet: units.GaugePressure
    outlet: units.GaugePressure
    ratio: Decimal

    def outlet_at(self, kind: Kind, inlet: GaugePa) -> GaugePa:
        """Return the outlet [Pa] of a kind at an inlet [Pa]."""
        effect = supply_effect(kind, float(self.ratio))
        return in_range(lambda: outlet_from_setting(self.outlet.pa, self.inlet.pa, inlet, effect), ("area_ratio",))


def figure_of(department: Department, example: Example, measured: MeasuredRegulator | None) -> Figure:
    """Return the lines of both kinds, and of a measured regulator beside them, with the table of their points."""
    rows = _rows(department, example, measured)
    lines = tuple(_lines(example, measured))
    cells = tuple(tuple(_cell(outlet(pressure)) for _, outlet in lines) for pressure in rows)
    beside = f", beside what was measured on {measured.machine.called}" if measured else ""
    table = Table(
        caption="What a regulator gives by the pressure in its cylinder, for both kinds: an example for teaching"
        + beside,
        condition=f"A and B are set to {example.outlet.text} at {example.inlet.text}, with a diaphragm of "
        f"{units.group(example.ratio)} times the area of the seat; the outlet's own push on the seat is in. Rounded to "
        "the nearest.",
        corner="Pressure in the cylinder (bar)",
        rows=tuple(units.group(_bar(pressure)) for pressure in rows),
        columns=tuple(f"{mark}: {name}" for mark, (name, _) in zip(_MARKS, lines, strict=False)),
        cells=cells,
        unit="bar",
        rounding=units.Rounding.NEAREST,
        cautions=(_TEACHING, *([_MEASURED] if measured else []), reserve_words.NOT_INSTEAD),
        working=_working(department, example, measured),
    )
    drawn = _chart(rows, lines, cells, beside)
    return Figure(partial(chart.draw, drawn), drawn.title, chart.words(drawn), table)


_Line = tuple[str, Callable[[GaugePa], GaugePa | None]]


def _lines(example: Example, measured: MeasuredRegulator | None) -> Iterator[_Line]:
    """Yield each line: what it is, and its outlet [Pa] at an inlet [Pa], None where nothing is told."""
    for kind, name in _KINDS.items():
        yield name, lambda inlet, kind=kind: example.outlet_at(kind, inlet)  # type: ignore[misc]
    if measured:

        def between(inlet: GaugePa) -> GaugePa | None:
            within = measured.low.inlet.pa <= inlet <= measured.high.inlet.pa
            return measured.outlet(inlet) if within else None

        yield f"{measured.machine.called}, yoke {measured.number + 1} ({measured.yoke.gas}), as measured", between


def _rows(department: Department, example: Example, measured: MeasuredRegulator | None) -> tuple[GaugePa, ...]:
    """Return the inlets of the rows [Pa], the highest first: round steps from the setting down to the keep-back."""
    top, end = example.inlet.pa, _kept(department, measured).pressure.pa
    steps = [GaugePa(units.to_si(step, _BAR)) for step in steps_down(_bar(top), _bar(end), Decimal(1), _MOST_STEPS)]
    ends = (measured.high.inlet.pa, measured.low.inlet.pa) if measured else ()
    return tuple(sorted({top, end, *steps, *ends}, reverse=True))


def _kept(department: Department, measured: MeasuredRegulator | None) -> KeepBack:
    return of_yoke(department, measured.machine, measured.number) if measured else of_department(department)


def _bar(pressure: GaugePa) -> Decimal:
    return units.round_to(
        significant(units.from_si(pressure, _BAR)), Decimal("0.1"), units.Rounding.NEAREST
    ).normalize()


def _cell(outlet: GaugePa | None) -> Shown:
    if outlet is None:
        return Shown("not measured")
    exact = significant(units.from_si(outlet, _BAR))
    value = units.round_to(exact, _OUTLET_STEP, units.Rounding.NEAREST).quantize(_OUTLET_STEP)
    return Shown(units.with_unit(units.group(value), _BAR), value, exact)


def _working(department: Department, example: Example, measured: MeasuredRegulator | None) -> Working:
    inputs = [
        Input("Set to", f"{example.outlet.text} at {example.inlet.text}", ""),
        Input("Area of the diaphragm over that of the seat", units.group(example.ratio), ""),
        keep_back_input(_kept(department, measured)),
    ]
    ratio = example.ratio
    opens, closes = (working.digits(supply_effect(kind, float(ratio)), "0.000001") for kind in _KINDS)
    lines = [
        "Outlet = outlet as set + supply effect × (pressure in the cylinder − pressure at which it was set). The "
        "supply effect is 1 ÷ (ratio + 1) where the inlet opens the seat, −1 ÷ (ratio − 1) where it closes it.",
        f"Supply effects: 1 ÷ {units.group(ratio + 1)} = {opens} and −1 ÷ {units.group(ratio - 1)} = {closes}.",
        "Source: the balance of forces at the seat.",
    ]
    if measured:
        high, low = measured.high, measured.low
        told = f"{high.outlet.text} at {high.inlet.text}, {low.outlet.text} at {low.inlet.text}"
        inputs.append(Input("Outlets measured", told, measured.key("measured_outlets")))
        lines.append("C: a straight line between the two measured outlets.")
    return Working(tuple(inputs), tuple(lines))


def _chart(
    rows: Sequence[GaugePa], lines: Sequence[_Line], cells: Sequence[Sequence[Shown]], beside: str
) -> chart.Chart:
    curves = []
    for number, (mark, (name, _)) in enumerate(zip(_MARKS, lines, strict=False)):
        points = [(_bar(pressure), row[number].value) for pressure, row in zip(rows, cells, strict=True)]
        told = tuple((pressure, value) for pressure, value in points if value is not None)
        curves.append(chart.Curve(mark, name, told))
    highest = max(y for curve in curves for _, y in curve.points)
    return chart.Chart(
        title="Two kinds of regulator as their cylinder empties: an example for teaching" + beside,
        description="Straight lines of the outlet over the pressure in the cylinder, from "
        f"{units.group(_bar(rows[-1]))} to {units.group(_bar(rows[0]))} bar. The cylinder empties from right to left: "
        "where the inlet opens the seat the outlet falls, where it closes it the outlet rises. The table below has "
        "each point.",
        across=chart.round_axis("Pressure in the cylinder (bar)", Decimal(0), _bar(rows[0])),
        upright=chart.round_axis("Outlet (bar)", Decimal(0), highest),
        curves=tuple(curves),
    )

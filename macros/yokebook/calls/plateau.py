"""What the gauge of a liquefied gas shows by what is left: it stands, falls at the end, and climbs in the warmth."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from yokebook import units
from yokebook.calls import cooling, reserve_words, working
from yokebook.calls.dial import DialFace, dial_face
from yokebook.calls.refusal import in_range, pick_named
from yokebook.calls.result import Caution, Figure, Input, Table, Working
from yokebook.calls.supply import ambient_input, filling_text, place_temperature, stamped_text, store_input
from yokebook.calls.whose_gauge import whose_gauge
from yokebook.data.cylinders import Cylinder
from yokebook.data.department import Department
from yokebook.data.machines import Machine
from yokebook.data.sources import key_text
from yokebook.data.stores import with_store
from yokebook.errors import OutOfRange
from yokebook.figures import chart
from yokebook.number_list import Shown, significant
from yokebook.physics import liquefied, realgas
from yokebook.quantities import GaugePa, Kilograms

MOST_TEMPERATURES = 4
_SHARES = tuple(Decimal(share) for share in ("100", "95", "90", "80", "60", "40", "30", "20", "10", "5", "2"))
_STEP = Decimal("0.1")
_NOT_BY_GAUGE = Caution(
    "WARNING",
    "For as long as the reading stands it does not tell what is left: weigh the cylinder. Only one that has begun to "
    "fall though nothing is drawn says that little is left.",
)


@dataclass(frozen=True)
class _Filled:
    """A cylinder of liquefied gas with the dial on which it is read, and the temperatures of its curves."""

    department: Department
    entry: Cylinder
    dial: DialFace
    where: str
    temperatures: tuple[units.Temperature, ...]
    temperature_inputs: tuple[Input, ...]

    @property
    def full(self) -> Kilograms:
        """The mass of gas in a full one [kg]."""
        assert self.entry.filling.ratio is not None
        return liquefied.filled_mass(float(self.entry.filling.ratio), self.entry.water_capacity.m3)

    @property
    def step(self) -> Decimal:
        """To what a reading is rounded, in the dial's own numbers."""
        return self.dial.interval / 5

    def mass(self, share: Decimal) -> Kilograms:
        """Return the mass [kg] of a share [%] of a full one."""
        return Kilograms(float(share) / 100 * self.full)

    def reading(self, share: Decimal, temperature: units.Temperature) -> GaugePa:
        """Return the true reading [Pa] of a closed cylinder at rest with a share [%] of its filling."""
        capacity, ambient = self.entry.water_capacity.m3, self.department.ambient
        return in_range(
            lambda: liquefied.closed_reading(self.entry.contents, self.mass(share), capacity, temperature.k, ambient),
            ("temperatures",),
        )

    def falls_at(self, temperature: units.Temperature) -> Decimal | None:
        """Return the share [%] at which the last liquid goes, rounded up; None where there never is liquid."""
        ratio = float(self.entry.filling.ratio or 0)
        try:
            share = liquefied.share_after_plateau(self.entry.contents, ratio, temperature.k)
        except OutOfRange:
            return None
        return units.round_to(significant(share * 100), _STEP, units.Rounding.UP)

    def full_of_liquid_at(self, temperature: units.Temperature) -> Decimal | None:
        """Return the share [%] above which liquid fills the cylinder, rounded down; None where it never does."""
        gas = self.entry.contents
        if temperature.k >= realgas.critical_temperature(gas):
            return None
        liquid = realgas.saturation(gas, temperature.k).liquid * realgas.molar_mass(gas) * self.entry.water_capacity.m3
        share = units.round_to(significant(liquid / self.full * 100), _STEP, units.Rounding.DOWN)
        return share if share < 100 else None


def figure_of(
    department: Department,
    entry: Cylinder,
    machine: Machine | None,
    gauge: str | None,
    asked: Sequence[units.Temperature] | None,
) -> Figure:
    """Return the curves of a cylinder as it is read on a dial, at temperatures asked for or those of its place."""
    filled = _filled(department, entry, machine, gauge, asked)
    shares = _rows(filled)
    cells = tuple(
        (_mass(filled, share), *(_reading(filled, share, temperature) for temperature in filled.temperatures))
        for share in shares
    )
    table = Table(
        caption=f"What the gauge of {entry.gas} shows at rest, by what is left and how warm it is: "
        f"{stamped_text(entry)}{filled.where}, for dials that end at {filled.dial.label(filled.dial.high)}",
        condition=" ".join(_condition(filled)),
        corner="Share of a full cylinder",
        rows=tuple(f"{units.group(share)} %" for share in shares),
        columns=(
            "Gas in it",
            *(
                f"Reading at {temperature.text}{filled.dial.unit_of_cells(', in ')}"
                for temperature in filled.temperatures
            ),
        ),
        cells=cells,
        unit=("kg", *(filled.dial.unit_text for _ in filled.temperatures)),
        rounding=units.Rounding.NEAREST,
        cautions=(_NOT_BY_GAUGE, cooling.GENERAL, reserve_words.NOT_INSTEAD),
        working=_working(filled, shares[0], cells[0]),
    )
    drawn = _chart(filled, shares, cells)
    return Figure(partial(chart.draw, drawn), drawn.title, chart.words(drawn), table)


def _filled(
    department: Department,
    entry: Cylinder,
    machine: Machine | None,
    gauge: str | None,
    asked: Sequence[units.Temperature] | None,
) -> _Filled:
    read_on, hangs_on = whose_gauge(department, entry, machine, gauge)
    dial = dial_face(pick_named(department, "gauges", read_on))
    where = f", on {' or '.join(one.called for one in hangs_on)}" if hangs_on else ""
    if asked is not None:
        temperatures = sorted(asked, key=lambda one: one.k)
        inputs = [Input("Temperatures", ", ".join(one.text for one in temperatures), "")]
    else:
        on = machine or next(iter(hangs_on), None)
        place, key = place_temperature(department, on.place if on else dial.gauge.place)
        place = with_store(department, entry, place)
        temperatures = [place.low, place.usual, place.high]
        inputs = [Input("Temperatures of its place", ", ".join(one.text for one in temperatures), key)]
        inputs.append(store_input(department, entry))
    distinct = {one.k: one for one in temperatures}
    return _Filled(department, entry, dial, where, tuple(distinct.values()), tuple(inputs))


def _rows(filled: _Filled) -> tuple[Decimal, ...]:
    """Return the shares of the rows [%], the highest first: round ones, and those at which a curve bends."""
    bends = [
        share
        for temperature in filled.temperatures
        for share in (filled.falls_at(temperature), filled.full_of_liquid_at(temperature))
    ]
    return tuple(sorted({share.normalize() for share in (*_SHARES, *bends) if share is not None}, reverse=True))


def _mass(filled: _Filled, share: Decimal) -> Shown:
    mass = significant(filled.mass(share))
    value = units.round_to(mass, Decimal("0.01"), units.Rounding.NEAREST)
    return Shown(units.with_unit(units.group(value), units.SPELLINGS["kg"]), value, mass)


def _reading(filled: _Filled, share: Decimal, temperature: units.Temperature) -> Shown:
    """Return a reading as the dial would show it; beyond the end of the dial nothing but that is told."""
    dial = filled.dial
    exact = dial.printed(filled.reading(share, temperature))
    value = units.round_to(exact, filled.step, units.Rounding.NEAREST)
    if value > dial.high:
        return Shown(f"more than {dial.in_a_cell(dial.high)}", dial.high, exact)
    return Shown(dial.in_a_cell(value), value, exact)


def _condition(filled: _Filled) -> Iterator[str]:
    step = filled.dial.label(filled.step)
    yield (
        "Worked for a closed cylinder that stands still, of one temperature throughout, on a dial without error, and "
        f"rounded to the nearest {step}: for understanding, not for reckoning."
    )
    for temperature in filled.temperatures:
        falls, full = filled.falls_at(temperature), filled.full_of_liquid_at(temperature)
        if falls is not None:
            yield f"At {temperature.text} the reading begins to fall when {units.group(falls)} % is left."
        if full is not None:
            yield (
                f"At {temperature.text} a cylinder with more than {units.group(full)} % in it is full of liquid, and "
                "its reading climbs: full and warm, no fault of the gauge."
            )


def _working(filled: _Filled, share: Decimal, cells: Sequence[Shown]) -> Working:
    entry, warmth = filled.entry, filled.temperatures[0]
    capacity, reading = entry.water_capacity, filled.reading(share, warmth)
    inputs = (
        Input("Gas", entry.gas, key_text(("cylinders", entry.key, "gas"))),
        Input("Water capacity", capacity.text, key_text(("cylinders", entry.key, "water_capacity"))),
        Input("Filling", filling_text(entry), key_text(("cylinders", entry.key, "filling"))),
        *filled.dial.inputs[:2],
        *filled.temperature_inputs,
        ambient_input(filled.department),
    )
    full = working.digits(filled.full, "0.001")
    density = working.digits(filled.mass(share) / (capacity.m3 * 1000), "0.0001")
    pressure = working.digits((reading + filled.department.ambient) / 1e5, "0.01")
    ambient = working.digits(filled.department.ambient / 1e5, "0.0001")
    lines = (
        f"Gas in a full cylinder = filling ratio × water capacity × 1 kg/L: {entry.filling.ratio} × {capacity.text} × "
        f"1 kg/L = {full} kg.",
        "Reading = pressure of so much gas in the water capacity at the temperature − ambient pressure. While liquid "
        "and gas stand together that is the vapour pressure, whatever is left.",
        f"First row at {warmth.text}: {units.group(share)} % of {full} kg in {capacity.text} is {density} kg/L; its "
        f"pressure is {pressure} bar, less {ambient} bar {working.digits(reading / 1e5, '0.01')} bar, shown as "
        f"{cells[1].text}.",
        f"Source of the pressures: {working.densities(entry.contents)}.",
    )
    return Working(inputs, lines)


def _bends(filled: _Filled, temperature: units.Temperature) -> str:
    """Return in a few words where the curve of a temperature bends."""
    falls, full = filled.falls_at(temperature), filled.full_of_liquid_at(temperature)
    told = [
        *([f"falls below {units.group(falls)} %"] if falls is not None else ["no liquid at all"]),
        *([f"climbs above {units.group(full)} %"] if full is not None else []),
    ]
    return ", ".join(told)


def _chart(filled: _Filled, shares: Sequence[Decimal], cells: Sequence[Sequence[Shown]]) -> chart.Chart:
    dial, gas = filled.dial, filled.entry.gas
    curves = []
    for number, temperature in enumerate(filled.temperatures, start=1):
        points = [(share, row[number].value) for share, row in zip(shares, cells, strict=True)]
        on_dial = tuple(
            (share, value)
            for (share, value), row in zip(points, cells, strict=True)
            if value is not None and not row[number].text.startswith("more")
        )
        curves.append(chart.Curve(temperature.text, _bends(filled, temperature), on_dial))
    highest = max(value for curve in curves for _, value in curve.points)
    return chart.Chart(
        title=f"The gauge of {gas} at rest: it stands, then falls, and climbs where it is warm",
        description=f"Curves of the reading over the share of a full cylinder that is left, from "
        f"{units.group(shares[-1])} to {units.group(shares[0])} %, one for each temperature. From the left each rises "
        "steeply, then stands level; in the warmth it climbs again where the cylinder is nearly full. The table below "
        "has each point.",
        across=chart.round_axis("Share of a full cylinder left (%)", Decimal(0), Decimal(100)),
        upright=chart.round_axis(f"Reading ({dial.unit_text})", Decimal(0), highest),
        curves=tuple(curves),
    )

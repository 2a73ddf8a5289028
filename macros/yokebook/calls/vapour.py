"""A liquefied gas with gas alone left: from which mark of the dial on that is sure, what its gauge says till then."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal

from yokebook import units
from yokebook.calls import cooling, working
from yokebook.calls.dial import refuse_off_dial
from yokebook.calls.draw import Drawn
from yokebook.calls.readings import refuse_between_marks
from yokebook.calls.refusal import Refusal, both, every, in_range, pick
from yokebook.calls.reserve_arguments import ReadCylinder
from yokebook.calls.result import Caution
from yokebook.calls.steps import steps_down
from yokebook.calls.supply import Supply, read_on_dial
from yokebook.data import cylinders
from yokebook.data.department import Department
from yokebook.data.faults import Fault, Path
from yokebook.errors import OutOfRange
from yokebook.number_list import Shown, duration_down
from yokebook.physics import amounts, bounds, liquefied, liquefied_bounds, realgas
from yokebook.quantities import GaugePa, Kelvin, Moles, Seconds, absolute, gauge

_MOST_STEPS = 7


def liquefied_supply(arguments: ReadCylinder, department: Department) -> Supply:
    """Return a cylinder of liquefied gas as it is read on a machine or a gauge, or refuse another."""
    entry, machine = both(
        lambda: liquefied_cylinder(department, arguments.cylinder),
        lambda: pick(department, "machines", arguments.machine, ("machine",)) if arguments.machine else None,
    )
    return read_on_dial(department, entry, machine, arguments.gauge)


def highest_mark(source: Supply) -> Decimal:
    """Return the highest scale mark, as printed on the dial, at which gas alone is surely left, or refuse."""
    dial, gas = source.dial, source.physics.gas
    critical = in_range(lambda: gauge(realgas.critical_pressure(gas), source.physics.ambient), ("cylinder",))
    mark = dial.mark_below(critical)
    while dial.pa(mark) > source.physics.keep_back and dial.pa(mark) >= dial.face.lowest_reading:
        if _is_gas_alone(source, dial.pa(mark)):
            return mark
        mark -= dial.interval
    raise Refusal(
        Fault(
            "E546",
            "no mark of this dial above the keep-back tells for sure that no liquid is left",
            ("cylinder",),
            allowed="a gauge with a smaller possible error, or the cylinder's weight (weight_table)",
            example=f'weight_table(cylinder="{source.entry.key}", scale="store-scale")',
        )
    )


def rows(source: Supply, readings: tuple[units.GaugePressure, ...] | None) -> tuple[GaugePa, ...]:
    """Return the readings of a table's rows [Pa], the highest first: those asked for, else the highest mark and "
    "steps of the dial."""
    dial, highest = source.dial, highest_mark(source)
    if readings is None:
        lowest = max(dial.printed(source.physics.keep_back), dial.printed(dial.face.lowest_reading))
        steps = steps_down(highest, lowest, dial.interval, _MOST_STEPS)
        return tuple(dial.pa(printed) for printed in dict.fromkeys((highest, *steps)))

    def one(reading: units.GaugePressure, at: Path) -> GaugePa:
        refuse_off_dial(dial, reading.pa, at)
        refuse_between_marks(dial, reading, at)
        if not _is_gas_alone(source, reading.pa):
            raise Refusal(
                Fault(
                    "E546",
                    "at this reading liquid may be left: the gauge shows the vapour pressure, not the contents",
                    at,
                    allowed=f"at most {dial.label(highest)}; above it the cylinder is weighed (weight_table)",
                    example=f'"{dial.as_quantity(highest)}"',
                )
            )
        return reading.pa

    asked = every(
        lambda reading=reading, number=number: one(reading, ("readings", number))  # type: ignore[misc]
        for number, reading in enumerate(readings)
    )
    return tuple(sorted(set(asked), reverse=True))


def lasts(source: Supply, reading: GaugePa, column: Drawn) -> Shown:
    """Return how long a use surely lasts from a reading [Pa] with gas alone left."""
    cylinder = source.physics

    def least() -> float:
        amount = liquefied_bounds.least_vapour(
            cylinder.gas,
            cylinder.water_capacity,
            reading,
            source.error,
            cylinder.keep_back,
            cylinder.temperature,
            cylinder.ambient,
            column.coldest,
        )
        return amounts.least_time(cylinder.gas, amount, column.physics)

    nominal = in_range(lambda: bounds.nominal_duration(cylinder, reading, column.physics), ("cylinder",))
    return duration_down(in_range(least, ("cylinder",)), nominal)


def worked(source: Supply, reading: GaugePa, column: Drawn, end: str) -> str:
    """Return how long a use lasts from a reading [Pa], worked through; `end` says what is made of it."""
    corner = working.corner_of(source, reading, column)
    if corner is not None and column.coldest is not None:
        corner = _ending_at(source, corner, column.coldest)
    return working.worked_corner(source, corner, column, end)


def _ending_at(source: Supply, corner: bounds.Corner, coldest: Kelvin) -> bounds.Corner:
    """Return a corner with the cylinder as cold [K] at its end as what is drawn may make it."""
    cylinder = source.physics
    stays = realgas.density(cylinder.gas, absolute(cylinder.keep_back, cylinder.ambient), coldest)
    amount = Moles(cylinder.water_capacity.low * max(corner.start_density - stays, 0.0))
    lasts = Seconds(amount / corner.rate)
    return replace(corner, end=coldest, end_density=stays, amount=amount, duration=lasts)


def cautions(source: Supply, drawn: Iterable[Drawn], department: Department) -> Iterator[Caution]:
    """Yield what is to be known of a gauge of liquefied gas, and of what is drawn."""
    cylinder = source.physics
    yield Caution(
        "WARNING",
        f"These times hold only once the reading has fallen to the rows of this table. {plateau(source)} "
        "Till then only its weight tells.",
    )
    yield cooling.caution(source, drawn, department)
    ratio = source.entry.filling.ratio
    assert ratio is not None
    try:
        full = liquefied.full_of_liquid_temperature(cylinder.gas, float(ratio))
    except OutOfRange:
        # So small a filling never fills its cylinder with liquid: the reading stays on the vapour pressure.
        return
    warm = units.shown(full, "°C", "1", units.Rounding.DOWN)
    yield Caution(
        "NOTICE",
        f"From about {warm} on the liquid of a full cylinder fills it, and its reading climbs above the vapour "
        "pressure: full and warm, no fault of the gauge.",
    )


def plateau(source: Supply) -> str:
    """Return what a gauge shows for as long as liquid is left, in a sentence."""
    place, dial = source.physics.temperature, source.dial
    ends = [_vapour_reading(source, kelvin) for kelvin in (place.low, place.high)]
    step = dial.interval / 5
    low, high = (units.round_to(dial.printed(end), step, units.Rounding.NEAREST) for end in ends)
    return (
        "While liquid is left and nothing is drawn, the gauge shows the vapour pressure, some "
        f"{units.group(low.normalize())} to {dial.label(high)} at {units.shown(place.low, '°C', '0.1')} to "
        f"{units.shown(place.high, '°C', '0.1')}, "
        "whatever the contents."
    )


def sure_below(source: Supply, mark: Decimal) -> str:
    """Return how the highest mark at which gas alone is left comes about, with its numbers."""
    dial, place = source.dial, source.physics.temperature
    lowest = units.shown(_vapour_reading(source, place.low), "bar", "0.01")
    error = units.shown(source.error(dial.pa(mark)), "bar", "0.01")
    return (
        f"Gas alone is sure where reading + possible error lies below the lowest vapour pressure, that at "
        f"{units.shown(place.low, '°C', '0.1')}: {lowest}, with a possible error of {error}. The highest mark of the "
        f"dial for which that holds is {dial.label(mark)}."
    )


def liquefied_cylinder(department: Department, name: str) -> cylinders.Cylinder:
    """Return the cylinder of this name, or refuse one of compressed gas."""
    entry: cylinders.Cylinder = pick(department, "cylinders", name, ("cylinder",))
    if entry.liquefied:
        return entry
    of_liquid = sorted(key for key, other in department.cylinders.items() if other.liquefied)
    raise Refusal(
        Fault(
            "E545",
            f"{entry.gas} is compressed, not liquefied: its reading falls from the first minute and tells its contents",
            ("cylinder",),
            allowed="a cylinder of a liquefied gas; reserve_table and duration serve a compressed one",
            example=f'"{next(iter(of_liquid), "nitrous-oxide-e")}"',
        )
    )


def _is_gas_alone(source: Supply, reading: GaugePa) -> bool:
    cylinder = source.physics
    try:
        liquefied.require_gas_alone(
            cylinder.gas, reading, cylinder.temperature.low, cylinder.ambient, source.error(reading)
        )
    except OutOfRange:
        return False
    return True


def _vapour_reading(source: Supply, kelvin: Kelvin) -> GaugePa:
    """Return the vapour pressure at a temperature [Pa, gauge], at most the critical pressure."""
    gas, ambient = source.physics.gas, source.physics.ambient
    if kelvin >= realgas.critical_temperature(gas):
        return gauge(realgas.critical_pressure(gas), ambient)
    return in_range(lambda: liquefied.vapour_reading(gas, kelvin, ambient), ("cylinder",))

"""A cylinder read on one dial in its place: what calls by reading are worked from, with the data keys of each value."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from yokebook import gases, units
from yokebook.calls.dial import DialFace, dial_face, error_in_place, possible_error
from yokebook.calls.refusal import Refusal, every, pick, pick_named
from yokebook.calls.result import Input
from yokebook.calls.whose_gauge import whose_gauge
from yokebook.data import cylinders, machines
from yokebook.data.department import Department
from yokebook.data.dials import nearest_reading
from yokebook.data.faults import Fault, Path
from yokebook.data.filling import full_reading
from yokebook.data.gauges import Gauge
from yokebook.data.keep_back import KeepBack, keep_back
from yokebook.data.ranges import TemperatureRange
from yokebook.data.sources import key_text
from yokebook.data.stores import with_store
from yokebook.physics import bounds, separation
from yokebook.physics.contents import Condition
from yokebook.physics.gauges import PossibleError
from yokebook.quantities import CubicMetres, GaugePa, Kelvin, absolute


@dataclass(frozen=True)
class Supply:
    """One cylinder with its tolerances, the dial on which it is read, and the condition in which litres are counted."""

    entry: cylinders.Cylinder
    machine: machines.Machine | None
    hangs_on: tuple[machines.Machine, ...]
    dial: DialFace
    error: PossibleError
    physics: bounds.Cylinder
    condition: Condition
    kept: KeepBack
    inputs: tuple[Input, ...]

    @property
    def stamped(self) -> str:
        """How a reader tells the cylinder: by its stamped water capacity, the letter after it."""
        return stamped_text(self.entry)

    @property
    def where(self) -> str:
        """On which machines it hangs, or which one it supplies from beside it; "" where none is named."""
        if self.hangs_on:
            return f", on {' or '.join(one.called for one in self.hangs_on)}"
        return f", supplying {self.machine.called}" if self.machine else ""

    def reading(self, shown: GaugePa) -> bounds.Reading:
        """Return a reading [Pa] with the possible error of this dial."""
        return bounds.Reading(shown, self.error)

    def full_reading(self, temperature: Kelvin) -> GaugePa:
        """Return the true reading [Pa] of a full cylinder at a temperature [K] of its place."""
        return full_reading(self.entry, temperature, self.physics.ambient)

    def highest_reading(self) -> GaugePa:
        """Return the highest reading [Pa] that a full cylinder may show: in the warm, on a gauge that reads high."""
        warm = self.full_reading(self.physics.temperature.high)
        return GaugePa(warm + self.error(nearest_reading(self.dial.gauge, warm)))


def supply(department: Department, cylinder: str, machine: str | None, gauge: str | None) -> Supply:
    """Return a cylinder as it is read on a machine, or on one gauge; refuse where it is not clear on which.

    `cylinder`, `machine` and `gauge` are names in the data.
    """
    entry, on, _ = every(
        (
            lambda: pick(department, "cylinders", cylinder, ("cylinder",)),
            lambda: pick(department, "machines", machine, ("machine",)) if machine else None,
            lambda: pick(department, "gauges", gauge, ("gauge",)) if gauge else None,
        )
    )
    refuse_liquid(entry, ("cylinder",))
    return read_on_dial(department, entry, on, gauge)


def read_on_dial(
    department: Department, entry: cylinders.Cylinder, on: machines.Machine | None, gauge: str | None
) -> Supply:
    """Return a cylinder of any gas as it is read on a machine, or on one gauge; refuse where it is not clear on which.

    What a reading says of a liquefied gas is for the caller to know.
    """
    read_on, hangs_on = whose_gauge(department, entry, on, gauge)
    dial = dial_face(pick_named(department, "gauges", read_on))
    on = on or next(iter(hangs_on), None)
    error = possible_error(dial, ("gauge",) if gauge else ("cylinder",))
    temperature, temperature_key = temperature_of(department, entry, on, dial.gauge)
    kept = keep_back(department, entry, hangs_on, read_on)
    physics = in_its_place(department, entry, temperature, kept)
    refuse_separation(entry, physics)
    # A cylinder's own dial comes with it from its store, as cold or as warm; a yoke's stays with the machine.
    of_dial = with_store(department, entry, temperature) if entry.gauge else temperature
    error, warmth = error_in_place(dial, error, of_dial, temperature_key)
    reference = department.settings.flowmeter_reference
    inputs = (
        Input("Gas", entry.gas, key_text(("cylinders", entry.key, "gas"))),
        Input("Water capacity", entry.water_capacity.text, key_text(("cylinders", entry.key, "water_capacity"))),
        *tolerance_input(entry),
        Input("Filling", filling_text(entry), key_text(("cylinders", entry.key, "filling"))),
        *dial.inputs,
        temperature_input(temperature, temperature_key),
        store_input(department, entry),
        warmth,
        *counting_inputs(department, kept),
    )
    condition = Condition(reference.temperature.k, reference.pressure.pa)
    return Supply(entry, on, hangs_on, dial, error, physics, condition, kept, inputs)


def stamped_text(entry: cylinders.Cylinder) -> str:
    """Return how a reader tells a cylinder: by its stamped water capacity, the letter after it."""
    size = f" (size {entry.size}, {entry.country})" if entry.size else ""
    return f"for cylinders stamped {entry.water_capacity.text}{size}"


def in_its_place(
    department: Department, entry: cylinders.Cylinder, temperature: TemperatureRange, kept: KeepBack
) -> bounds.Cylinder:
    """Return a cylinder with what is not known exactly of it, as the physics takes it.

    It may still be as cold or as warm as where it was stored, when it is read in its place.
    """
    temperature = with_store(department, entry, temperature)
    tolerance = entry.water_capacity_tolerance
    capacity = entry.water_capacity.m3
    return bounds.Cylinder(
        entry.contents,
        bounds.Range.about(capacity, tolerance.fraction) if tolerance else bounds.Range[CubicMetres].exactly(capacity),
        bounds.Range(temperature.low.k, temperature.usual.k, temperature.high.k),
        kept.pressure.pa,
        department.ambient,
    )


def store_input(department: Department, entry: cylinders.Cylinder) -> Input:
    """Return the temperature of a cylinder's store."""
    store, key = place_temperature(department, entry.stored)
    return Input("Temperature of its store", f"{store.low.text} to {store.high.text}", key)


def tolerance_input(entry: cylinders.Cylinder) -> Iterator[Input]:
    """Yield the tolerance of the water capacity, where one is known."""
    if entry.water_capacity_tolerance:
        key = key_text(("cylinders", entry.key, "water_capacity_tolerance"))
        yield Input("Tolerance of the water capacity", entry.water_capacity_tolerance.text, key)


def temperature_input(temperature: TemperatureRange, key: str) -> Input:
    """Return how cold and warm a cylinder may be, kept under `key`."""
    told = f"{temperature.low.text} to {temperature.high.text}, usually {temperature.usual.text}"
    return Input("Temperature of the cylinder", told, key)


def counting_inputs(department: Department, *kept: KeepBack) -> tuple[Input, ...]:
    """Return on what every count of litres rests: where it ends, from what pressures count, and what a litre is."""
    reference = department.settings.flowmeter_reference
    return (
        *(keep_back_input(one) for one in dict.fromkeys(kept)),
        ambient_input(department),
        Input(
            "Litres are counted at",
            f"{reference.temperature.text} and {reference.pressure.text}",
            "department.flowmeter_reference",
        ),
    )


def keep_back_input(kept: KeepBack) -> Input:
    """Return down to where a cylinder is counted, with the regulator and the day of the measurement."""
    measured = f"{kept.text}, {kept.measured.isoformat()}" if kept.measured else kept.text
    return Input("Keep-back (true pressure)", measured, key_text(kept.at))


def ambient_input(department: Department) -> Input:
    """Return what gauge pressures count from here."""
    settings = department.settings
    if settings.ambient_pressure is not None:
        return Input("Ambient pressure (absolute)", settings.ambient_pressure.text, "department.ambient_pressure")
    assert settings.altitude is not None
    pressure = units.shown(department.ambient, "kPa", "0.01")
    return Input("Height above sea level", f"{settings.altitude.text}, so {pressure} (absolute)", "department.altitude")


def filling_text(entry: cylinders.Cylinder) -> str:
    """Return how a full cylinder is filled, in a reader's words."""
    filling = entry.filling
    if filling.ratio is not None:
        return f"{filling.ratio} kg of gas for each kilogram of water that it would hold"
    assert filling.pressure is not None
    assert filling.at is not None
    return f"{filling.pressure.text} at {filling.at.text}"


def temperature_of(
    department: Department, entry: cylinders.Cylinder, machine: machines.Machine | None, gauge: Gauge | None
) -> tuple[TemperatureRange, str]:
    """Return the temperature of the cylinder's place, the room's where no place is named, and its data key."""
    return place_temperature(
        department, machine.place if machine and not entry.gauge else gauge.place if gauge else None
    )


def place_temperature(department: Department, place: str | None) -> tuple[TemperatureRange, str]:
    """Return the temperature of a place, the room's where none is named, and its data key."""
    if place is None:
        return department.settings.room_temperature, "department.room_temperature"
    return pick_named(department, "places", place).temperature, key_text(("places", place, "temperature"))


def refuse_liquid(entry: cylinders.Cylinder, at: Path) -> None:
    """Refuse a liquefied gas: what its gauge shows does not tell what is left."""
    if entry.liquefied:
        raise Refusal(
            Fault(
                "E526",
                f"a gauge of {entry.gas} shows its vapour pressure, not its contents, for as long as liquid is left",
                at,
                allowed="a cylinder of compressed gas; for this one weight_table, or vapour_table with only gas left",
                example=f'{at[0]}="oxygen-e"',
            )
        )


def refuse_separation(entry: cylinders.Cylinder, cylinder: bounds.Cylinder) -> None:
    """Refuse 50:50 in a place that may be colder than the temperature at which it separates."""
    if entry.contents is not gases.FIFTY_FIFTY:
        return
    assert entry.filling.pressure is not None
    limit = separation.refuse_below(absolute(entry.filling.pressure.pa, cylinder.ambient))
    if cylinder.temperature.low < limit:
        raise Refusal(
            Fault(
                "E527",
                "the place may be so cold that the mixture separates: first too much oxygen comes out, then too little",
                ("cylinder",),
                allowed=f"a place that stays above {units.shown(limit, '°C', '0.1', units.Rounding.UP)}",
                example="temperature: {low: 10 °C, usual: 18 °C, high: 26 °C}",
            )
        )

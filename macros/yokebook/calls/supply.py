"""A cylinder read on one dial in its place: what calls by reading are worked from, with the data keys of each value."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from yokebook import gases, units
from yokebook.calls.dial import DialFace, dial_face, possible_error
from yokebook.calls.refusal import Refusal, pick, pick_named
from yokebook.calls.result import Input
from yokebook.data import cylinders, machines
from yokebook.data.department import Department
from yokebook.data.dials import nearest_reading
from yokebook.data.faults import Fault, Path
from yokebook.data.ranges import TemperatureRange
from yokebook.data.sources import key_text
from yokebook.physics import bounds, separation
from yokebook.physics.contents import Condition
from yokebook.physics.gauges import PossibleError
from yokebook.quantities import CubicMetres, DifferencePa, GaugePa, Kelvin, absolute


@dataclass(frozen=True)
class Supply:
    """One cylinder with its tolerances, the dial on which it is read, and the condition in which litres are counted."""

    entry: cylinders.Cylinder
    machine: machines.Machine | None
    dial: DialFace
    error: PossibleError
    physics: bounds.Cylinder
    condition: Condition
    inputs: tuple[Input, ...]

    @property
    def stamped(self) -> str:
        """How a reader tells the cylinder: by its stamped water capacity, the letter after it."""
        size = f" (size {self.entry.size}, {self.entry.country})" if self.entry.size else ""
        return f"for cylinders stamped {self.entry.water_capacity.text}{size}"

    @property
    def where(self) -> str:
        """On which machine it hangs, or which one it supplies from beside it; "" where none is named."""
        if self.machine is None:
            return ""
        return f", {'supplying' if self.entry.gauge else 'on'} {self.machine.key}"

    @property
    def filled(self) -> tuple[units.GaugePressure, units.Temperature]:
        """The pressure to which the cylinder is filled, and the temperature at which it has it."""
        filling = self.entry.filling
        assert filling.pressure is not None
        assert filling.at is not None
        return filling.pressure, filling.at

    def reading(self, shown: GaugePa) -> bounds.Reading:
        """Return a reading [Pa] with the possible error of this dial."""
        return bounds.Reading(shown, self.error)

    def full_reading(self, temperature: Kelvin) -> GaugePa:
        """Return the true reading [Pa] of a full cylinder at a temperature [K] of its place."""
        pressure, at = self.filled
        filled, place = bounds.Reading(pressure.pa, _exact), bounds.Range.exactly(at.k)
        return bounds.highest_warm_reading(self.physics.gas, filled, place, temperature, self.physics.ambient)

    def highest_reading(self) -> GaugePa:
        """Return the highest reading [Pa] that a full cylinder may show: in the warm, on a gauge that reads high."""
        warm = self.full_reading(self.physics.temperature.high)
        return GaugePa(warm + self.error(nearest_reading(self.dial.gauge, warm)))


def _exact(_shown: GaugePa) -> DifferencePa:
    return DifferencePa(0.0)


def supply(department: Department, cylinder: str, machine: str | None, gauge: str | None) -> Supply:
    """Return a cylinder as it is read on a machine, or on one gauge; refuse where it is not clear on which.

    `cylinder`, `machine` and `gauge` are names in the data.
    """
    entry = pick(department, "cylinders", cylinder, ("cylinder",))
    on = pick(department, "machines", machine, ("machine",)) if machine else None
    _refuse_liquid(entry)
    read_on = _gauge_name(department, entry, on, gauge)
    dial = dial_face(
        pick(department, "gauges", read_on, ("gauge",)) if gauge else pick_named(department, "gauges", read_on)
    )
    error = possible_error(dial, ("gauge",) if gauge else ("cylinder",))
    temperature, temperature_key = _temperature(department, entry, on, dial)
    settings = department.settings
    tolerance = entry.water_capacity_tolerance
    capacity = entry.water_capacity.m3
    physics = bounds.Cylinder(
        entry.contents,
        bounds.Range.about(capacity, tolerance.fraction) if tolerance else bounds.Range[CubicMetres].exactly(capacity),
        bounds.Range(temperature.low.k, temperature.usual.k, temperature.high.k),
        settings.keep_back.pa,
        department.ambient,
    )
    _refuse_separation(entry, physics)
    reference = settings.flowmeter_reference
    inputs = (
        Input("Gas", entry.gas, key_text(("cylinders", entry.key, "gas"))),
        Input("Water capacity", entry.water_capacity.text, key_text(("cylinders", entry.key, "water_capacity"))),
        *_tolerance_input(entry),
        Input("Filling", _filling_text(entry), key_text(("cylinders", entry.key, "filling"))),
        *dial.inputs,
        Input(
            "Temperature of the cylinder",
            f"{temperature.low.text} to {temperature.high.text}, usually {temperature.usual.text}",
            temperature_key,
        ),
        Input("Keep-back (true pressure)", settings.keep_back.text, "department.keep_back"),
        _ambient_input(department),
        Input(
            "Litres are counted at",
            f"{reference.temperature.text} and {reference.pressure.text}",
            "department.flowmeter_reference",
        ),
    )
    condition = Condition(reference.temperature.k, reference.pressure.pa)
    return Supply(entry, on, dial, error, physics, condition, inputs)


def _tolerance_input(entry: cylinders.Cylinder) -> Iterator[Input]:
    if entry.water_capacity_tolerance:
        key = key_text(("cylinders", entry.key, "water_capacity_tolerance"))
        yield Input("Tolerance of the water capacity", entry.water_capacity_tolerance.text, key)


def _ambient_input(department: Department) -> Input:
    settings = department.settings
    if settings.ambient_pressure is not None:
        return Input("Ambient pressure (absolute)", settings.ambient_pressure.text, "department.ambient_pressure")
    assert settings.altitude is not None
    return Input("Height above sea level", settings.altitude.text, "department.altitude")


def _filling_text(entry: cylinders.Cylinder) -> str:
    filling = entry.filling
    assert filling.pressure is not None
    assert filling.at is not None
    return f"{filling.pressure.text} at {filling.at.text}"


def _gauge_name(
    department: Department, entry: cylinders.Cylinder, machine: machines.Machine | None, gauge: str | None
) -> str:
    """Return the one gauge on which a cylinder is read."""
    if gauge:
        return gauge
    if entry.gauge:
        return entry.gauge
    at: Path = ("machine",) if machine else ("cylinder",)
    found = sorted(
        {name for one in ([machine] if machine else department.machines.values()) for name in _read_on(one, entry)}
    )
    if not found and any(file == "machines" for file, _ in department.entries.broken):
        raise Refusal
    if not found:
        where = f"the machine {machine.key} has" if machine else "there is"
        raise Refusal(
            Fault(
                "E522",
                f"{where} no yoke in which {entry.key} hangs, so it is not known on which gauge it is read",
                at,
                allowed="a machine whose yokes name this cylinder, or gauge=",
                example='gauge="yoke-oxygen"',
            )
        )
    if len(found) > 1:
        raise Refusal(
            Fault(
                "E522",
                f"{entry.key} is read on several gauges ({', '.join(found)}), and their numbers differ",
                at,
                allowed="say which: machine= or gauge=",
                example=f'gauge="{found[0]}"',
            )
        )
    return found[0]


def _read_on(machine: machines.Machine, entry: cylinders.Cylinder) -> Iterator[str]:
    for yoke in machine.yokes:
        if yoke.cylinder == entry.key and yoke.gauge:
            yield yoke.gauge


def _temperature(
    department: Department, entry: cylinders.Cylinder, machine: machines.Machine | None, dial: DialFace
) -> tuple[TemperatureRange, str]:
    """Return the temperature of the cylinder's place, the room's where no place is named, and its data key."""
    place = machine.place if machine and not entry.gauge else dial.gauge.place
    if place is None:
        return department.settings.room_temperature, "department.room_temperature"
    return pick_named(department, "places", place).temperature, key_text(("places", place, "temperature"))


def _refuse_liquid(entry: cylinders.Cylinder) -> None:
    if entry.liquefied:
        raise Refusal(
            Fault(
                "E526",
                f"a gauge of {entry.gas} shows its vapour pressure, not its contents, for as long as liquid is left",
                ("cylinder",),
                allowed="a cylinder of compressed gas; what is left of a liquefied gas is told by its weight",
                example='cylinder="oxygen-e"',
            )
        )


def _refuse_separation(entry: cylinders.Cylinder, cylinder: bounds.Cylinder) -> None:
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

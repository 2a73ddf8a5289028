"""Where a cylinder waits before it is hung: what that adds to its temperatures, and what cold does to 50:50 there."""

from __future__ import annotations

from collections.abc import Iterator

from yokebook import gases
from yokebook.data.cylinders import Cylinder
from yokebook.data.department import Department
from yokebook.data.faults import Fault, Path
from yokebook.data.ranges import TemperatureRange
from yokebook.data.references import Placed
from yokebook.errors import OutOfRange
from yokebook.physics import separation
from yokebook.quantities import absolute
from yokebook.units import Rounding, shown


def with_store(department: Department, cylinder: Cylinder, place: TemperatureRange) -> TemperatureRange:
    """Return the temperatures that a cylinder may have in a place when it may have come from its store just before.

    The lowest and the highest of both; the usual one is the place's. The place's own where the store could not be read.
    """
    store = department.places.get(cylinder.stored)
    if store is None:
        return place
    low = min(place.low, store.temperature.low, key=lambda temperature: temperature.k)
    high = max(place.high, store.temperature.high, key=lambda temperature: temperature.k)
    return place.model_copy(update={"low": low, "high": high})


def check(department: Department) -> Iterator[Placed]:
    """Yield a warning for each place in which 50:50 may come to lie so cold that it separates."""
    for cylinder in department.cylinders.values():
        pressure = cylinder.filling.pressure
        if cylinder.gas != gases.FIFTY_FIFTY.name or pressure is None:
            continue
        try:
            limit = separation.refuse_below(absolute(pressure.pa, department.ambient))
        except OutOfRange:
            continue  # Such a filling is told with the dial on which it is read.
        for at, where, temperature in _places(department, cylinder):
            if temperature.low.k < limit:
                least = shown(limit, "°C", "0.1", Rounding.UP)
                wrong = (
                    f"{cylinder.gas} may separate below {least}, and {where} may be {temperature.low.text}: "
                    "first too much oxygen comes out, then too little"
                )
                yield at, Fault("W312", wrong, allowed=f"a place that stays above {least}")


def _places(department: Department, cylinder: Cylinder) -> Iterator[tuple[Path, str, TemperatureRange]]:
    """Yield where a cylinder lies, is read or hangs: the key that says so, the place's name, its temperatures."""
    at: Path = ("cylinders", cylinder.key)
    places = department.places
    if cylinder.stored in places:
        yield (*at, "stored"), cylinder.stored, places[cylinder.stored].temperature
    gauge = department.gauges.get(cylinder.gauge or "")
    if gauge and gauge.place is None:
        yield (*at, "gauge"), "the room", department.settings.room_temperature
    elif gauge and gauge.place in places:
        yield (*at, "gauge"), gauge.place, places[gauge.place].temperature
    for machine in department.machines.values():
        for number, yoke in enumerate(machine.yokes):
            if yoke.cylinder == cylinder.key and machine.place in places:
                key: Path = ("machines", machine.key, "yokes", number, "cylinder")
                yield key, machine.place, places[machine.place].temperature

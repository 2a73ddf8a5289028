"""A cylinder, its gauge and its use as they may truly be: a random point within the tolerances of the data.

Each value lies at either end of its tolerance as often as between the two: the worst lies in a corner.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field

from yokebook.data.department import Department
from yokebook.number_list import CallNumbers
from yokebook.physics import contents, realgas, reserve
from yokebook.physics.contents import Condition
from yokebook.physics.realgas import Model
from yokebook.quantities import (
    CubicMetres,
    GasCubicMetresPerSecond,
    GaugePa,
    Kelvin,
    Moles,
    MolesPerSecond,
)

LITRE_A_MINUTE = 1e-3 / 60
DIAL_A_KELVIN = 0.0004
"""Share of its span by which a dial may be out for each kelvin that it is away from 20 °C (EN 837-1, from memory)."""


def readings_of(numbers: CallNumbers) -> list[float]:
    """Return the reading at the head of each row; below the lowest named one, the row says that nothing is left."""
    assert all(cell.value == 0 for head, row in zip(numbers.rows, numbers.cells, strict=True) for cell in row
               if head.startswith("below "))  # fmt: skip
    return [float(head) for head in numbers.rows if not head.startswith("below ")]


def drive_of_machine(here: Department, machine: str) -> tuple[float, float]:
    """Return between which flows [L/min] the drive gas of a machine lies."""
    drive = here.machines[machine].drive
    assert drive.usual is not None
    assert drive.high is not None
    return drive.usual.si / LITRE_A_MINUTE, drive.high.si / LITRE_A_MINUTE


@dataclass
class Truth:
    """One department with one cylinder, read on one gauge in one place; the gas obeys one model throughout.

    A machine stands for those whose yokes it may hang in; without one it may be any of the department's.
    """

    here: Department
    cylinder: str
    gauge: str
    place: str
    dice: random.Random
    machine: str = ""
    model: Model = field(init=False)

    def __post_init__(self) -> None:
        self.model = self.dice.choice(realgas.models(self.here.cylinders[self.cylinder].contents))

    @property
    def condition(self) -> Condition:
        """The condition in which litres are counted."""
        reference = self.here.settings.flowmeter_reference
        return Condition(reference.temperature.k, reference.pressure.pa)

    def usable(self, shown_pa: float, down_to_pa: float | None = None) -> Moles:
        """Return what a cylinder truly gives [mol] whose gauge is read at a pressure [Pa], down to the keep-back."""
        entry = self.here.cylinders[self.cylinder]
        return contents.usable(
            entry.contents,
            self.capacity(),
            self.true_pressure(shown_pa),
            self.keep_back() if down_to_pa is None else GaugePa(down_to_pa),
            self.temperature(),
            self.here.ambient,
            self.model,
            self.temperature(),
        )

    def keep_back(self) -> GaugePa:
        """Return below which true pressure [Pa] the regulator that the cylinder happens to supply lets go."""
        entry, usual = self.here.cylinders[self.cylinder], self.here.settings.keep_back
        behind = [
            yoke.keep_back or usual
            for name, machine in self.here.machines.items()
            for yoke in machine.yokes
            if self.machine in ("", name) and (yoke.cylinder, yoke.gauge) == (self.cylinder, self.gauge)
        ]
        return self.dice.choice(behind or [entry.keep_back or usual]).pa

    def till_changed(self, shown_pa: float, mark_pa: float) -> Moles:
        """Return what a cylinder truly gives [mol] from one reading [Pa] till its gauge is read at another [Pa].

        So a department changes it by its rule; where it begins lower it is changed at once.
        """
        return self.usable(shown_pa, max(self.true_pressure(mark_pa), self.keep_back()))

    def true_pressure(self, read_pa: float) -> GaugePa:
        """Return the true pressure [Pa] behind what somebody reads: half a mark wrong, on a dial that is out."""
        gauge = self.here.gauges[self.gauge]
        half = gauge.interval.pa / 2
        pointer = min(max(read_pa + self._between(-half, half), gauge.span.low.pa), gauge.span.high.pa)
        error = self._error(pointer)
        return GaugePa(max(pointer + self._between(-error, error), 0.0))

    def capacity(self) -> CubicMetres:
        """Return the true water capacity [m3] of the cylinder."""
        entry = self.here.cylinders[self.cylinder]
        tolerance = entry.water_capacity_tolerance.fraction if entry.water_capacity_tolerance else 0.0
        return CubicMetres(entry.water_capacity.m3 * (1 + self._between(-1, 1) * tolerance))

    def temperature(self) -> Kelvin:
        """Return how warm the cylinder is [K]: as its place, or still as the store that it came from."""
        entry = self.here.cylinders[self.cylinder]
        places = [self.here.places[name].temperature for name in (self.place, entry.stored)]
        return Kelvin(self._between(min(place.low.k for place in places), max(place.high.k for place in places)))

    def rate(
        self,
        set_l_per_min: float,
        drive: tuple[float, float] = (0.0, 0.0),
        leak: float = 0.0,
        tolerance: float | None = None,
        lets_through: tuple[float, float] = (1.0, 1.0),
    ) -> MolesPerSecond:
        """Return what is truly taken [mol/s] at a flow as set, drive gas between two flows, and a leak [L/min].

        The flowmeter is out by its own tolerance or the department's, and lets through between so many times the flow
        that it shows: by the density of a gas that it is not marked for, and by its viscosity.
        """
        share = self.here.settings.flowmeter_tolerance.fraction if tolerance is None else tolerance
        through = set_l_per_min * (1 + self._between(-1, 1) * share) * self._between(*lets_through)
        flows = (through, self._between(*drive), leak)
        draw = reserve.Draw(*(GasCubicMetresPerSecond(flow * LITRE_A_MINUTE) for flow in flows))
        return reserve.amount_rate(self.here.cylinders[self.cylinder].contents, draw, self.condition, self.model)

    def litres(self, amount: Moles) -> float:
        """Return an amount of gas in litres at the condition."""
        gas = self.here.cylinders[self.cylinder].contents
        return contents.gas_volume(gas, amount, self.condition, self.model) * 1000

    def _between(self, low: float, high: float) -> float:
        """Return one end, the other, or a point between the two, each as often."""
        return self.dice.choice((low, high, self.dice.uniform(low, high)))

    def _error(self, shown_pa: float) -> float:
        """Return how far the dial may be out [Pa]: its accuracy, what was found, and its own temperature."""
        gauge = self.here.gauges[self.gauge]
        # A cylinder's own dial comes from the store with it; a yoke's stays with its machine.
        own = self.here.cylinders[self.cylinder].gauge == self.gauge
        place = self.here.places[self.place].temperature
        warmth = self.temperature() if own else self._between(place.low.k, place.high.k)
        found = abs(gauge.found_error.pa) if gauge.found_error else 0.0
        return self._stated(shown_pa) + found + DIAL_A_KELVIN * abs(warmth - 293.15) * gauge.span.width_pa

    def _stated(self, shown_pa: float) -> float:
        gauge = self.here.gauges[self.gauge]
        assert gauge.accuracy is not None
        if gauge.accuracy.accuracy_class is not None:
            return float(gauge.accuracy.accuracy_class) / 100 * gauge.span.width_pa
        if gauge.accuracy.plus_minus is not None:
            return gauge.accuracy.plus_minus.pa
        of_span, of_reading = gauge.accuracy.of_span, gauge.accuracy.of_reading
        assert of_span is not None
        assert of_reading is not None
        return of_span.fraction * gauge.span.width_pa + of_reading.fraction * shown_pa

"""Below which true pressure a cylinder is not counted on: what was measured on its regulator, else the department's."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import date

from yokebook.data.cylinders import INTEGRAL, Cylinder
from yokebook.data.department import Department
from yokebook.data.faults import Path
from yokebook.data.gauges import Gauge
from yokebook.data.machines import Machine
from yokebook.units import GaugePressure

_OWN = "the cylinder's own regulator"


@dataclass(frozen=True)
class KeepBack:
    """A keep-back (true pressure): the data key of it, on which regulator it was measured, "" on none, and when.

    `regulator` is in readers' words.
    """

    pressure: GaugePressure
    at: Path
    regulator: str = ""
    measured: date | None = None

    @property
    def text(self) -> str:
        """The pressure in a reader's words, with the regulator on which it was measured."""
        return f"{self.pressure.text} (measured on {self.regulator})" if self.regulator else self.pressure.text


def keep_back(
    department: Department, cylinder: Cylinder, machines: Collection[Machine] = (), gauge: str | None = None
) -> KeepBack:
    """Return the keep-back down to which a cylinder is counted: the greatest of all regulators that it may supply.

    That is its own for an integral valve; else those of the yokes it hangs in, on `machines` (none: on any) and read
    on `gauge` (none: on any). A regulator that was not measured counts with the department's; so does a cylinder that
    hangs nowhere.
    """
    return max(of_cylinder(department, cylinder, machines, gauge), key=lambda one: one.pressure.pa)


def of_cylinder(
    department: Department, cylinder: Cylinder, machines: Collection[Machine] = (), gauge: str | None = None
) -> tuple[KeepBack, ...]:
    """Return the keep-back of each regulator that a cylinder may supply, as `keep_back` counts them, each once."""
    found = _of_regulators(department, cylinder, machines or department.machines.values(), gauge)
    return tuple(dict.fromkeys(found)) or (of_department(department),)


def on_gauge(department: Department, gauge: Gauge) -> tuple[KeepBack, ...]:
    """Return the keep-back of each regulator whose cylinder is read on a gauge, each once; else the department's."""
    of_yokes = (
        of_yoke(department, machine, number)
        for machine in department.machines.values()
        for number, yoke in enumerate(machine.yokes)
        if yoke.gauge == gauge.key
    )
    own = (
        kept
        for cylinder in department.cylinders.values()
        if cylinder.gauge == gauge.key
        for kept in of_cylinder(department, cylinder)
    )
    return tuple(dict.fromkeys((*of_yokes, *own))) or (of_department(department),)


def of_yoke(department: Department, machine: Machine, number: int) -> KeepBack:
    """Return the keep-back of the regulator behind a yoke, counted from 0."""
    yoke = machine.yokes[number]
    if yoke.keep_back is None:
        return of_department(department)
    at = ("machines", machine.key, "yokes", number, "keep_back")
    return KeepBack(yoke.keep_back, at, f"{machine.called}, yoke {number + 1}", yoke.keep_back_measured)


def of_department(department: Department) -> KeepBack:
    """Return the department's keep-back, for each regulator that was not measured."""
    return KeepBack(department.settings.keep_back, ("department", "keep_back"))


def _of_regulators(
    department: Department, cylinder: Cylinder, machines: Collection[Machine], gauge: str | None
) -> Iterator[KeepBack]:
    if cylinder.valve == INTEGRAL:
        if cylinder.keep_back is None:
            yield of_department(department)
        else:
            at = ("cylinders", cylinder.key, "keep_back")
            yield KeepBack(cylinder.keep_back, at, _OWN, cylinder.keep_back_measured)
        return
    for machine in machines:
        for number, yoke in enumerate(machine.yokes):
            if yoke.cylinder == cylinder.key and gauge in (None, yoke.gauge):
                yield of_yoke(department, machine, number)

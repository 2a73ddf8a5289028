"""What is recommended, and what is unusual: notes, until followed, mended, or answered with a reason."""

from __future__ import annotations

from collections.abc import Iterator

from yokebook.data import plausible
from yokebook.data.answers import Open, judged
from yokebook.data.cylinders import Cylinder
from yokebook.data.department import Department, Entries
from yokebook.data.gauges import Gauge
from yokebook.data.machines import Machine
from yokebook.data.references import Placed


def check(entries: Entries) -> Iterator[Placed]:
    """Yield a note for what is recommended or unusual and not answered, and a warning for an answer to nothing."""
    for machine in entries.machines.values():
        noted = (*_machine(machine), *plausible.of_machine(machine))
        yield from judged(("machines", machine.key), machine.answers, noted)
    for gauge in entries.gauges.values():
        noted = (*_gauge(gauge), *plausible.of_gauge(gauge))
        yield from judged(("gauges", gauge.key), gauge.answers, noted)
    for cylinder in entries.cylinders.values():
        noted = (*_cylinder(cylinder), *plausible.of_cylinder(cylinder))
        yield from judged(("cylinders", cylinder.key), cylinder.answers, noted)
    for use in entries.uses.values():
        yield from judged(("uses", use.key), use.answers, plausible.of_use(use))
    in_use = {machine.place for machine in entries.machines.values()}
    for place in entries.places.values():
        unusual = plausible.of_place(place, is_in_use=place.key in in_use)
        yield from judged(("places", place.key), place.answers, unusual)


def check_settings(department: Department) -> Iterator[Placed]:
    """Yield the same about `department.yaml`."""
    settings = department.settings
    yield from judged(("department",), settings.answers, plausible.of_settings(settings, department.ambient))


def _gauge(gauge: Gauge) -> Iterator[Open]:
    if gauge.accuracy is None:
        wrong = "the gauge's accuracy is not known, so no table can promise anything from its readings"
        yield Open("N401", "accuracy-unknown", ("accuracy",), wrong)
    elif gauge.checked is None:
        wrong = (
            "the gauge is not said to have been checked: its accuracy is that of a new dial, and what it has "
            "drifted since is in no table"
        )
        yield Open(
            "N800", "never-checked", ("accuracy",), wrong, allowed="check it, and write down checked with the day"
        )


def _cylinder(cylinder: Cylinder) -> Iterator[Open]:
    tolerance = cylinder.water_capacity_tolerance
    if tolerance is None or tolerance.number == 0:
        given = "no water_capacity_tolerance is given" if tolerance is None else "water_capacity_tolerance is 0 %"
        wrong = f"{given}, so tables take the stamped water capacity as exact"
        yield Open("N409", "water-capacity-tolerance", ("water_capacity",), wrong)


def _machine(machine: Machine) -> Iterator[Open]:
    """Common practice, no source: yokes for oxygen and nitrous oxide, a second oxygen yoke away from the pipeline."""
    used = [yoke for yoke in machine.yokes if yoke.not_used is None]
    gases = [yoke.gas for yoke in machine.yokes]
    if "oxygen" not in gases:
        yield Open("N402", "oxygen-yoke", ("yokes",), "the machine has no yoke for oxygen")
    if "nitrous oxide" not in gases:
        yield Open("N403", "nitrous-oxide-yoke", ("yokes",), "the machine has no yoke for nitrous oxide")
    if machine.used_without_pipeline and sum(yoke.gas == "oxygen" for yoke in used) < 2:
        wrong = "the machine is used without a pipeline and has fewer than two yokes in use for oxygen"
        yield Open("N404", "two-oxygen-yokes", ("yokes",), wrong)
    if machine.drive_gas and machine.drive.measured is None:
        wrong = "the drive gas is not said to be measured on this machine, and no rule of thumb holds for all designs"
        yield Open("N407", "drive-measured", ("drive",), wrong)
    yield from _regulators(machine)
    for number, yoke in enumerate(machine.yokes):
        if yoke.plug is None:
            wrong = f"it is not said where the plug of this {yoke.gas} yoke is kept"
            yield Open("N408", "yoke-plug", ("yokes", number, "gas"), wrong)


def _regulators(machine: Machine) -> Iterator[Open]:
    used = [(number, yoke) for number, yoke in enumerate(machine.yokes) if yoke.not_used is None]
    for gas in dict.fromkeys(yoke.gas for _, yoke in used):
        yokes = [(number, yoke) for number, yoke in used if yoke.gas == gas]
        ranges = {
            (yoke.regulated_pressure.low.pa, yoke.regulated_pressure.high.pa): number
            for number, yoke in reversed(yokes)
            if yoke.regulated_pressure
        }
        answer = "one-regulator-per-gas"
        if not ranges:
            wrong = f"no regulated pressure is given at any yoke for {gas}"
            yield Open("N405", answer, ("yokes", yokes[0][0], "gas"), wrong)
        elif len(ranges) > 1:
            wrong = f"the yokes for {gas} have different regulated pressures; one regulator for each gas is recommended"
            yield Open("N406", answer, ("yokes", max(ranges.values()), "regulated_pressure"), wrong)

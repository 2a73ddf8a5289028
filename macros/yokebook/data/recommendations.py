"""What is recommended, and can be answered with a reason: notes, until it is followed or answered."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from yokebook.data.department import Entries
from yokebook.data.entry import Entry
from yokebook.data.faults import Fault, Path
from yokebook.data.machines import Machine
from yokebook.data.references import Placed


@dataclass(frozen=True)
class Open:
    """A recommendation that an entry does not follow: its code, the name of its answer, where and why."""

    code: str
    answer: str
    at: Path
    wrong: str


def check(entries: Entries) -> Iterator[Placed]:
    """Yield a note for each recommendation neither followed nor answered, and a warning for an answer to nothing."""
    for machine in entries.machines.values():
        yield from _judged(("machines", machine.key), machine.answers, list(_machine(machine)))
    for gauge in entries.gauges.values():
        found = []
        if gauge.accuracy is None:
            wrong = "the gauge's accuracy is not known, so no table can promise anything from its readings"
            found.append(Open("N401", "accuracy-unknown", ("accuracy",), wrong))
        yield from _judged(("gauges", gauge.key), gauge.answers, found)
    for cylinder in entries.cylinders.values():
        found = []
        if cylinder.water_capacity_tolerance is None:
            wrong = "no water_capacity_tolerance is given, so tables take the stamped water capacity as exact"
            found.append(Open("N409", "water-capacity-tolerance", ("water_capacity",), wrong))
        yield from _judged(("cylinders", cylinder.key), cylinder.answers, found)


def _judged(entry: Path, answers: Entry, found: list[Open]) -> Iterator[Placed]:
    fields = type(answers).model_fields.items()
    given = {str(field.alias) for name, field in fields if getattr(answers, name) is not None}
    for one in found:
        if one.answer not in given:
            example = f"answers: {{{one.answer}: {type(answers).example_of((one.answer,))}}}"
            allowed = f"follow it, or answer it with a reason under {one.answer}"
            yield entry, Fault(one.code, one.wrong, one.at, on_key=True, allowed=allowed, example=example)
    for key in sorted(given):
        if key not in {one.answer for one in found}:
            wrong = "this answers a recommendation that is followed here; the answer can go"
            yield entry, Fault("W310", wrong, ("answers", key), on_key=True, allowed="answers to what is not followed")


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

"""On which gauge a cylinder is read, and where it hangs: never guessed, since two dials give two numbers."""

from __future__ import annotations

from collections.abc import Sequence

from yokebook.calls.refusal import Refusal
from yokebook.data.cylinders import Cylinder
from yokebook.data.department import Department
from yokebook.data.faults import Fault, Path
from yokebook.data.machines import Machine


def whose_gauge(
    department: Department, entry: Cylinder, machine: Machine | None, gauge: str | None
) -> tuple[str, tuple[Machine, ...]]:
    """Return the name of the gauge on which a cylinder is read, and the machines on which it hangs, all alike.

    A cylinder with an integral valve is read on its own gauge, and hangs nowhere. For any other the yokes decide: of
    the machine named, or of all. Refused where they leave a choice, or where machine, gauge and cylinder contradict.
    """
    if entry.gauge:
        if gauge and gauge != entry.gauge:
            raise _refusal(
                f"{entry.key} is read on its own gauge, {entry.gauge}", ("gauge",), "its own gauge", entry.gauge
            )
        return entry.gauge, ()
    hangs = [
        (one, yoke.gauge)
        for one in ([machine] if machine else department.machines.values())
        for yoke in one.yokes
        if yoke.cylinder == entry.key and yoke.gauge
    ]
    read_on = sorted({name for _, name in hangs})
    if gauge and gauge not in read_on:
        raise _none_on(gauge, entry, machine, read_on)
    if not read_on:
        raise _hangs_nowhere(department, entry, machine)
    if len(read_on) > 1 and not gauge:
        wrong = f"{entry.key} is read on several gauges ({', '.join(read_on)}), and their numbers differ"
        if machine:
            raise _refusal(wrong, ("machine",), "say which", read_on[0])
        example = f'machine="{hangs[0][0].key}"'
        raise Refusal(Fault("E522", wrong, ("cylinder",), allowed="say which: machine= or gauge=", example=example))
    name = gauge or read_on[0]
    machines = tuple({one.key: one for one, its in hangs if its == name}.values())
    _refuse_unlike(entry, machines)
    return name, machines


def _refuse_unlike(entry: Cylinder, machines: Sequence[Machine]) -> None:
    """Refuse machines that differ in what a number depends on: the place, the drive gas, the standing draw."""
    if len({(one.place, one.standing_draw, one.drive) for one in machines}) > 1:
        names = ", ".join(one.key for one in machines)
        wrong = f"{entry.key} hangs on several machines ({names}), and their places or draws differ"
        example = f'machine="{machines[0].key}"'
        raise Refusal(Fault("E522", wrong, ("cylinder",), allowed="say which: machine=", example=example))


def _refusal(wrong: str, at: Path, allowed: str, gauge: str) -> Refusal:
    return Refusal(Fault("E522", wrong, at, allowed=f"{allowed}: gauge=", example=f'gauge="{gauge}"'))


def _none_on(gauge: str, entry: Cylinder, machine: Machine | None, read_on: Sequence[str]) -> Refusal:
    where = f" on {machine.key}" if machine else ""
    wrong = f"{entry.key} is not read on the gauge {gauge}{where}"
    allowed = ", ".join(read_on) or "a gauge of a yoke in which this cylinder hangs"
    return Refusal(Fault("E522", wrong, ("gauge",), allowed=allowed, example=f'"{read_on[0]}"' if read_on else ""))


def _hangs_nowhere(department: Department, entry: Cylinder, machine: Machine | None) -> Refusal:
    """Say that no yoke holds the cylinder; where a machine could not be read, its own report says so."""
    if any(file == "machines" for file, _ in department.entries.broken):
        return Refusal()
    holding = [one.key for one in department.machines.values() if any(yoke.cylinder == entry.key for yoke in one.yokes)]
    where = f"the machine {machine.key} has" if machine else "there is"
    return Refusal(
        Fault(
            "E522",
            f"{where} no yoke in which {entry.key} hangs, so it is not known on which gauge it is read",
            ("machine",) if machine else ("cylinder",),
            allowed=", ".join(holding) or "a cylinder that a yoke of machines.yaml names",
            example=f'machine="{holding[0]}"' if holding else 'cylinder="oxygen-e"',
        )
    )

"""Checks of one entry against another: names that lead somewhere, gases that agree, supplies that exist."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from yokebook.data.cylinders import INTEGRAL, PIN_INDEX
from yokebook.data.department import Entries
from yokebook.data.entry_names import nearest_entry
from yokebook.data.faults import Fault, Path
from yokebook.data.machines import Machine, Yoke

Placed = tuple[Path, Fault]


def check(entries: Entries) -> Iterator[Placed]:
    """Yield each fault of one entry against another, under the key of the entry that holds it."""
    yield from _names(entries)
    for machine in entries.machines.values():
        yield from _supplies(machine)
        for number, yoke in enumerate(machine.yokes):
            yield from _yoke(entries, ("machines", machine.key, "yokes", number), yoke)
    yield from _uses(entries)
    yield from _labels(entries)


def _labels(entries: Entries) -> Iterator[Placed]:
    """Yield each machine that readers would call as they call another."""
    called: dict[str, str] = {}
    for machine in entries.machines.values():
        other = called.setdefault(machine.called.casefold(), machine.key)
        if other != machine.key:
            wrong = f"readers would not know it from {other}, which is called so too"
            fault = Fault(
                "E782", wrong, ("label",), allowed="words that no other machine has", example="the spare machine"
            )
            yield ("machines", machine.key), fault


def _names(entries: Entries) -> Iterator[Placed]:
    on_yokes, own = _read_on(entries)
    for machine in entries.machines.values():
        yield from _leads(entries, "places", machine.place, ("machines", machine.key, "place"), entries.places)
        for number, yoke in enumerate(machine.yokes):
            at: Path = ("machines", machine.key, "yokes", number)
            dials = [name for name in _dials(entries, yoke.gas) if on_yokes[name] <= {yoke.gas} and not own[name]]
            yield from _leads(entries, "cylinders", yoke.cylinder, (*at, "cylinder"), fitting(entries, yoke.gas))
            yield from _leads(entries, "gauges", yoke.gauge, (*at, "gauge"), dials)
            yield from _dial_of_its_gas(entries, yoke.gauge, yoke.gas, (*at, "gauge"), dials)
    for gauge in entries.gauges.values():
        yield from _leads(entries, "places", gauge.place, ("gauges", gauge.key, "place"), entries.places)
    for cylinder in entries.cylinders.values():
        at = ("cylinders", cylinder.key)
        dials = [name for name in _dials(entries, cylinder.gas) if own[name] <= {cylinder.gas} and not on_yokes[name]]
        yield from _leads(entries, "gauges", cylinder.gauge, (*at, "gauge"), dials)
        yield from _dial_of_its_gas(entries, cylinder.gauge, cylinder.gas, (*at, "gauge"), dials)
        yield from _leads(entries, "places", cylinder.stored, (*at, "stored"), entries.places)


def _read_on(entries: Entries) -> tuple[dict[str, set[str]], dict[str, set[str]]]:
    """Return of which gases each gauge is read on yokes, and of which on cylinders of its own."""
    on_yokes: dict[str, set[str]] = {name: set() for name in entries.gauges}
    own: dict[str, set[str]] = {name: set() for name in entries.gauges}
    for machine in entries.machines.values():
        for yoke in machine.yokes:
            on_yokes.setdefault(yoke.gauge or "", set()).add(yoke.gas)
    for cylinder in entries.cylinders.values():
        own.setdefault(cylinder.gauge or "", set()).add(cylinder.gas)
    return on_yokes, own


def fitting(entries: Entries, gas: str) -> list[str]:
    """Return the cylinders that may hang in a yoke for a gas, in the order written."""
    return [other.key for other in entries.cylinders.values() if other.gas == gas and other.valve == PIN_INDEX]


def _dials(entries: Entries, gas: str) -> list[str]:
    """Return the gauges on which a gas may be read: those whose dial does not bear the name of another one."""
    return [name for name, gauge in entries.gauges.items() if gauge.gas in (None, gas)]


def _dial_of_its_gas(entries: Entries, name: str | None, gas: str, at: Path, candidates: list[str]) -> Iterator[Placed]:
    """Yield a gauge whose dial bears the name of another gas than what is read on it; `candidates` fit here."""
    gauge = entries.gauges.get(name or "")
    if gauge is None or gauge.gas in (None, gas):
        return
    wrong = f"{gas} is read on this gauge, whose dial bears the name {gauge.gas} (gas, in gauges.yaml)"
    others = [other for other in candidates if other != name]
    allowed = ", ".join(others) or f"a gauge of {gas}"
    meant = others[0] if len(others) == 1 else ""
    yield at, Fault("E271", wrong, allowed=allowed, suggestion=meant)


def _leads(entries: Entries, file: str, name: str | None, at: Path, candidates: Collection[str]) -> Iterator[Placed]:
    """Yield a name that no entry of a file has; only `candidates` are offered in its place."""
    names: Collection[str] = getattr(entries, file)
    if name is None or name in names or entries.is_broken(file, name):
        return
    wrong = f"{file}.yaml has no entry of this name"
    meant = nearest_entry(name, candidates)
    shown, example = list(candidates), meant or next(iter(candidates), "")
    if file == "gauges":
        # Dials of several units may fit: none is put into anybody's mouth, and each is told with its unit.
        shown, example = [f"{one} (in {entries.gauges[one].unit.symbol})" for one in candidates], meant
    allowed = ", ".join(shown) or f"an entry of {file}.yaml that fits here"
    yield at, Fault("E240", wrong, allowed=allowed, example=example, suggestion=meant)


def _yoke(entries: Entries, at: Path, yoke: Yoke) -> Iterator[Placed]:
    cylinder = entries.cylinders.get(yoke.cylinder or "")
    if cylinder is None:
        return
    if cylinder.valve == INTEGRAL:
        wrong = "this cylinder has an integral valve: it hangs in no yoke"
        yield at, Fault("E242", wrong, ("cylinder",), allowed="a cylinder with valve: pin-index")
    if cylinder.gas != yoke.gas:
        wrong = f"the yoke is for {yoke.gas}, the cylinder named holds {cylinder.gas}"
        others = fitting(entries, yoke.gas)
        allowed = ", ".join(others) or f"a cylinder of {yoke.gas}"
        meant = others[0] if len(others) == 1 else ""
        yield at, Fault("E241", wrong, ("cylinder",), allowed=allowed, suggestion=meant)


def _supplies(machine: Machine) -> Iterator[Placed]:
    at: Path = ("machines", machine.key)
    if not machine.used_without_pipeline and not machine.pipeline:
        wrong = "the machine is not used without a pipeline, and no pipeline is given"
        allowed = "used_without_pipeline: true, or a pipeline"
        example = "pipeline: {oxygen: {low: 50 psi, high: 55 psi}}"
        yield at, Fault("E248", wrong, ("used_without_pipeline",), allowed=allowed, example=example)
    gas = machine.drive_gas
    if gas and gas not in machine.pipeline and all(yoke.gas != gas or yoke.not_used for yoke in machine.yokes):
        wrong = f"{gas} drives the ventilator, and the machine has neither a pipeline nor a yoke in use for it"
        yield at, Fault("E249", wrong, ("drive", "gas"), allowed=f"a pipeline or a yoke of {gas}, or another drive gas")


def _uses(entries: Entries) -> Iterator[Placed]:
    filled = tuple(dict.fromkeys(cylinder.gas for cylinder in entries.cylinders.values()))
    drive_gases = tuple(dict.fromkeys(machine.drive_gas for machine in entries.machines.values() if machine.drive_gas))
    for use in entries.uses.values():
        for gas, draws in use.draws.items():
            at: Path = ("uses", use.key, "draws", gas)
            if gas not in filled and not _any_broken(entries, "cylinders"):
                wrong = f"no cylinder of cylinders.yaml holds {gas}"
                allowed = ", ".join(filled) or "a gas of cylinders.yaml"
                yield at, Fault("E246", wrong, on_key=True, allowed=allowed)
            elif gas not in drive_gases and not _any_broken(entries, "machines"):
                for number, draw in enumerate(draws):
                    if draw.is_of_the_machine:
                        wrong = f"no machine is driven by {gas}"
                        allowed = ", ".join(drive_gases) or "fresh gas, leak, or a drive gas as a flow"
                        yield at, Fault("E247", wrong, (number, "drive gas"), allowed=allowed)


def _any_broken(entries: Entries, file: str) -> bool:
    return any(broken == file for broken, _ in entries.broken)

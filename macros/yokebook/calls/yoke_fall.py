"""What a timed fall of the reading says of a leak, and how small a leak the dial can show."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from yokebook import units
from yokebook.calls import readings
from yokebook.calls.dial import accuracy_text
from yokebook.calls.refusal import Refusal, every, in_range
from yokebook.calls.result import Caution, Input, Table, Working
from yokebook.calls.supply import Supply, read_on_dial
from yokebook.calls.working import digits
from yokebook.data.cylinders import Cylinder
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.machines import Machine
from yokebook.data.sources import key_text
from yokebook.errors import OutOfRange
from yokebook.number_list import Shown, significant
from yokebook.physics import leaks, liquefied, realgas
from yokebook.physics.bounds import Range
from yokebook.quantities import CubicMetres, DifferencePa, GasCubicMetresPerSecond, GaugePa, absolute

CLOSED, OPEN = "closed", "open"
_ONE_TEMPERATURE = Caution(
    "CAUTION",
    "Both readings belong at one temperature. Gas that streams in warms up, and a reading that then falls as it cools "
    "is no leak: begin to count only when the reading has stood still for some minutes.",
)


@dataclass(frozen=True)
class TimedFall:
    """Two readings of one yoke's gauge, the time between them, and whether the cylinder valve was open."""

    source: Supply
    machine: Machine
    start: units.GaugePressure
    end: units.GaugePressure
    time: units.Duration
    valve: str

    @property
    def is_open(self) -> bool:
        """True where the cylinder valve was open."""
        return self.valve == OPEN

    @property
    def volume(self) -> Range[CubicMetres]:
        """The volume that loses gas [m3]."""
        if self.is_open:
            return self.source.physics.water_capacity
        assert self.machine.trapped_volume is not None
        return Range[CubicMetres].exactly(self.machine.trapped_volume.m3)

    @property
    def share_of_reading(self) -> float:
        """By what share of its reading the dial may be out, besides what is the same all over its scale."""
        accuracy = self.source.dial.gauge.accuracy
        return accuracy.of_reading.fraction if accuracy and accuracy.of_reading else 0.0

    def doubt(self, end: GaugePa) -> DifferencePa:
        """Return by how much more [Pa] than from the first reading to `end` [Pa] the pressure may have fallen.

        Each of two readings is good to half a scale interval; a dial whose error is a share of the reading makes a fall
        smaller by as much.
        """
        interval = self.source.dial.gauge.interval.pa
        return DifferencePa(interval + self.share_of_reading * (self.start.pa - end + interval))

    def worst(self, end: GaugePa) -> leaks.LeakCorner:
        """Return the worst corner of a fall from the first reading to `end` [Pa]."""
        source = self.source
        return leaks.worst_leak(
            source.physics.gas,
            self.volume,
            self.start.pa,
            end,
            Range.exactly(self.time.s),
            source.physics.temperature,
            source.physics.ambient,
            source.condition,
            valve_open=self.is_open,
            error=source.error,
            fall_doubt=self.doubt(end),
        )

    def as_read(self) -> GasCubicMetresPerSecond:
        """Return the leak [m3/s] of the fall, everything taken as exact."""
        source = self.source
        return leaks.leak(
            source.physics.gas,
            self.volume.nominal,
            self.start.pa,
            self.end.pa,
            self.time.s,
            source.physics.temperature.nominal,
            source.physics.ambient,
            source.condition,
            valve_open=self.is_open,
        )


def timed_fall(
    department: Department,
    machine: Machine,
    entry: Cylinder,
    start: units.GaugePressure,
    end: units.GaugePressure,
    time: units.Duration,
    valve: str,
) -> TimedFall:
    """Return two readings on a machine, or refuse what cannot be read on it."""
    source = _on_yoke(department, machine, entry, valve)
    every(
        (
            lambda: (
                readings.refuse_unshown(source.dial, start, ("from",))
                if entry.liquefied
                else readings.of_dial(source, start, ("from",))
            ),
            lambda: readings.refuse_unshown(source.dial, end, ("to",)),
            lambda: _refuse_rise(start, end),
        )
    )
    fall = TimedFall(source, machine, start, end, time, valve)
    if entry.liquefied and fall.is_open:
        _refuse_liquid(fall)
    return fall


def _on_yoke(department: Department, machine: Machine, entry: Cylinder, valve: str) -> Supply:
    """Return the cylinder as it hangs on the machine; refuse one that does not, and an unknown trapped volume."""
    faults = []
    hung = [yoke.cylinder for yoke in machine.yokes if yoke.cylinder]
    if entry.key not in hung:
        wrong = f"{machine.key} has no yoke in which {entry.key} hangs"
        allowed = ", ".join(dict.fromkeys(hung)) or "a machine with a yoke in use"
        example = f'"{hung[0]}"' if hung else ""
        faults.append(Fault("E553", wrong, ("cylinder",), allowed=allowed, example=example))
    if valve == CLOSED and machine.trapped_volume is None:
        wrong = (
            f"how much gas {machine.key} holds between the closed cylinder valve and the regulator is not stated, so a "
            "fall says nothing of the leak"
        )
        allowed = "a machine whose trapped_volume stands in machines.yaml"
        faults.append(Fault("E553", wrong, ("machine",), allowed=allowed, example="trapped_volume: 20 mL"))
    if faults:
        raise Refusal(*faults)
    return read_on_dial(department, entry, machine, None)


def _refuse_rise(start: units.GaugePressure, end: units.GaugePressure) -> None:
    if end.pa > start.pa:
        wrong = f"the reading rises from {start.text} to {end.text}: something warms up, or another cylinder fills it"
        allowed = f"{start.text} or less"
        raise Refusal(Fault("E554", wrong, ("to",), allowed=allowed, example=f'"{start.number:f} {start.unit.symbol}"'))


def _refuse_liquid(fall: TimedFall) -> None:
    """Refuse an open cylinder with liquid in it: the liquid evaporates and holds the reading up."""
    cylinder = fall.source.physics
    doubt = fall.source.error(fall.start.pa)
    try:
        liquefied.require_gas_alone(cylinder.gas, fall.start.pa, cylinder.temperature.low, cylinder.ambient, doubt)
    except OutOfRange as error:
        wrong = (
            f"at this reading liquid {fall.source.entry.gas} may be left, and it evaporates and holds the reading up: "
            "with the cylinder valve open a fall says nothing of the leak"
        )
        fault = Fault("E526", wrong, ("valve",), allowed='valve="closed", or a reading with gas alone left',
                      example='"closed"')  # fmt: skip
        raise Refusal(fault) from error


def table_of(fall: TimedFall, department: Department) -> Table:
    """Return what a fall says: the leak at most, and what may stay unseen."""
    source, dial = fall.source, fall.source.dial
    seen = in_range(lambda: fall.worst(fall.end.pa), ("from",))
    unseen = in_range(lambda: fall.worst(fall.start.pa), ("from",))
    unit = "L/min" if fall.is_open else "mL/min"
    nominal = in_range(fall.as_read, ("from",))
    from_to = " to ".join(dial.label(dial.printed(reading.pa)) for reading in (fall.start, fall.end))
    return Table(
        caption=f"What a fall from {from_to} in {fall.time.text} on the {source.entry.gas} gauge of "
        f"{fall.machine.called} says, cylinder valve {fall.valve}: {source.stamped}, for dials that end at "
        f"{dial.label(dial.high)}",
        condition=_condition(fall, seen, unit, department),
        corner="What it says",
        rows=("The leak may be as much as", "Even with a still reading, a leak may be there of up to"),
        columns=("Leak",),
        cells=((_up(seen.flow, nominal, unit),), (_up(unseen.flow, 0.0, unit),)),
        unit=unit,
        rounding=units.Rounding.UP,
        cautions=(_valve_caution(fall), _ONE_TEMPERATURE),
        working=_working(fall, seen, unseen, unit),
    )


def _up(flow: float, nominal: float, symbol: str) -> Shown:
    """Return a leak [m3/s] rounded up to two figures, beside the nominal one."""
    unit = units.SPELLINGS[symbol]
    exact = significant(units.from_si(flow, unit))
    shown = units.round_to(exact, Decimal(1).scaleb(exact.adjusted() - 1), units.Rounding.UP)
    shown = significant(shown)
    return Shown(units.with_unit(units.group(shown), unit), shown, significant(units.from_si(nominal, unit)))


def _condition(fall: TimedFall, seen: leaks.LeakCorner, unit: str, department: Department) -> str:
    source, reference = fall.source, department.settings.flowmeter_reference
    gauge, temperature = source.dial.gauge, source.physics.temperature
    found = f" and the {gauge.found_error.text} found at its check" if gauge.found_error else ""
    tolerance = source.entry.water_capacity_tolerance
    larger = f"water capacity {tolerance.text} more than stamped" if tolerance else "water capacity as stamped"
    assert fall.is_open or fall.machine.trapped_volume is not None
    volume = larger if fall.is_open else f"trapped volume {_trapped(fall)} as stated"
    parts = (
        f"gauge out by {accuracy_text(gauge)}{found}, and by its own temperature",
        f"each reading half a mark wrong ({source.dial.half_a_mark}), so the fall by a whole one",
        f"gas at {units.shown(temperature.low, '°C', '0.1')} to {units.shown(temperature.high, '°C', '0.1')}, the same "
        "at both readings",
        volume,
        "time as stated",
    )
    return (
        f"Worked with each tolerance at its worst and rounded up to two figures: {', '.join(parts)}. Both readings are "
        f"taken on this one dial, as far out at the second as at the first{_or_share(fall)}; "
        f"{_by_each_step(fall, seen, unit)}. Litres are litres at {reference.temperature.text} and "
        f"{reference.pressure.text}."
    )


def _or_share(fall: TimedFall) -> str:
    return ", or by the same share of the reading" if fall.share_of_reading else ""


def _by_each_step(fall: TimedFall, seen: leaks.LeakCorner, unit: str) -> str:
    """Return how much larger the leak may be for each step by which the dial is further out at one reading."""
    dial = fall.source.dial
    one = dial.pa(Decimal(1)) - dial.pa(Decimal(0))
    more = _up(seen.flow * one / (seen.start - seen.end), 0.0, unit).text
    return f"for each {dial.label(Decimal(1))} that it is further out at one of them, the leak may be some {more} more"


def _trapped(fall: TimedFall) -> str:
    assert fall.machine.trapped_volume is not None
    return fall.machine.trapped_volume.text


def _valve_caution(fall: TimedFall) -> Caution:
    """Return how much the cylinder valve decides; by how much, where the trapped volume is known."""
    other, size = (CLOSED, "small") if fall.is_open else (OPEN, "large")
    trapped = fall.machine.trapped_volume
    times = "hundreds of times"
    if trapped:
        ratio = significant(fall.source.entry.water_capacity.m3 / trapped.m3)
        step = Decimal(1).scaleb(max(ratio.adjusted() - 1, 0))
        times = f"some {units.group(units.round_to(ratio, step, units.Rounding.NEAREST))} times"
    text = (
        f"The cylinder valve was {fall.valve}. With it {other} the same fall stands for a leak {times} as {size}: the "
        "gauge then shows another volume. Write down how the valve stood."
    )
    return Caution("WARNING", text)


def _working(fall: TimedFall, seen: leaks.LeakCorner, unseen: leaks.LeakCorner, unit: str) -> Working:
    source = fall.source
    inputs = [
        *source.inputs,
        Input("Reading at first", fall.start.text, ""),
        Input("Reading at last", fall.end.text, ""),
        Input("Time between", fall.time.text, ""),
        Input("Cylinder valve", fall.valve, ""),
    ]
    if fall.machine.trapped_volume:
        key = key_text(("machines", fall.machine.key, "trapped_volume"))
        inputs.append(Input("Trapped volume", fall.machine.trapped_volume.text, key))
    models = ", ".join(model.value for model in realgas.models(source.physics.gas))
    lines = (
        "Leak = volume × (molar density at first − molar density at last) ÷ (time × molar density at the condition of "
        f"the litres). The volume is the {'water capacity' if fall.is_open else 'trapped volume'}. Densities are taken "
        "at the absolute pressure: gauge + ambient.",
        "Of all true pressures that the readings allow, those where the gas thins out fastest as the pressure falls.",
        f"First row: {_worked(fall, seen, unit)}, with a fall one scale interval larger than read{_of_share(fall)}.",
        f"Second row: {_worked(fall, unseen, unit)}, with a fall of one scale interval that no reading showed.",
        "Rounding: up, to two figures.",
        f"Source of the densities: {models}.",
    )
    return Working(tuple(inputs), lines)


def _of_share(fall: TimedFall) -> str:
    """Return what a dial adds to the fall whose possible error is a share of what it shows."""
    share = fall.share_of_reading
    return f", and all of it {units.shown(share, '%', '0.1')} larger, as the dial may show" if share else ""


def _worked(fall: TimedFall, corner: leaks.LeakCorner, unit: str) -> str:
    source = fall.source
    gas, ambient = source.physics.gas, source.physics.ambient
    before, after = (
        realgas.density(gas, absolute(pressure, ambient), corner.temperature, corner.model)
        for pressure in (corner.start, corner.end)
    )
    standard = realgas.density(gas, source.condition.pressure, source.condition.temperature, corner.model)
    densities = [digits(density / 1000, "0.0001") for density in (before, after)]
    per_litre = digits(standard / 1000, "0.000001")
    volume = digits(corner.volume * 1000, "0.0001")
    true = " to ".join(units.shown(pressure, "bar", "0.01") for pressure in (corner.start, corner.end))
    minutes = units.shown(corner.duration, "min", "0.01")
    return (
        f"true pressure from {true} at {units.shown(corner.temperature, '°C', '0.1')} ({corner.model.value}): "
        f"{volume} L × ({densities[0]} − {densities[1]}) mol/L ÷ ({minutes} × {per_litre} mol/L) = "
        f"{units.shown(corner.flow, unit, '0.001')}, shown as {_up(corner.flow, 0.0, unit).text}"
    )

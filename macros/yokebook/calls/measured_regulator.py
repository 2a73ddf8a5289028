"""A machine's regulator as measured: two outlets at two readings of the cylinder gauge, and a straight line between."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from yokebook import units
from yokebook.calls.dial import DialFace, dial_face
from yokebook.calls.refusal import Refusal, in_range, pick, pick_named
from yokebook.data import dials
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.machines import Machine, MeasuredOutlet, Yoke
from yokebook.data.ranges import PressureRange
from yokebook.data.sources import key_text
from yokebook.physics.gauges import temperature_effect
from yokebook.physics.regulators import Characteristic
from yokebook.quantities import DifferencePa, GaugePa


@dataclass(frozen=True)
class MeasuredRegulator:
    """One regulator as measured: its place, its dial, its two outlets, and the pipeline that it stands beside."""

    machine: Machine
    number: int
    yoke: Yoke
    dial: DialFace
    high: MeasuredOutlet
    low: MeasuredOutlet
    physics: Characteristic
    warmth: DifferencePa

    @property
    def pipeline(self) -> PressureRange | None:
        """What the pipeline of the same gas keeps, where there is one."""
        return self.machine.pipeline.get(self.yoke.gas)

    @property
    def unit(self) -> units.Unit:
        """The unit in which its outlet was measured."""
        return self.high.outlet.unit

    @property
    def step(self) -> Decimal:
        """The last figure of the coarser of the two measured outlets, in their unit."""
        exponents = [_exponent(one.outlet) for one in (self.high, self.low) if one.outlet.unit == self.unit]
        return Decimal(1).scaleb(max(exponents))

    @property
    def doubt_pa(self) -> float:
        """How much higher the outlet may be than the straight line says at a reading [Pa].

        The gauge's possible error, half a mark of reading and its own temperature included, times the supply effect,
        and half of the last figure that was measured. A gauge of unknown accuracy may stand for any reading between
        the two measured.
        """
        error = dials.error_as_read(self.dial.gauge)
        half = units.to_si(self.step / 2, self.unit)
        span = self.physics.high_inlet - self.physics.low_inlet
        return abs(self.physics.effect) * (error(self.dial.face.high) + self.warmth if error else span) + half

    def outlet(self, reading: GaugePa) -> GaugePa:
        """The outlet at a reading [Pa]."""
        return in_range(lambda: self.physics.outlet(reading), ("machine",))

    def key(self, field: str) -> str:
        """The data key of one of the yoke's fields."""
        return key_text(("machines", self.machine.key, "yokes", self.number, field))


def measured_regulator(department: Department, name: str, gas: str, which: Decimal | None) -> MeasuredRegulator:
    """Return the regulator for a gas on a machine, behind its yoke of a number where several differ, or refuse."""
    machine: Machine = pick(department, "machines", name, ("machine",))
    number, yoke = _measured_yoke(machine, gas, which)
    assert yoke.measured_outlets is not None
    low, high = sorted(yoke.measured_outlets, key=lambda measured: measured.inlet.pa)
    dial = dial_face(pick_named(department, "gauges", yoke.gauge or ""))
    physics = in_range(lambda: Characteristic(high.inlet.pa, high.outlet.pa, low.inlet.pa, low.outlet.pa), ("machine",))
    place = pick_named(department, "places", machine.place).temperature
    warmth = max(temperature_effect(dial.face, end.k) for end in (place.low, place.high))
    return MeasuredRegulator(machine, number, yoke, dial, high, low, physics, warmth)


def _measured_yoke(machine: Machine, gas: str, which: Decimal | None) -> tuple[int, Yoke]:
    """Return the one yoke that is meant, counted from 0, or refuse."""
    of_gas = [(number, yoke) for number, yoke in enumerate(machine.yokes) if yoke.gas == gas]
    if not of_gas:
        gases = ", ".join(dict.fromkeys(yoke.gas for yoke in machine.yokes))
        wrong = f"{machine.key} has no yoke for {gas}"
        raise Refusal(Fault("E547", wrong, ("gas",), allowed=gases, example=f'"{machine.yokes[0].gas}"'))
    measured = [(number, yoke) for number, yoke in of_gas if yoke.measured_outlets]
    if not measured:
        raise Refusal(
            Fault(
                "E547",
                f"no outlets of a regulator for {gas} were measured on {machine.key}, and figures of a book "
                "are not those of this machine",
                ("machine",),
                allowed="a machine whose yoke has measured_outlets in machines.yaml",
                example="measured_outlets: [{inlet: 130 bar, outlet: 3.10 bar}, {inlet: 30 bar, outlet: 2.80 bar}]",
            )
        )
    wanted = [one for one in measured if which is None or one[0] + 1 == which]
    # Yokes that say the same of their regulator share it, so it does not matter which of them is meant.
    if len({yoke.measured_outlets for _, yoke in wanted}) == 1:
        return wanted[0]
    wrong = (
        f"yoke {which} of {machine.key} has no measured outlets for {gas}"
        if which is not None
        else f"several yokes of {machine.key} have regulators for {gas} that were measured differently"
    )
    at = ("machine",) if which is None else ("yoke",)
    allowed = " or ".join(f"yoke={number + 1}" for number, _ in measured)
    raise Refusal(Fault("E548", wrong, at, allowed=allowed, example=f"yoke={measured[0][0] + 1}"))


def _exponent(quantity: units.Quantity) -> int:
    exponent = quantity.number.as_tuple().exponent
    assert isinstance(exponent, int)
    return exponent

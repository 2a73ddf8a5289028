"""How long a cylinder lasts, which reading a time needs, how many cylinders a time needs: one corner, plain arithmetic.

The draw is the sum of what a use takes at the same time, as flows in the state that the flowmeter is marked for.
`bounds` works out the worst corner of each number that staff act on.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from yokebook.gases import Gas
from yokebook.physics import realgas
from yokebook.physics.contents import Condition, reading_with_usable
from yokebook.physics.limits import require
from yokebook.physics.realgas import Model
from yokebook.quantities import (
    AbsolutePa,
    CubicMetres,
    GasCubicMetresPerSecond,
    GaugePa,
    Kelvin,
    Moles,
    MolesPerSecond,
    Seconds,
)

_NONE = GasCubicMetresPerSecond(0.0)
_ROUNDING = 1e-12
"""Share of a cylinder that is float arithmetic, not gas: a need of 3.0000000000000004 cylinders is 3."""


@dataclass(frozen=True)
class Draw:
    """What a use takes of one gas at the same time, each as a flow at the flowmeter's condition [m3/s].

    Raises `OutOfRange` for a part below zero and for a sum that is not above zero: a use that draws nothing has no
    duration.

    >>> round(Draw(GasCubicMetresPerSecond(1e-3 / 60), drive_gas=GasCubicMetresPerSecond(6e-3 / 60)).flow * 60e3, 6)
    7.0
    """

    fresh_gas: GasCubicMetresPerSecond
    drive_gas: GasCubicMetresPerSecond = _NONE
    leak: GasCubicMetresPerSecond = _NONE

    def __post_init__(self) -> None:
        for name, part in (("fresh gas", self.fresh_gas), ("drive gas", self.drive_gas), ("leak", self.leak)):
            require(name, part, "m3/s", low=0.0)
        require("draw", self.flow, "m3/s", low=0.0, ends=False, reason="A use that draws nothing has no duration.")

    @property
    def flow(self) -> GasCubicMetresPerSecond:
        """The sum of the parts [m3/s]."""
        return GasCubicMetresPerSecond(self.fresh_gas + self.drive_gas + self.leak)


def amount_rate(gas: Gas, draw: Draw, condition: Condition, model: Model | None = None) -> MolesPerSecond:
    """Return a draw as an amount of gas per time [mol/s].

    Equation: n' = (fresh gas + drive gas + leak) density(condition).
    Parameters: flows [m3/s] in the state that the flowmeter is marked for, its temperature [K] and pressure [Pa].
    Range: as `Draw` and `realgas.density`. Reference: definition of molar density.

    >>> from yokebook.gases import OXYGEN
    >>> condition = Condition(Kelvin(288.15), AbsolutePa(101325.0))
    >>> round(amount_rate(OXYGEN, Draw(GasCubicMetresPerSecond(2e-3 / 60)), condition) * 60, 5)
    0.08465
    """
    return MolesPerSecond(draw.flow * realgas.density(gas, condition.pressure, condition.temperature, model))


def duration(amount: Moles, rate: MolesPerSecond) -> Seconds:
    """Return how long an amount of gas [mol] lasts at a rate [mol/s].

    Equation: t = n / n'. Range: amount not below zero, rate above zero; raises `OutOfRange` outside.
    Reference: common practice, no source.

    >>> duration(Moles(9.0), MolesPerSecond(0.005))
    1800.0
    """
    require("amount", amount, "mol", low=0.0)
    _require_rate(rate)
    return Seconds(amount / rate)


def run_out_times(amounts: Sequence[Moles], rate: MolesPerSecond) -> tuple[Seconds, ...]:
    """Return the moment [s from the start] at which each of several cylinders, opened one after the other, runs out.

    Equation: t_k = (n_1 + ... + n_k) / n'. Parameters: usable amount of each cylinder [mol] in the order of use, rate
    [mol/s]. The last moment is the duration of all; without a cylinder the result is empty. Time to change is not
    counted in.
    Range: as `duration`. Reference: common practice, no source.

    >>> run_out_times([Moles(9.0), Moles(0.0), Moles(3.0)], MolesPerSecond(0.005))
    (1800.0, 1800.0, 2400.0)
    """
    _require_rate(rate)
    moments: list[Seconds] = []
    for amount in amounts:
        lasts = duration(amount, rate)
        moments.append(Seconds(moments[-1] + lasts) if moments else lasts)
    return tuple(moments)


def reading_for_duration(
    gas: Gas,
    water_capacity: CubicMetres,
    rate: MolesPerSecond,
    time: Seconds,
    keep_back: GaugePa,
    temperature: Kelvin,
    ambient: AbsolutePa,
    model: Model | None = None,
    end_temperature: Kelvin | None = None,
) -> GaugePa:
    """Return the true reading [Pa gauge] at which a cylinder still lasts a time; the inverse of `duration` of `usable`.

    Equation: the reading with n' t usable (`contents.reading_with_usable`).
    Parameters: rate n' [mol/s], time t [s]; the others as `contents.usable`. Range: rate above zero, time not below
    zero; a need that no filling below 400 bar meets raises `OutOfRange`. Reference: as `contents.usable`.

    >>> from yokebook.gases import OXYGEN
    >>> cylinder, place = (OXYGEN, CubicMetres(0.00468)), (Kelvin(288.15), AbsolutePa(101325.0))
    >>> reading = reading_for_duration(*cylinder, MolesPerSecond(0.005), Seconds(2000.0), GaugePa(10e5), *place)
    >>> round(reading / 1e5, 1)
    58.8
    """
    _require_rate(rate)
    require("time", time, "s", low=0.0)
    amount = Moles(rate * time)
    return reading_with_usable(gas, water_capacity, amount, keep_back, temperature, ambient, model, end_temperature)


def cylinders_needed(each: Moles, rate: MolesPerSecond, time: Seconds) -> int:
    """Return how many like cylinders a time needs, opened one after the other: a whole number, rounded up.

    Equation: the least whole k with k n >= n' t. Parameters: usable amount of each n [mol], rate n' [mol/s], time t
    [s].
    Range: each above zero, rate above zero, time above zero; raises `OutOfRange` outside. Reference: common practice,
    no source.

    >>> cylinders_needed(Moles(9.0), MolesPerSecond(0.005), Seconds(3600.0))
    2
    >>> cylinders_needed(Moles(9.0), MolesPerSecond(0.005), Seconds(3601.0))
    3
    """
    require(
        "usable amount of each",
        each,
        "mol",
        low=0.0,
        ends=False,
        reason="A cylinder that gives nothing cannot be counted.",
    )
    _require_rate(rate)
    require("time", time, "s", low=0.0, ends=False)
    return max(1, math.ceil(rate * time / each * (1.0 - _ROUNDING)))


def lasts_in_turn(till_change: Sequence[Seconds], last: Seconds) -> Seconds:
    """Return how long [s] several cylinders last, each but the last changed before it is used up.

    Equation: t = c_1 + ... + c_(k-1) + t_k. Parameters: how long each cylinder but the last supplies till it is changed
    [s] (0 where it is changed at once); how long the last one does till it is used up [s]. Range: no time below zero;
    raises `OutOfRange` outside. Reference: common practice, no source.

    >>> lasts_in_turn([Seconds(2400.0), Seconds(0.0)], Seconds(1800.0))
    4200.0
    """
    for each in (*till_change, last):
        require("time", each, "s", low=0.0)
    return Seconds(sum(till_change) + last)


def needed_in_turn(till_change: Seconds, last: Seconds, time: Seconds) -> int:
    """Return how many like cylinders a time [s] needs, each but the last changed before it is used up.

    Equation: the least whole k with (k - 1) c + t_k >= time. Parameters: how long each supplies till it is changed c
    [s], the last till it is used up t_k [s], the time asked for [s]. Range: no time below zero, and c above zero unless
    one is enough; raises `OutOfRange` outside. Reference: common practice, no source.

    >>> needed_in_turn(Seconds(2400.0), Seconds(3600.0), Seconds(7200.0))
    3
    """
    for duration_s in (till_change, last, time):
        require("time", duration_s, "s", low=0.0)
    if time <= last:
        return 1
    reason = "It would be changed before it gave anything."
    require("time till each is changed", till_change, "s", low=0.0, ends=False, reason=reason)
    return 1 + math.ceil((time - last) / till_change * (1.0 - _ROUNDING))


def _require_rate(rate: MolesPerSecond) -> None:
    require("rate", rate, "mol/s", low=0.0, ends=False, reason="A use that draws nothing has no duration.")

"""The worst corner of each number that staff act on: durations and volumes down, thresholds and counts up.

What is not known exactly is a `Range`. Where the direction of the worst can be proved it is taken (less water
capacity, a lower true reading and a greater draw never last longer: contents are proportional to the one, rise with
the other, and time falls with the third). Temperatures and models are not proved: every combination of the low,
nominal and high temperature at the reading, the same at the end, and each model is worked out, and the worst of them
counts. At a pressure, each gas here grows thinner in warmth, so the ends of a temperature range bound what lies
between.

The temperature at which the keep-back is reached is a corner of its own: the place may have changed, and gas that
streams out cools what is left, so the gas may be warm when it is read and cold when it ends. Gas colder than the
place's range is not covered.

A gauge's possible error is taken at each reading: at the start, and where a cylinder is changed at a reading there
too, the other way, for a dial may read high at one and low at the other. The keep-back is a true pressure. The ambient
pressure is taken as exact: the weather shifts reading and keep-back alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Generic, TypeVar, cast

from yokebook.gases import Gas
from yokebook.physics import contents, realgas, reserve
from yokebook.physics.contents import Condition
from yokebook.physics.gauges import Dial, PossibleError, reading_that_assures, true_range
from yokebook.physics.limits import require
from yokebook.physics.realgas import Model
from yokebook.quantities import (
    AbsolutePa,
    CubicMetres,
    GasCubicMetresPerSecond,
    GaugePa,
    Kelvin,
    Moles,
    MolesPerCubicMetre,
    MolesPerSecond,
    Seconds,
    absolute,
)

Quantity = TypeVar("Quantity", bound=float)


@dataclass(frozen=True)
class Range(Generic[Quantity]):
    """A quantity that is known from `low` to `high`, with its nominal value between; all three in its own SI unit.

    Raises `OutOfRange` where they are not finite or not in this order.

    >>> Range(Kelvin(289.15), Kelvin(293.15), Kelvin(299.15)).corners
    (289.15, 293.15, 299.15)
    """

    low: Quantity
    nominal: Quantity
    high: Quantity

    def __post_init__(self) -> None:
        require("low end", self.low, "SI", high=self.high)
        require("high end", self.high, "SI", low=self.low)
        require("nominal value", self.nominal, "SI", low=self.low, high=self.high)

    @classmethod
    def exactly(cls, value: Quantity) -> Range[Quantity]:
        """Return the range of a quantity that is taken as exact."""
        return cls(value, value, value)

    @classmethod
    def about(cls, nominal: Quantity, tolerance: float) -> Range[Quantity]:
        """Return the range of a quantity above zero that is known within a share (0 to below 1) of itself.

        Equation: nominal (1 - tolerance) to nominal (1 + tolerance). Raises `OutOfRange` for another share.

        >>> Range.about(CubicMetres(0.005), 0.1).high
        0.0055000000000000005
        """
        require("nominal value", nominal, "SI", low=0.0)
        require("tolerance", tolerance, "", low=0.0)
        require("tolerance", tolerance, "", high=1.0, ends=False)
        ends = nominal * (1.0 - tolerance), nominal * (1.0 + tolerance)
        return cls(cast(Quantity, ends[0]), nominal, cast(Quantity, ends[1]))

    @property
    def corners(self) -> tuple[Quantity, ...]:
        """The low, nominal and high value, each once."""
        return tuple(sorted({self.low, self.nominal, self.high}))


@dataclass(frozen=True)
class Cylinder:
    """A cylinder of compressed gas in its place, with what is not known exactly.

    Water capacity [m3], temperature of the place [K], true keep-back [Pa gauge], ambient pressure [Pa].
    """

    gas: Gas
    water_capacity: Range[CubicMetres]
    temperature: Range[Kelvin]
    keep_back: GaugePa
    ambient: AbsolutePa


@dataclass(frozen=True)
class Reading:
    """What a gauge shows [Pa gauge] and its possible error [Pa] as a function of what it shows."""

    shown: GaugePa
    error: PossibleError

    @property
    def lowest(self) -> GaugePa:
        """The lowest true pressure [Pa gauge] behind what is shown; below zero where the cylinder may be empty."""
        return true_range(self.shown, self.error)[0]

    @property
    def highest(self) -> GaugePa:
        """The highest true pressure [Pa gauge] behind what is shown."""
        return true_range(self.shown, self.error)[1]


@dataclass(frozen=True)
class Use:
    """What a use takes of one gas, with what is not known exactly.

    Fresh gas as set on the flowmeter [m3/s], the flowmeter's tolerance as a share, drive gas and leak as ranges
    [m3/s], and the condition that the flowmeter is marked for.
    """

    fresh_gas: GasCubicMetresPerSecond
    flowmeter_tolerance: float
    drive_gas: Range[GasCubicMetresPerSecond]
    leak: Range[GasCubicMetresPerSecond]
    condition: Condition

    @property
    def highest(self) -> reserve.Draw:
        """The greatest draw that this use may be."""
        fresh_gas = Range.about(self.fresh_gas, self.flowmeter_tolerance).high
        return reserve.Draw(fresh_gas, self.drive_gas.high, self.leak.high)

    @property
    def nominal(self) -> reserve.Draw:
        """The draw as set and as usual."""
        return reserve.Draw(self.fresh_gas, self.drive_gas.nominal, self.leak.nominal)


def least_usable(cylinder: Cylinder, reading: Reading) -> Moles:
    """Return the gas [mol] that a cylinder surely gives from a reading down to its keep-back; 0 where that may be none.

    Equation: min over models, T and T_end of V_low (density(lowest + ambient, T) - density(keep_back + ambient,
    T_end)), where lowest = shown - error(shown); 0 where lowest is not above the keep-back.
    Range: as `contents.usable`; what the dial cannot show, or a reading that may belong to liquid, raises `OutOfRange`.
    Reference: worst corner of independent tolerances (common practice, no source).

    >>> from yokebook.gases import OXYGEN
    >>> from yokebook.physics.gauges import ClassError
    >>> place = Range(Kelvin(289.15), Kelvin(293.15), Kelvin(299.15))
    >>> cylinder = Cylinder(OXYGEN, Range.exactly(CubicMetres(0.00468)), place, GaugePa(10e5), AbsolutePa(101325.0))
    >>> error = ClassError(Dial(GaugePa(0.0), GaugePa(250e5)), 2.5)
    >>> round(least_usable(cylinder, Reading(GaugePa(137e5), error)), 2)
    24.05
    """
    return min(_least_by_model(cylinder, reading).values())


def least_duration(cylinder: Cylinder, reading: Reading, use: Use) -> Seconds:
    """Return how long [s] a cylinder surely lasts from a reading down to its keep-back; 0 where that may be no time.

    Equation: min over models of least usable / greatest rate, with the greatest rate (fresh gas (1 + tolerance) +
    drive gas high + leak high) density(condition).
    Range: as `least_usable` and `reserve.duration`. Raises `OutOfRange` outside. Reference: as `least_usable`.

    >>> from yokebook.gases import OXYGEN
    >>> from yokebook.physics.gauges import ClassError
    >>> place = Range(Kelvin(289.15), Kelvin(293.15), Kelvin(299.15))
    >>> cylinder = Cylinder(OXYGEN, Range.exactly(CubicMetres(0.00468)), place, GaugePa(10e5), AbsolutePa(101325.0))
    >>> none = Range.exactly(GasCubicMetresPerSecond(0.0))
    >>> condition = Condition(Kelvin(293.15), AbsolutePa(101325.0))
    >>> use = Use(GasCubicMetresPerSecond(2e-3 / 60), 0.1, none, none, condition)
    >>> error = ClassError(Dial(GaugePa(0.0), GaugePa(250e5)), 2.5)
    >>> round(least_duration(cylinder, Reading(GaugePa(137e5), error), use) / 60, 1)
    262.8
    """
    return least_run_out_times([(cylinder, reading)], use)[-1]


def changed_at(cylinder: Cylinder, mark: Reading) -> Cylinder:
    """Return a cylinder that is changed when its gauge has come to a reading: what lies below it is kept back too.

    Equation: keep-back = max(keep-back, highest true pressure behind the mark), for the gauge may read low there.
    Reference: as `least_usable`.

    >>> from yokebook.gases import OXYGEN
    >>> from yokebook.physics.gauges import ClassError
    >>> place = Range.exactly(Kelvin(293.15))
    >>> cylinder = Cylinder(OXYGEN, Range.exactly(CubicMetres(0.00468)), place, GaugePa(10e5), AbsolutePa(101325.0))
    >>> mark = Reading(GaugePa(70e5), ClassError(Dial(GaugePa(0.0), GaugePa(250e5)), 2.5))
    >>> changed_at(cylinder, mark).keep_back / 1e5
    76.25
    """
    return replace(cylinder, keep_back=max(cylinder.keep_back, mark.highest))


@dataclass(frozen=True)
class Corner:
    """The worst corner of a duration, step by step, for a working that a reviewer can follow.

    Lowest true reading [Pa gauge], temperatures at the reading and at the end [K], molar densities there [mol/m3],
    usable amount [mol], rate [mol/s], duration [s], and the model that gives them.
    """

    lowest: GaugePa
    start: Kelvin
    end: Kelvin
    start_density: MolesPerCubicMetre
    end_density: MolesPerCubicMetre
    amount: Moles
    rate: MolesPerSecond
    duration: Seconds
    model: Model


def worst_corner(cylinder: Cylinder, reading: Reading, use: Use) -> Corner | None:
    """Return the corner whose duration is `least_duration`; None where the reading may leave nothing.

    Equation, range and reference: as `least_duration`.

    >>> from yokebook.gases import OXYGEN
    >>> from yokebook.physics.gauges import ClassError
    >>> place = Range(Kelvin(289.15), Kelvin(293.15), Kelvin(299.15))
    >>> cylinder = Cylinder(OXYGEN, Range.exactly(CubicMetres(0.00468)), place, GaugePa(10e5), AbsolutePa(101325.0))
    >>> none = Range.exactly(GasCubicMetresPerSecond(0.0))
    >>> condition = Condition(Kelvin(293.15), AbsolutePa(101325.0))
    >>> use = Use(GasCubicMetresPerSecond(2e-3 / 60), 0.1, none, none, condition)
    >>> full = Reading(GaugePa(137e5), ClassError(Dial(GaugePa(0.0), GaugePa(250e5)), 2.5))
    >>> corner = worst_corner(cylinder, full, use)
    >>> round(corner.lowest / 1e5, 2), corner.start, corner.end
    (130.75, 299.15, 289.15)
    """
    lowest = reading.lowest
    if lowest <= cylinder.keep_back:
        return None
    corners = [
        _corner(cylinder, lowest, rate, model, start, end)
        for model, rate in _greatest_rates(cylinder.gas, use)
        for start, end in _temperatures(cylinder)
    ]
    return min(corners, key=lambda corner: corner.duration)


def least_run_out_times(cylinders: Sequence[tuple[Cylinder, Reading]], use: Use) -> tuple[Seconds, ...]:
    """Return until when [s from the start] several cylinders, opened one after the other, surely last.

    Equation: t_k = min over models of (n_1 + ... + n_k) / n', each n the least usable amount, n' the greatest rate.
    Parameters: each cylinder, of one gas, with its own reading, in the order of use. The last moment is the duration
    of all.
    Range: as `least_duration`; without a cylinder, or with different gases, raises `ValueError`. Reference: as
    `least_usable`.

    >>> from yokebook.gases import OXYGEN
    >>> from yokebook.physics.gauges import ClassError
    >>> place = Range(Kelvin(289.15), Kelvin(293.15), Kelvin(299.15))
    >>> cylinder = Cylinder(OXYGEN, Range.exactly(CubicMetres(0.00468)), place, GaugePa(10e5), AbsolutePa(101325.0))
    >>> none = Range.exactly(GasCubicMetresPerSecond(0.0))
    >>> condition = Condition(Kelvin(293.15), AbsolutePa(101325.0))
    >>> use = Use(GasCubicMetresPerSecond(2e-3 / 60), 0.1, none, none, condition)
    >>> full = Reading(GaugePa(137e5), ClassError(Dial(GaugePa(0.0), GaugePa(250e5)), 2.5))
    >>> [round(moment / 60) for moment in least_run_out_times([(cylinder, full), (cylinder, full)], use)]
    [263, 526]
    """
    gases = {cylinder.gas for cylinder, _ in cylinders}
    if len(gases) != 1:
        raise ValueError(f"cylinders in turn are of one gas, not of {len(gases)}")
    least = [_least_by_model(cylinder, reading) for cylinder, reading in cylinders]
    by_model = [
        reserve.run_out_times([amounts[model] for amounts in least], rate)
        for model, rate in _greatest_rates(gases.pop(), use)
    ]
    return tuple(min(moments) for moments in zip(*by_model, strict=True))


def highest_threshold(cylinder: Cylinder, error: PossibleError, dial: Dial, use: Use, time: Seconds) -> GaugePa:
    """Return the lowest reading [Pa gauge] of a dial from which a use surely lasts a time; before it is rounded up.

    Equation: the smallest R with R - error(R) >= max over models, T and T_end of
    p(density(keep_back + ambient, T_end) + n' t / V_low, T) - ambient, n' the greatest rate.
    Parameters: cylinder; possible error and dial that it is read on; use; time t [s], not below zero.
    Range: as `reserve.reading_for_duration`; a need that no reading of the dial assures raises `OutOfRange`.
    Reference: as `least_usable`.

    >>> from yokebook.gases import OXYGEN
    >>> from yokebook.physics.gauges import ClassError
    >>> place = Range(Kelvin(289.15), Kelvin(293.15), Kelvin(299.15))
    >>> cylinder = Cylinder(OXYGEN, Range.exactly(CubicMetres(0.00468)), place, GaugePa(10e5), AbsolutePa(101325.0))
    >>> none = Range.exactly(GasCubicMetresPerSecond(0.0))
    >>> condition = Condition(Kelvin(293.15), AbsolutePa(101325.0))
    >>> use = Use(GasCubicMetresPerSecond(2e-3 / 60), 0.1, none, none, condition)
    >>> dial = Dial(GaugePa(0.0), GaugePa(250e5))
    >>> round(highest_threshold(cylinder, ClassError(dial, 2.5), dial, use, Seconds(1800.0)) / 1e5, 1)
    30.9
    """
    needed = max(
        reserve.reading_for_duration(
            cylinder.gas,
            cylinder.water_capacity.low,
            rate,
            time,
            cylinder.keep_back,
            start,
            cylinder.ambient,
            model,
            end,
        )
        for model, rate in _greatest_rates(cylinder.gas, use)
        for start, end in _temperatures(cylinder)
    )
    return reading_that_assures(needed, error, dial)


def most_cylinders_needed(cylinder: Cylinder, reading: Reading, use: Use, time: Seconds) -> int:
    """Return how many like cylinders, each with the same reading, surely last a time: a whole number, rounded up.

    Equation: max over models of the least whole k with k n >= n' t, n the least usable amount, n' the greatest rate.
    Range: as `least_duration`; the time [s] above zero. Cylinders that may give nothing raise `OutOfRange`.
    Reference: as `least_usable`.

    >>> from yokebook.gases import OXYGEN
    >>> from yokebook.physics.gauges import ClassError
    >>> place = Range(Kelvin(289.15), Kelvin(293.15), Kelvin(299.15))
    >>> cylinder = Cylinder(OXYGEN, Range.exactly(CubicMetres(0.00468)), place, GaugePa(10e5), AbsolutePa(101325.0))
    >>> none = Range.exactly(GasCubicMetresPerSecond(0.0))
    >>> condition = Condition(Kelvin(293.15), AbsolutePa(101325.0))
    >>> use = Use(GasCubicMetresPerSecond(2e-3 / 60), 0.1, none, none, condition)
    >>> full = Reading(GaugePa(137e5), ClassError(Dial(GaugePa(0.0), GaugePa(250e5)), 2.5))
    >>> most_cylinders_needed(cylinder, full, use, Seconds(8 * 3600.0))
    2
    """
    least = _least_by_model(cylinder, reading)
    return max(reserve.cylinders_needed(least[model], rate, time) for model, rate in _greatest_rates(cylinder.gas, use))


def highest_warm_reading(
    gas: Gas, reading: Reading, temperature: Range[Kelvin], warm: Kelvin, ambient: AbsolutePa
) -> GaugePa:
    """Return the highest true pressure [Pa gauge] that a closed cylinder may come to in the warmth.

    Equation: max over models and T of p(density(highest + ambient, T), T_warm) - ambient, highest = shown +
    error(shown).
    Parameters: temperature at which it was read T [K], temperature that it comes to T_warm [K], ambient pressure [Pa].
    Range: as `contents.reading_at`: a gas, not a liquid. Raises `OutOfRange` outside. Reference: as `least_usable`.

    >>> from yokebook.gases import OXYGEN
    >>> filled = Reading(GaugePa(137e5), lambda shown: 0.0)
    >>> fifteen = Range.exactly(Kelvin(288.15))
    >>> round(highest_warm_reading(OXYGEN, filled, fifteen, Kelvin(303.15), AbsolutePa(101325.0)) / 1e5, 1)
    147.1
    """
    return max(
        contents.reading_at(gas, reading.highest, start, warm, ambient, model)
        for model in realgas.models(gas)
        for start in temperature.corners
    )


def nominal_usable(cylinder: Cylinder, shown: GaugePa) -> Moles:
    """Return the usable gas [mol] at a reading [Pa gauge], nominal values taken as exact: for workings.

    Equation, range and reference: `contents.usable`.

    >>> from yokebook.gases import OXYGEN
    >>> place = Range.exactly(Kelvin(293.15))
    >>> cylinder = Cylinder(OXYGEN, Range.exactly(CubicMetres(0.00468)), place, GaugePa(10e5), AbsolutePa(101325.0))
    >>> round(nominal_usable(cylinder, GaugePa(137e5)), 2)
    26.14
    """
    return contents.usable(
        cylinder.gas,
        cylinder.water_capacity.nominal,
        shown,
        cylinder.keep_back,
        cylinder.temperature.nominal,
        cylinder.ambient,
    )


def nominal_duration(cylinder: Cylinder, shown: GaugePa, use: Use) -> Seconds:
    """Return how long [s] a cylinder lasts from a reading [Pa gauge] nominal values taken as exact: for workings.

    Equation, range and reference: `reserve.duration`.

    >>> from yokebook.gases import OXYGEN
    >>> place = Range.exactly(Kelvin(293.15))
    >>> cylinder = Cylinder(OXYGEN, Range.exactly(CubicMetres(0.00468)), place, GaugePa(10e5), AbsolutePa(101325.0))
    >>> none = Range.exactly(GasCubicMetresPerSecond(0.0))
    >>> condition = Condition(Kelvin(293.15), AbsolutePa(101325.0))
    >>> use = Use(GasCubicMetresPerSecond(2e-3 / 60), 0.1, none, none, condition)
    >>> round(nominal_duration(cylinder, GaugePa(137e5), use) / 60, 1)
    314.1
    """
    rate = reserve.amount_rate(cylinder.gas, use.nominal, use.condition)
    return reserve.duration(nominal_usable(cylinder, shown), rate)


def nominal_threshold(cylinder: Cylinder, use: Use, time: Seconds) -> GaugePa:
    """Return the reading [Pa gauge] from which a use lasts a time [s], nominal values taken as exact: for workings.

    Equation, range and reference: `reserve.reading_for_duration`.

    >>> from yokebook.gases import OXYGEN
    >>> place = Range.exactly(Kelvin(293.15))
    >>> cylinder = Cylinder(OXYGEN, Range.exactly(CubicMetres(0.00468)), place, GaugePa(10e5), AbsolutePa(101325.0))
    >>> none = Range.exactly(GasCubicMetresPerSecond(0.0))
    >>> condition = Condition(Kelvin(293.15), AbsolutePa(101325.0))
    >>> use = Use(GasCubicMetresPerSecond(2e-3 / 60), 0.1, none, none, condition)
    >>> round(nominal_threshold(cylinder, use, Seconds(1800.0)) / 1e5, 1)
    22.7
    """
    rate = reserve.amount_rate(cylinder.gas, use.nominal, use.condition)
    return reserve.reading_for_duration(
        cylinder.gas,
        cylinder.water_capacity.nominal,
        rate,
        time,
        cylinder.keep_back,
        cylinder.temperature.nominal,
        cylinder.ambient,
    )


def _temperatures(cylinder: Cylinder) -> list[tuple[Kelvin, Kelvin]]:
    """Each temperature at the reading with each at the end."""
    corners = cylinder.temperature.corners
    return [(start, end) for start in corners for end in corners]


def _corner(
    cylinder: Cylinder, lowest: GaugePa, rate: MolesPerSecond, model: Model, start: Kelvin, end: Kelvin
) -> Corner:
    gas, ambient, keep_back = cylinder.gas, cylinder.ambient, cylinder.keep_back
    amount = contents.usable(gas, cylinder.water_capacity.low, lowest, keep_back, start, ambient, model, end)
    return Corner(
        lowest,
        start,
        end,
        start_density=realgas.density(gas, absolute(lowest, ambient), start, model),
        end_density=realgas.density(gas, absolute(keep_back, ambient), end, model),
        amount=amount,
        rate=rate,
        duration=reserve.duration(amount, rate),
        model=model,
    )


def _least_by_model(cylinder: Cylinder, reading: Reading) -> dict[Model, Moles]:
    """The least usable amount in each model: the models are not mixed, for the gas obeys one of them."""
    lowest = reading.lowest
    if lowest <= cylinder.keep_back:
        return dict.fromkeys(realgas.models(cylinder.gas), Moles(0.0))
    return {
        model: min(
            contents.usable(
                cylinder.gas,
                cylinder.water_capacity.low,
                lowest,
                cylinder.keep_back,
                start,
                cylinder.ambient,
                model,
                end,
            )
            for start, end in _temperatures(cylinder)
        )
        for model in realgas.models(cylinder.gas)
    }


def _greatest_rates(gas: Gas, use: Use) -> list[tuple[Model, MolesPerSecond]]:
    draw = use.highest
    return [(model, reserve.amount_rate(gas, draw, use.condition, model)) for model in realgas.models(gas)]

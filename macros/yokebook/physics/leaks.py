"""How large a leak is, from the fall of a reading in a time; and how small a leak a dial can show.

With the cylinder valve closed only the trapped volume between valve and machine loses gas, and the reading falls fast
at a small leak; with it open the whole cylinder does, and the dial is blind to small leaks. Both readings belong at
one temperature and on one dial, which is out to the same side by the same share of its possible error at both; 1 K
between them moves a full cylinder's reading by some 0.65 bar. Anything else is not covered by any function here, the
worst corners included.
Longer than other files by its docstrings: each function with its engineering record.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from yokebook.gases import Gas
from yokebook.physics import realgas
from yokebook.physics.bounds import Range
from yokebook.physics.contents import Condition, gas_volume, total
from yokebook.physics.gauges import PossibleError
from yokebook.physics.limits import require
from yokebook.physics.liquefied import boiling_temperature, require_gas_alone, vapour_reading
from yokebook.physics.realgas import Model
from yokebook.quantities import (
    AbsolutePa,
    CubicMetres,
    DifferencePa,
    GasCubicMetresPerSecond,
    GaugePa,
    Kelvin,
    KelvinDifference,
    Moles,
    Seconds,
    absolute,
)

WARMER_AT_MOST = KelvinDifference(5.0)
"""How much warmer than stated trapped gas may be before its reading is refused (our choice)."""
_LEVELS_EACH_WAY = 16
"""At how many true pressures below and above the start reading a leak is tried."""


def ideal_leak(
    volume: CubicMetres,
    fall: DifferencePa,
    duration: Seconds,
    ambient: AbsolutePa,
) -> GasCubicMetresPerSecond:
    """Return the leak [m3/s at ambient pressure and the gas's own temperature] of an ideal gas from a fall of pressure.

    Equation: Q = V dp / (p_ambient t); V volume that loses gas [m3], dp fall of pressure [Pa], not negative, t
    duration [s], p_ambient [Pa, absolute]. A real gas leaks more: 9 % for oxygen near 130 bar; use `leak` for what
    staff act on.
    Reference: ideal gas at constant temperature.

    >>> fifty_psi = DifferencePa(50 * 6894.757)
    >>> round(ideal_leak(CubicMetres(20e-6), fifty_psi, Seconds(300.0), AbsolutePa(101325.0)) * 6e7, 2)
    13.61
    """
    _require(volume, fall, duration)
    require("ambient pressure", ambient, "Pa", low=0.0, ends=False)
    return GasCubicMetresPerSecond(volume * fall / (ambient * duration))


def ideal_fall(
    volume: CubicMetres,
    flow: GasCubicMetresPerSecond,
    duration: Seconds,
    ambient: AbsolutePa,
) -> DifferencePa:
    """Return the fall of pressure [Pa] that a leak makes in a time, ideal gas: the inverse of `ideal_leak`.

    Equation: dp = Q p_ambient t / V; Q leak [m3/s at ambient pressure and the gas's own temperature], the others as
    there.
    Reference: ideal gas at constant temperature.

    >>> hundred_ml_per_min = GasCubicMetresPerSecond(100e-6 / 60)
    >>> round(ideal_fall(CubicMetres(20e-6), hundred_ml_per_min, Seconds(60.0), AbsolutePa(101325.0)) / 6894.757, 2)
    73.48
    """
    require("volume", volume, "m3", low=0.0, ends=False)
    require("leak", flow, "m3/s", low=0.0)
    require("duration", duration, "s", low=0.0, ends=False)
    require("ambient pressure", ambient, "Pa", low=0.0, ends=False)
    return DifferencePa(flow * ambient * duration / volume)


def leak(
    gas: Gas,
    volume: CubicMetres,
    start: GaugePa,
    end: GaugePa,
    duration: Seconds,
    temperature: Kelvin,
    ambient: AbsolutePa,
    condition: Condition,
    *,
    valve_open: bool,
    model: Model | None = None,
) -> GasCubicMetresPerSecond:
    """Return the leak [m3/s at a stated condition] from the true readings [Pa, gauge] before and after a duration [s].

    Equation: Q = V (density at start - density at end) / (t x density at the condition), real gas at one
    `temperature` [K]. `volume` [m3] is the trapped volume with the cylinder valve closed, or the water capacity with
    it open (`valve_open`). A liquefied gas with the valve open and liquid left evaporates to hold its reading, which
    then says nothing: `OutOfRange`. With the valve closed a liquefied
    gas is taken as gas alone; where its reading is not below the vapour pressure it must be warmer than stated, and is
    taken at the temperature at which the reading is the vapour pressure, up to 5 K warmer, else `OutOfRange`. A reading
    that rises raises `OutOfRange`: something warms up, or a check valve leaks.
    Reference: conservation of the amount of gas.

    >>> from yokebook.gases import OXYGEN
    >>> psi, sea_level, room = 6894.757, AbsolutePa(101325.0), Kelvin(293.15)
    >>> readings = GaugePa(1900 * psi), GaugePa(1850 * psi)
    >>> flow = leak(OXYGEN, CubicMetres(20e-6), *readings, Seconds(300.0), room, sea_level, Condition(room, sea_level),
    ...             valve_open=False)
    >>> round(flow * 6e7, 1)
    14.8
    """
    _require(volume, DifferencePa(start - end), duration)
    if valve_open and gas.liquefied:
        require_gas_alone(gas, start, temperature, ambient)
    place = _gas_temperature(gas, start, temperature, ambient)
    high = temperature + WARMER_AT_MOST
    require("temperature of the trapped gas", place, "K", high=high, reason="The reading belongs to a warmer place.")
    before, after = (total(gas, volume, at, place, ambient, model) for at in (start, end))
    return GasCubicMetresPerSecond(gas_volume(gas, Moles(before - after), condition, model) / duration)


def smallest_visible_leak(
    gas: Gas,
    volume: CubicMetres,
    reading: GaugePa,
    visible_fall: DifferencePa,
    duration: Seconds,
    temperature: Kelvin,
    ambient: AbsolutePa,
    condition: Condition,
    *,
    valve_open: bool,
    model: Model | None = None,
) -> GasCubicMetresPerSecond:
    """Return the smallest leak [m3/s at a stated condition] that a dial can show in a time.

    Equation: the `leak` whose fall is `visible_fall` [Pa]: one scale interval, or half of one where the dial is read
    so finely. A smaller leak may be there though the reading stands still. Other parameters as for `leak`; the fall
    is above zero and not more than the reading. Reference: as for `leak`.

    >>> from yokebook.gases import OXYGEN
    >>> sea_level, room = AbsolutePa(101325.0), Kelvin(293.15)
    >>> seen = GaugePa(137e5), DifferencePa(5e5), Seconds(300.0)
    >>> flow = smallest_visible_leak(OXYGEN, CubicMetres(4.68e-3), *seen, room, sea_level, Condition(room, sea_level),
    ...                              valve_open=True)
    >>> round(flow * 6e4, 1)
    5.0
    """
    require("visible fall", visible_fall, "Pa", low=0.0, ends=False)
    end = GaugePa(reading - visible_fall)
    return leak(
        gas, volume, reading, end, duration, temperature, ambient, condition, valve_open=valve_open, model=model
    )


def time_to_see(
    gas: Gas,
    volume: CubicMetres,
    reading: GaugePa,
    visible_fall: DifferencePa,
    flow: GasCubicMetresPerSecond,
    temperature: Kelvin,
    ambient: AbsolutePa,
    condition: Condition,
    *,
    valve_open: bool,
    model: Model | None = None,
) -> Seconds:
    """Return how long [s] a leak [m3/s at a stated condition] needs until a dial shows it.

    Equation: the time in which the leak takes what `visible_fall` [Pa] stands for; the parameters as for
    `smallest_visible_leak`, whose inverse it is. The leak is above zero. Reference: as for `leak`.

    >>> from yokebook.gases import OXYGEN
    >>> sea_level, room = AbsolutePa(101325.0), Kelvin(293.15)
    >>> hundred_ml_per_min = GasCubicMetresPerSecond(100e-6 / 60)
    >>> seconds = time_to_see(OXYGEN, CubicMetres(20e-6), GaugePa(137e5), DifferencePa(5e5), hundred_ml_per_min, room,
    ...                       sea_level, Condition(room, sea_level), valve_open=False)
    >>> round(seconds)
    64
    """
    require("leak", flow, "m3/s", low=0.0, ends=False)
    in_a_second = smallest_visible_leak(
        gas,
        volume,
        reading,
        visible_fall,
        Seconds(1.0),
        temperature,
        ambient,
        condition,
        valve_open=valve_open,
        model=model,
    )
    return Seconds(in_a_second / flow)


def highest_leak(
    gas: Gas,
    volume: Range[CubicMetres],
    start: GaugePa,
    end: GaugePa,
    duration: Range[Seconds],
    temperature: Range[Kelvin],
    ambient: AbsolutePa,
    condition: Condition,
    *,
    valve_open: bool,
    error: PossibleError,
    fall_doubt: DifferencePa,
) -> GasCubicMetresPerSecond:
    """Return the highest leak [m3/s at a stated condition] that two readings at one temperature allow.

    Equation: the greatest `leak` over the corners of volume [m3], duration [s] and temperature [K], over all models and
    over the true pressures from start - error(start) to start + error(start), with a fall of start - end +
    `fall_doubt` [Pa]. `error` is that of a reading, half a scale interval of reading in it; `fall_doubt` is by how much
    more than was read the pressure may have fallen: one scale interval, where each reading is good to half of one, and
    what a dial adds whose error grows with its reading. Where the density rises steepest with pressure is not known, so
    the true pressure is tried at 33 places over its span: between two of them a leak exceeds theirs by less than 1 part
    in 10,000. The end does not go below 0 gauge.
    Not covered: a dial that is out by another share of its possible error at one reading than at the other, or to the
    other side, and gas that warms or cools between the two. 1 K warmer at the end moves a full oxygen cylinder's
    reading up by some 0.65 bar and hides as much of the fall.
    Reference: as for `leak`.

    >>> from yokebook.gases import OXYGEN
    >>> from yokebook.physics.gauges import ClassError, Dial
    >>> trapped, minutes = Range(15e-6, 20e-6, 25e-6), Range(290.0, 300.0, 310.0)
    >>> room, sea_level = Range(289.15, 293.15, 299.15), AbsolutePa(101325.0)
    >>> error = ClassError(Dial(GaugePa(0.0), GaugePa(250e5)), 2.5)
    >>> flow = highest_leak(OXYGEN, trapped, GaugePa(130e5), GaugePa(125e5), minutes, room, sea_level,
    ...                     Condition(Kelvin(293.15), sea_level), valve_open=False, error=error,
    ...                     fall_doubt=DifferencePa(10e5))
    >>> round(flow * 6e7)
    86
    """
    corner = worst_leak(
        gas,
        volume,
        start,
        end,
        duration,
        temperature,
        ambient,
        condition,
        valve_open=valve_open,
        error=error,
        fall_doubt=fall_doubt,
    )
    return corner.flow


@dataclass(frozen=True)
class LeakCorner:
    """The worst corner of a timed fall, for a working that a reviewer can follow.

    True pressures before and after [Pa gauge], volume [m3], duration [s], temperature of the gas [K], the leak
    [m3/s at the stated condition], and the model that gives it.
    """

    start: GaugePa
    end: GaugePa
    volume: CubicMetres
    duration: Seconds
    temperature: Kelvin
    flow: GasCubicMetresPerSecond
    model: Model


def worst_leak(
    gas: Gas,
    volume: Range[CubicMetres],
    start: GaugePa,
    end: GaugePa,
    duration: Range[Seconds],
    temperature: Range[Kelvin],
    ambient: AbsolutePa,
    condition: Condition,
    *,
    valve_open: bool,
    error: PossibleError,
    fall_doubt: DifferencePa,
) -> LeakCorner:
    """Return the corner whose leak is `highest_leak`.

    Equation, parameters, range and reference: as `highest_leak`.

    >>> from yokebook.gases import OXYGEN
    >>> from yokebook.physics.gauges import ClassError, Dial
    >>> trapped, minutes = Range(15e-6, 20e-6, 25e-6), Range(290.0, 300.0, 310.0)
    >>> room, sea_level = Range(289.15, 293.15, 299.15), AbsolutePa(101325.0)
    >>> error = ClassError(Dial(GaugePa(0.0), GaugePa(250e5)), 2.5)
    >>> corner = worst_leak(OXYGEN, trapped, GaugePa(130e5), GaugePa(125e5), minutes, room, sea_level,
    ...                     Condition(Kelvin(293.15), sea_level), valve_open=False, error=error,
    ...                     fall_doubt=DifferencePa(10e5))
    >>> corner.start / 1e5, corner.end / 1e5, corner.temperature
    (123.75, 108.75, 289.15)
    """
    require("fall of the reading", start - end, "Pa", low=0.0, reason="The reading rises.")
    require("doubt of the fall", fall_doubt, "Pa", low=0.0)
    doubt = error(start)
    fall = start - end + fall_doubt
    if valve_open and gas.liquefied:
        require_gas_alone(gas, start, temperature.low, ambient, doubt)
    levels = _levels(gas, start, doubt, temperature.high, ambient)
    corners = []
    for level, size, time, kelvin, model in product(
        levels, volume.corners, duration.corners, temperature.corners, realgas.models(gas)
    ):
        place = _gas_temperature(gas, level, kelvin, ambient)
        fallen = GaugePa(max(level - fall, 0.0))
        flow = leak(gas, size, level, fallen, time, place, ambient, condition, valve_open=valve_open, model=model)
        corners.append(LeakCorner(level, fallen, size, time, place, flow, model))
    return max(corners, key=lambda corner: corner.flow)


def _require(volume: CubicMetres, fall: DifferencePa, duration: Seconds) -> None:
    require("volume", volume, "m3", low=0.0, ends=False)
    require("fall of the reading", fall, "Pa", low=0.0, reason="The reading rises.")
    require("duration", duration, "s", low=0.0, ends=False)


def _gas_temperature(gas: Gas, reading: GaugePa, temperature: Kelvin, ambient: AbsolutePa) -> Kelvin:
    """Return the temperature [K], or the lowest above it at which gas without liquid can have that reading."""
    pressure = absolute(reading, ambient)
    if not gas.liquefied or temperature >= realgas.critical_temperature(gas):
        return temperature
    if pressure < realgas.saturation(gas, temperature).pressure:
        return temperature
    return boiling_temperature(gas, pressure)


def _levels(
    gas: Gas,
    start: GaugePa,
    doubt: DifferencePa,
    warmest: Kelvin,
    ambient: AbsolutePa,
) -> tuple[GaugePa, ...]:
    """Return the true pressures [Pa, gauge] that a start reading allows, up to the vapour pressure at the warmest."""
    steps = (doubt * step / _LEVELS_EACH_WAY for step in range(-_LEVELS_EACH_WAY, _LEVELS_EACH_WAY + 1))
    levels = tuple(GaugePa(max(start + step, 0.0)) for step in steps)
    if not gas.liquefied or warmest >= realgas.critical_temperature(gas):
        return levels
    limit = vapour_reading(gas, warmest, ambient)
    reason = "So much lies above the vapour pressure, even at the highest temperature."
    require("reading less the gauge's possible error", levels[0], "Pa", high=limit, reason=reason)
    return tuple(sorted({min(level, limit) for level in levels}))

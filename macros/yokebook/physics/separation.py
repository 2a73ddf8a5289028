"""Below which temperature nitrous oxide/oxygen 50:50 separates into a liquid of the one and a gas of the other.

Peng-Robinson with one interaction coefficient; whether one phase is stable is told by the tangent plane of the Gibbs
energy (Michelsen 1982). For a mixture of two the plane is searched over the whole composition, so that no start value
can miss it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, cached_property

from yokebook.physics.limits import require
from yokebook.physics.realgas import INTERACTION
from yokebook.quantities import AbsolutePa, GaugePa, Kelvin, KelvinDifference, absolute, gauge

GAS_CONSTANT = 8.314462618
"""Molar gas constant, J/(mol K) (SI since 2019, exact to the digits given)."""
MODEL_SPREAD = KelvinDifference(6.0)
"""By how much another model's separation temperature may lie higher: 5.2 K (Lorentz-Berthelot rule), rounded up."""
LOWEST_PRESSURE = AbsolutePa(2e5)
"""Below it the temperature found would lie where nitrous oxide freezes."""
HIGHEST_PRESSURE = AbsolutePa(131e5)
"""Above it the models part: near its critical point one ends at 139 bar, another at 170."""
TOP_PRESSURE = AbsolutePa(102.7e5)
"""Pressure at which the separation temperature is highest."""
WARMEST_TRIED = Kelvin(283.15)
COLDEST_TRIED = Kelvin(163.15)
_ENDS = (0.0005, 0.001, 0.002, 0.005, 0.01)
# Closer towards the pure components: at low pressure the liquid is nearly pure nitrous oxide.
_SHARES = (*_ENDS, *(part / 50.0 for part in range(1, 50)), *(1.0 - end for end in reversed(_ENDS)))
_ROOT_2 = math.sqrt(2.0)


@dataclass(frozen=True)
class _Component:
    """Critical temperature [K], critical pressure [Pa] and acentric factor."""

    temperature: float
    pressure: float
    acentric: float

    def attraction(self, temperature: float) -> float:
        """Peng-Robinson a(T) [Pa m6/mol2]."""
        slope = 0.37464 + 1.54226 * self.acentric - 0.26992 * self.acentric**2
        alpha = (1.0 + slope * (1.0 - math.sqrt(temperature / self.temperature))) ** 2
        return 0.45723552892138 * (GAS_CONSTANT * self.temperature) ** 2 / self.pressure * alpha

    @property
    def covolume(self) -> float:
        """Peng-Robinson b [m3/mol]."""
        return 0.07779607390389 * GAS_CONSTANT * self.temperature / self.pressure


_NITROUS_OXIDE = _Component(309.52, 7.245e6, 0.1613)  # Lemmon and Span 2006; critical pressure also NIST
_OXYGEN = _Component(154.581, 5.043e6, 0.0222)  # Schmidt and Wagner 1985


@dataclass(frozen=True)
class _Mixture:
    """The pair at a temperature [K] and an absolute pressure [Pa], at any share of nitrous oxide."""

    temperature: float
    pressure: float

    @cached_property
    def attractions(self) -> tuple[float, float, float]:
        """Peng-Robinson a of both components, and across [Pa m6/mol2]."""
        first, second = (part.attraction(self.temperature) for part in (_NITROUS_OXIDE, _OXYGEN))
        return first, second, math.sqrt(first * second) * (1.0 - INTERACTION)

    def fugacities(self, share: float) -> tuple[float, float]:
        """Return ln of both fugacity coefficients, in the phase of the lower Gibbs energy."""
        first, second, cross = self.attractions
        sums = (share * first + (1.0 - share) * cross, share * cross + (1.0 - share) * second)
        attraction, covolume = share * sums[0] + (1.0 - share) * sums[1], _covolume(share)
        scale = GAS_CONSTANT * self.temperature
        big_a, big_b = attraction * self.pressure / scale**2, covolume * self.pressure / scale
        parts = (_NITROUS_OXIDE.covolume / covolume, _OXYGEN.covolume / covolume)
        found = []
        for z in _compressions(big_a, big_b):
            reach = math.log((z + (1.0 + _ROOT_2) * big_b) / (z + (1.0 - _ROOT_2) * big_b))
            pull = big_a / (2.0 * _ROOT_2 * big_b) * reach
            one, two = (
                part * (z - 1.0) - math.log(z - big_b) - pull * (2.0 * own / attraction - part)
                for part, own in zip(parts, sums, strict=True)
            )
            found.append((share * one + (1.0 - share) * two, one, two))
        return min(found)[1:]

    def separates(self) -> bool:
        """Return whether 50:50 does not stay one phase: some composition lies below the tangent plane at one half."""
        own = self.fugacities(0.5)

        def distance(share: float) -> float:
            one, two = self.fugacities(share)
            return share * (math.log(share / 0.5) + one - own[0]) + (1.0 - share) * (
                math.log((1.0 - share) / 0.5) + two - own[1]
            )

        over = [distance(share) for share in _SHARES]
        valleys = (at for at in range(1, len(over) - 1) if over[at] <= min(over[at - 1], over[at + 1]))
        return any(_lowest(distance, _SHARES[at - 1], _SHARES[at + 1]) < -1e-10 for at in valleys)


def _covolume(share: float) -> float:
    return share * _NITROUS_OXIDE.covolume + (1.0 - share) * _OXYGEN.covolume


def _compressions(big_a: float, big_b: float) -> tuple[float, ...]:
    """Return the compression factors that Peng-Robinson allows: its cubic's roots above the covolume's share B."""
    roots = _roots(big_b - 1.0, big_a - 3.0 * big_b**2 - 2.0 * big_b, big_b**3 + big_b**2 - big_a * big_b)
    return tuple(z for z in roots if z > big_b)


def _roots(square: float, linear: float, constant: float) -> tuple[float, ...]:
    """Return the real roots of z3 + square z2 + linear z + constant (Cardano; three by the cosine)."""
    third = square / 3.0
    p, q = linear - square * third, 2.0 * third**3 - third * linear + constant
    inner = q * q / 4.0 + p**3 / 27.0
    if inner > 0.0:
        root = math.sqrt(inner)
        return (math.cbrt(root - q / 2.0) + math.cbrt(-root - q / 2.0) - third,)
    radius = 2.0 * math.sqrt(-p / 3.0)
    turn = math.acos(max(-1.0, min(1.0, 3.0 * q / (p * radius)))) / 3.0
    return tuple(radius * math.cos(turn - 2.0 * math.pi * step / 3.0) - third for step in range(3))


def _lowest(curve: Callable[[float], float], low: float, high: float) -> float:
    """Return the lowest value of a curve with one valley between two points (golden section)."""
    golden = (math.sqrt(5.0) - 1.0) / 2.0
    for _ in range(24):
        left, right = high - golden * (high - low), low + golden * (high - low)
        low, high = (low, right) if curve(left) < curve(right) else (left, high)
    return curve((low + high) / 2.0)


@cache
def separation_temperature(pressure: AbsolutePa) -> Kelvin:
    """Return the temperature [K] below which 50:50 at an absolute `pressure` [Pa] separates, by the named model.

    Equation: the highest T at which some composition w has sum w_i (ln w_i + ln f_i(w) - ln 1/2 - ln f_i(1/2)) < 0,
    with the fugacity coefficients f of Peng-Robinson, interaction coefficient 0.0478. Range: 2 to 131 bar, else
    `OutOfRange`. This is the nominal value: a limit is `refuse_below`.
    Reference: Michelsen, Fluid Phase Equilibria 9 (1982) 1-19; Peng and Robinson 1976.

    >>> round(separation_temperature(AbsolutePa(117e5 + 101325.0)) - 273.15, 1)
    -5.4
    """
    reason = "Above it the models part, below it nitrous oxide freezes first."
    require("absolute pressure", pressure, "Pa", low=LOWEST_PRESSURE, high=HIGHEST_PRESSURE, reason=reason)
    high, low = WARMEST_TRIED, Kelvin(WARMEST_TRIED - 15.0)
    while not _Mixture(low, pressure).separates():
        high, low = low, Kelvin(low - 15.0)
    while high - low > 1e-4:
        middle = Kelvin((low + high) / 2.0)
        low, high = (middle, high) if _Mixture(middle, pressure).separates() else (low, middle)
    return high


def refuse_below(pressure: AbsolutePa) -> Kelvin:
    """Return the safe limit [K] below which no number is given for 50:50 at an absolute `pressure` [Pa].

    Equation: highest separation temperature at any pressure up to this one (a cylinder passes them all as it
    empties), plus 6 K for the doubt between the models. Near 100 bar and above: 2 °C. Above 0 to 400 bar, else
    `OutOfRange`. Published figures lie on the safe side of it: -5.5 °C at 117 bar (from memory), delivered cylinders
    kept at 5 °C or more for 24 h before use (BMJ 1968;3:715, abstract).
    Reference: `separation_temperature`; the spread was worked out with the Lorentz-Berthelot rule over 10 to 170 bar.

    >>> round(refuse_below(AbsolutePa(138e5)) - 273.15, 1)
    2.1
    """
    require("absolute pressure", pressure, "Pa", low=0.0, high=400e5, ends=False)
    asked = AbsolutePa(min(max(pressure, LOWEST_PRESSURE), TOP_PRESSURE))
    return Kelvin(separation_temperature(asked) + MODEL_SPREAD)


@dataclass(frozen=True)
class Separation:
    """Where a closed cylinder's contents separate on cooling: temperature [K] and gauge reading [Pa]."""

    temperature: Kelvin
    reading: GaugePa


def closed_separation(reading: GaugePa, temperature: Kelvin, ambient: AbsolutePa) -> Separation:
    """Return where a closed 50:50 cylinder separates on cooling, by the named model, from its reading at a temperature.

    Equation: T with T = T_sep(p(v, T)); p(v, T) = R T / (v - b) - a(T) / (v2 + 2 b v - b2) at the molar volume v
    [m3/mol] of the start. `reading` [Pa, gauge] at `temperature` [K], 10 to 70 °C; `ambient` [Pa, absolute]. Nothing
    drawn, no valve opened. `OutOfRange` where the pressure on the way leaves the range of `separation_temperature`.
    Reference: as for `separation_temperature`.

    >>> found = closed_separation(GaugePa(137e5), Kelvin(288.15), AbsolutePa(101325.0))
    >>> round(found.temperature - 273.15), round(found.reading / 1e5)
    (-4, 111)
    """
    require("temperature", temperature, "K", low=WARMEST_TRIED, high=343.15)
    start = absolute(reading, ambient)
    require("absolute pressure", start, "Pa", low=LOWEST_PRESSURE, high=400e5)
    volume = _molar_volume(start, temperature)
    low, high = COLDEST_TRIED, WARMEST_TRIED
    while high - low > 1e-3:
        middle = Kelvin((low + high) / 2.0)
        pressure = AbsolutePa(max(_pressure(volume, middle), LOWEST_PRESSURE))
        below = pressure <= HIGHEST_PRESSURE and middle < separation_temperature(pressure)
        low, high = (middle, high) if below else (low, middle)
    found = _pressure(volume, high)
    reason = "The models part where this cylinder would separate, or it never does."
    require("absolute pressure on separating", found, "Pa", low=LOWEST_PRESSURE, high=HIGHEST_PRESSURE, reason=reason)
    return Separation(high, gauge(found, ambient))


def _molar_volume(pressure: AbsolutePa, temperature: Kelvin) -> float:
    """Return the molar volume [m3/mol] of the 50:50 gas."""
    scale = GAS_CONSTANT * temperature / pressure
    big_a = _attraction(temperature) / (pressure * scale**2)
    big_b = _covolume(0.5) / scale
    return scale * max(_compressions(big_a, big_b))


def _pressure(volume: float, temperature: Kelvin) -> AbsolutePa:
    """Return the absolute pressure [Pa] of the 50:50 gas as one phase at a molar volume [m3/mol]."""
    b = _covolume(0.5)
    push = GAS_CONSTANT * temperature / (volume - b)
    return AbsolutePa(push - _attraction(temperature) / (volume**2 + 2.0 * b * volume - b**2))


def _attraction(temperature: Kelvin) -> float:
    first, second, cross = _Mixture(temperature, 0.0).attractions
    return (first + second + 2.0 * cross) / 4.0

"""The worst corner of what staff act on with liquefied gas: what is left at least, and how high a reading may climb.

Every corner of the stated ranges is worked out and the worst taken. Gas drawn fast cools its cylinder: a temperature
range is that of the contents, so its low end lies below the place's where much is drawn.
"""

from __future__ import annotations

from itertools import product

from yokebook.gases import Gas
from yokebook.physics import realgas
from yokebook.physics.bounds import Range
from yokebook.physics.contents import left_behind, total
from yokebook.physics.gauges import PossibleError, true_range
from yokebook.physics.limits import require
from yokebook.physics.liquefied import (
    NEAREST_TO_CRITICAL,
    amount_of_mass,
    closed_reading,
    require_gas_alone,
    vapour_reading,
)
from yokebook.quantities import AbsolutePa, CubicMetres, DifferencePa, GaugePa, Kelvin, Kilograms, Moles


def least_by_weight(
    gas: Gas,
    gross: Kilograms,
    tare: Kilograms,
    scale_tolerance: Kilograms,
    tare_tolerance: Kilograms,
) -> Moles:
    """Return the least amount [mol], all gas counted, that a cylinder of this weight holds.

    Equation: n = ((gross - scale tolerance) - (tare + tare tolerance)) / molar mass, not below zero. All in kg; a
    gross weight that lies below the tare by more than both tolerances raises `OutOfRange`. Reference: as
    `liquefied.mass_by_weight`.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> weighed = Kilograms(7.40), Kilograms(5.40), Kilograms(0.02), Kilograms(0.01)
    >>> round(least_by_weight(NITROUS_OXIDE, *weighed), 2)
    44.76
    """
    require("tare", tare, "kg", low=0.0, ends=False)
    require("scale tolerance", scale_tolerance, "kg", low=0.0)
    require("tare tolerance", tare_tolerance, "kg", low=0.0)
    doubt = scale_tolerance + tare_tolerance
    require("gross weight less tare", gross - tare, "kg", low=-doubt, reason="The cylinder weighs less than its tare.")
    return amount_of_mass(Kilograms(max(gross - tare - doubt, 0.0)), realgas.molar_mass(gas))


def least_usable_by_weight(
    gas: Gas,
    held: Moles,
    water_capacity: Range[CubicMetres],
    keep_back: GaugePa,
    temperature: Range[Kelvin],
    ambient: AbsolutePa,
) -> Moles:
    """Return the least amount [mol] to use of contents `held` [mol] (`least_by_weight`) down to the keep-back.

    Equation: n = held - water capacity x density at keep-back + ambient and T, at the worst corner of water capacity
    [m3], temperature [K] and model; not below zero. `keep_back` [Pa, gauge], true pressure; `ambient` [Pa, absolute].
    Any gas: weight tells compressed gas too, and of a mixture the models differ only in what stays behind.
    Reference: as `contents.left_behind`.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> room = Range(Kelvin(289.15), Kelvin(293.15), Kelvin(299.15))
    >>> held, capacity = Moles(44.76), Range.exactly(CubicMetres(4.68e-3))
    >>> round(least_usable_by_weight(NITROUS_OXIDE, held, capacity, GaugePa(10e5), room, AbsolutePa(101325.0)), 2)
    42.46
    """
    require("amount", held, "mol", low=0.0)
    stays = max(
        left_behind(gas, size, keep_back, kelvin, ambient, model)
        for size, kelvin, model in product(water_capacity.corners, temperature.corners, realgas.models(gas))
    )
    return Moles(max(held - stays, 0.0))


def least_after_plateau(
    gas: Gas,
    water_capacity: Range[CubicMetres],
    seen_fall: DifferencePa,
    keep_back: GaugePa,
    temperature: Range[Kelvin],
    ambient: AbsolutePa,
) -> Moles:
    """Return the least amount [mol] that can be used from when the reading is seen to fall, down to the keep-back.

    Equation: n = V (density at vapour pressure(T) - seen fall, T) - density at keep-back + ambient, T_end), at the
    worst corner of water capacity V [m3], temperature T [K] when the fall is seen and T_end when the keep-back is
    reached; not below zero. `seen_fall` [Pa] is how far the reading must have fallen before anyone sees it (a scale
    interval), above zero: near the vapour pressure the density falls fast. `keep_back` [Pa, gauge], `ambient` [Pa,
    absolute]. At and above the critical temperature there is no plateau: warmer corners count as 0.01 K below it, and
    a range that lies there raises `OutOfRange`.
    Reference: reference equation of state.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> room = Range(Kelvin(289.15), Kelvin(293.15), Kelvin(299.15))
    >>> capacity, sea_level = Range.exactly(CubicMetres(4.68e-3)), AbsolutePa(101325.0)
    >>> round(least_after_plateau(NITROUS_OXIDE, capacity, DifferencePa(2e5), GaugePa(10e5), room, sea_level), 2)
    11.13
    """
    require("fall that is seen", seen_fall, "Pa", low=0.0, ends=False)
    just_below = Kelvin(realgas.critical_temperature(gas) - NEAREST_TO_CRITICAL)
    vapour_reading(gas, temperature.low, ambient)
    left = []
    for size, kelvin, end in product(water_capacity.corners, temperature.corners, temperature.corners):
        place = min(kelvin, just_below)
        seen = GaugePa(vapour_reading(gas, place, ambient) - seen_fall)
        left.append(_above(gas, size, seen, keep_back, place, end, ambient))
    return min(left)


def least_vapour(
    gas: Gas,
    water_capacity: Range[CubicMetres],
    reading: GaugePa,
    error: PossibleError,
    keep_back: GaugePa,
    temperature: Range[Kelvin],
    ambient: AbsolutePa,
    coldest: Kelvin | None = None,
) -> Moles:
    """Return the least amount [mol] that can be used at a reading with gas alone left, down to the keep-back.

    Equation: n = V (density at reading - error + ambient, T) - density at keep-back + ambient, T_end), at the worst
    corner of water capacity V [m3], temperature T [K] at the reading and T_end at the keep-back; not below zero.
    `reading` [Pa, gauge], `error` the gauge's possible error, `keep_back` [Pa, gauge], `ambient` [Pa, absolute].
    `coldest` [K], where given, is how cold what is drawn may make it by then (`cooling.coldest_contents`): a further
    T_end. Liquid that has cooled so far as to read like gas alone holds more than gas alone does.
    Refused with `OutOfRange` where reading + error comes to the vapour pressure at the low temperature: liquid may be
    left.
    Reference: reference equation of state.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> from yokebook.physics.gauges import ClassError, Dial
    >>> error = ClassError(Dial(GaugePa(0.0), GaugePa(100e5)), 2.5)
    >>> room = Range(Kelvin(289.15), Kelvin(293.15), Kelvin(299.15))
    >>> rest = GaugePa(10e5), room, AbsolutePa(101325.0)
    >>> round(least_vapour(NITROUS_OXIDE, Range.exactly(CubicMetres(4.68e-3)), GaugePa(30e5), error, *rest), 2)
    4.18
    """
    lowest, highest = true_range(reading, error)
    require_gas_alone(gas, reading, temperature.low, ambient, DifferencePa(highest - reading))
    if lowest <= keep_back:
        return Moles(0.0)
    ends = temperature.corners if coldest is None else (coldest, *temperature.corners)
    return min(
        _above(gas, size, lowest, keep_back, kelvin, end, ambient)
        for size, kelvin, end in product(water_capacity.corners, temperature.corners, ends)
    )


def highest_closed_reading(
    gas: Gas,
    mass: Range[Kilograms],
    water_capacity: Range[CubicMetres],
    temperature: Range[Kelvin],
    ambient: AbsolutePa,
) -> GaugePa:
    """Return the highest reading [Pa, gauge] of a closed cylinder of liquefied gas at its place.

    Equation: the highest `liquefied.closed_reading` over the corners of mass [kg], water capacity [m3] and
    temperature [K]: liquid that fills a cylinder reads far above the vapour pressure. Reference: as there.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> filled, capacity = Range.exactly(Kilograms(3.51)), Range.exactly(CubicMetres(4.68e-3))
    >>> room = Range(Kelvin(289.15), Kelvin(293.15), Kelvin(303.15))
    >>> round(highest_closed_reading(NITROUS_OXIDE, filled, capacity, room, AbsolutePa(101325.0)) / 1e5, 1)
    78.7
    """
    return max(
        closed_reading(gas, kilograms, size, kelvin, ambient)
        for kilograms, size, kelvin in product(mass.corners, water_capacity.corners, temperature.corners)
    )


def _above(
    gas: Gas,
    size: CubicMetres,
    reading: GaugePa,
    keep_back: GaugePa,
    kelvin: Kelvin,
    end: Kelvin,
    ambient: AbsolutePa,
) -> Moles:
    held = total(gas, size, reading, kelvin, ambient)
    return Moles(max(held - left_behind(gas, size, keep_back, end, ambient), 0.0))

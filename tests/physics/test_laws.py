"""Laws of reserves, tried on many cylinders: what is promised is never more than what is true."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from yokebook.gases import AIR, FIFTY_FIFTY, HELIUM, NITROGEN, NITROUS_OXIDE, OXYGEN, oxygen_carbon_dioxide
from yokebook.physics import bounds, contents, realgas, reserve
from yokebook.physics.bounds import Cylinder, Range, Reading, Use
from yokebook.physics.contents import Condition
from yokebook.physics.gauges import ClassError, Dial, FoundError, PossibleError, ShareError
from yokebook.quantities import (
    CubicMetres,
    DifferencePa,
    GasCubicMetresPerSecond,
    GaugePa,
    Kelvin,
    Seconds,
)

ROUNDING = 1e-9  # float arithmetic, and the iteration that solves an equation of state for the density
DIAL = Dial(GaugePa(0.0), GaugePa(250e5))
# Fixed examples, so that the suite says the same on each run; 28 000 others have been tried.
law = settings(max_examples=80, deadline=None, derandomize=True, database=None)
shares = st.floats(0.0, 1.0)


def between(low: float, high: float, share: float) -> float:
    return min(high, max(low, low + share * (high - low)))


def ranges(low: float, high: float) -> st.SearchStrategy[Range[Any]]:
    """Ranges whose three values lie anywhere between two limits."""
    return st.tuples(*[st.floats(low, high)] * 3).map(lambda values: Range(*sorted(values)))


gases = st.sampled_from([OXYGEN, AIR, HELIUM, NITROGEN, FIFTY_FIFTY, NITROUS_OXIDE, oxygen_carbon_dioxide(0.05)])
cylinders = st.builds(
    Cylinder,
    gas=gases,
    water_capacity=ranges(0.0005, 0.05),
    temperature=ranges(283.15, 313.15),
    keep_back=st.floats(0.0, 15e5),
    ambient=st.floats(55e3, 105e3),
)
errors: st.SearchStrategy[PossibleError] = st.one_of(
    st.sampled_from([1.0, 1.6, 2.5, 4.0]).map(lambda accuracy_class: ClassError(DIAL, accuracy_class)),
    st.tuples(st.floats(0.0, 0.04), st.floats(0.0, 0.1)).map(lambda two: ShareError(DIAL, *two)),
)
flows = st.floats(1e-6, 2e-4)  # 0.06 to 12 L/min
uses = st.builds(
    Use,
    fresh_gas=flows,
    flowmeter_tolerance=st.floats(0.0, 0.25),
    drive_gas=ranges(0.0, 2e-4),
    leak=ranges(0.0, 2e-6),
    condition=st.builds(Condition, st.floats(273.15, 298.15), st.floats(80e3, 105e3)),
)


def shown(cylinder: Cylinder, share: float) -> GaugePa:
    """A reading that the gas can have: up to 200 bar, or below the vapour pressure of nitrous oxide at 10 °C."""
    return GaugePa(share * (30e5 if cylinder.gas is NITROUS_OXIDE else 200e5))


def greater(flow: Range[GasCubicMetresPerSecond], times: float) -> Range[GasCubicMetresPerSecond]:
    """The same range with a higher high end."""
    return replace(flow, high=GasCubicMetresPerSecond(flow.high * times))


@law
@given(cylinders, errors, uses, shares, st.floats(1.0, 5.0))
def test_more_flow_never_lasts_longer(
    cylinder: Cylinder, error: PossibleError, use: Use, share: float, times: float
) -> None:
    """A greater fresh gas flow, drive gas or leak never lasts longer."""
    reading = Reading(shown(cylinder, share), error)
    least = bounds.least_duration(cylinder, reading, use)
    more_fresh_gas = replace(use, fresh_gas=GasCubicMetresPerSecond(use.fresh_gas * times))
    more_drive_gas = replace(use, drive_gas=greater(use.drive_gas, times))
    more_leak = replace(use, leak=greater(use.leak, times))
    for more in (more_fresh_gas, more_drive_gas, more_leak):
        assert bounds.least_duration(cylinder, reading, more) <= least * (1.0 + ROUNDING)


@law
@given(cylinders, errors, uses, shares, shares)
def test_a_higher_reading_never_lasts_shorter(
    cylinder: Cylinder, error: PossibleError, use: Use, one: float, other: float
) -> None:
    """Of two readings on one gauge the higher never lasts shorter."""
    low, high = sorted((shown(cylinder, one), shown(cylinder, other)))
    shorter = bounds.least_duration(cylinder, Reading(low, error), use)
    assert shorter <= bounds.least_duration(cylinder, Reading(high, error), use) * (1.0 + ROUNDING)


@law
@given(cylinders, errors, uses, shares, st.floats(0.0, 10e5), shares)
def test_knowing_less_never_lasts_longer(
    cylinder: Cylinder, error: PossibleError, use: Use, share: float, more: float, wider: float
) -> None:
    """A worse gauge, a wider range of temperature or water capacity and a higher keep-back never last longer."""
    least = bounds.least_duration(cylinder, Reading(shown(cylinder, share), error), use)
    place, size = cylinder.temperature, cylinder.water_capacity
    wide = Range(Kelvin(place.low - wider * 10.0), place.nominal, Kelvin(place.high + wider * 10.0))
    if cylinder.gas is NITROUS_OXIDE:
        wide = Range(place.low, place.nominal, wide.high)
    smaller = replace(size, low=CubicMetres(size.low * (1.0 - wider / 2.0)))
    worse: list[tuple[Cylinder, PossibleError]] = [
        (cylinder, FoundError(error, DifferencePa(more))),
        (replace(cylinder, temperature=wide), error),
        (replace(cylinder, water_capacity=smaller), error),
        (replace(cylinder, keep_back=GaugePa(cylinder.keep_back + more)), error),
    ]
    for other, its_error in worse:
        assert bounds.least_duration(other, Reading(shown(cylinder, share), its_error), use) <= least * (1.0 + ROUNDING)


@law
@given(cylinders, errors, uses, shares, st.tuples(*[shares] * 8), st.data())
def test_least_is_never_above_the_exact_value(
    cylinder: Cylinder, error: PossibleError, use: Use, share: float, at: tuple[float, ...], data: st.DataObject
) -> None:
    """Wherever the truth lies inside the tolerances, it gives what was promised and needs no more cylinders."""
    reading = Reading(shown(cylinder, share), error)
    model = data.draw(st.sampled_from(realgas.models(cylinder.gas)))
    true = GaugePa(between(max(0.0, reading.lowest), reading.highest, at[0]))
    start = Kelvin(between(cylinder.temperature.low, cylinder.temperature.high, at[1]))
    end = Kelvin(between(cylinder.temperature.low, cylinder.temperature.high, at[2]))
    size = CubicMetres(between(cylinder.water_capacity.low, cylinder.water_capacity.high, at[3]))
    tolerance = use.flowmeter_tolerance
    draw = reserve.Draw(
        GasCubicMetresPerSecond(use.fresh_gas * between(1.0 - tolerance, 1.0 + tolerance, at[4])),
        GasCubicMetresPerSecond(between(use.drive_gas.low, use.drive_gas.high, at[5])),
        GasCubicMetresPerSecond(between(use.leak.low, use.leak.high, at[6])),
    )
    if cylinder.gas is NITROUS_OXIDE:
        true = GaugePa(min(true, shown(cylinder, 1.0)))
    usable = contents.usable(cylinder.gas, size, true, cylinder.keep_back, start, cylinder.ambient, model, end)
    exact = reserve.duration(usable, reserve.amount_rate(cylinder.gas, draw, use.condition, model))
    least = bounds.least_duration(cylinder, reading, use)
    assert bounds.least_usable(cylinder, reading) <= usable * (1.0 + ROUNDING)
    assert least <= exact * (1.0 + ROUNDING)
    if least > 0.0:
        time = Seconds(60.0 + 36_000.0 * at[7])
        needed = reserve.cylinders_needed(usable, reserve.amount_rate(cylinder.gas, draw, use.condition, model), time)
        assert needed <= bounds.most_cylinders_needed(cylinder, reading, use, time)


@law
@given(cylinders, errors, uses, shares, st.tuples(*[shares] * 4), st.data())
def test_threshold_is_never_below_what_is_needed(
    cylinder: Cylinder, error: PossibleError, use: Use, share: float, at: tuple[float, ...], data: st.DataObject
) -> None:
    """At the threshold the time is surely reached, wherever the truth lies inside the tolerances."""
    cylinder = replace(cylinder, keep_back=GaugePa(min(cylinder.keep_back, 5e5)))
    if cylinder.gas is NITROUS_OXIDE:
        no_drive_gas = Range.exactly(GasCubicMetresPerSecond(0.0))
        use = replace(use, fresh_gas=GasCubicMetresPerSecond(1e-6), drive_gas=no_drive_gas)
    # A time that an exact cylinder of the least size surely has gas for at 100 bar (nitrous oxide: 12 bar).
    most = GaugePa(12e5 if cylinder.gas is NITROUS_OXIDE else 100e5)
    time = Seconds(share * bounds.least_duration(cylinder, Reading(most, _exact), use))
    threshold = bounds.highest_threshold(cylinder, error, DIAL, use, time)
    assert bounds.least_duration(cylinder, Reading(threshold, error), use) >= time * (1.0 - ROUNDING) - 1e-6
    model = data.draw(st.sampled_from(realgas.models(cylinder.gas)))
    true = GaugePa(between(threshold - error(threshold), threshold + error(threshold), at[0]))
    if cylinder.gas is NITROUS_OXIDE:
        true = GaugePa(threshold - error(threshold))
    start, end = (Kelvin(between(cylinder.temperature.low, cylinder.temperature.high, share)) for share in at[1:3])
    size = CubicMetres(between(cylinder.water_capacity.low, cylinder.water_capacity.high, at[3]))
    usable = contents.usable(cylinder.gas, size, true, cylinder.keep_back, start, cylinder.ambient, model, end)
    exact = reserve.duration(usable, reserve.amount_rate(cylinder.gas, use.highest, use.condition, model))
    assert exact >= time * (1.0 - ROUNDING) - 1e-6


def _exact(shown: GaugePa) -> DifferencePa:
    return DifferencePa(0.0 * shown)


@law
@given(cylinders, errors, uses, st.lists(shares, min_size=1, max_size=4))
def test_cylinders_in_turn_never_end_before_one_another(
    cylinder: Cylinder, error: PossibleError, use: Use, read: list[float]
) -> None:
    """The moments at which cylinders run out never go back, and the last is never above the sum of single durations."""
    readings = [Reading(shown(cylinder, share), error) for share in read]
    moments = bounds.least_run_out_times([(cylinder, reading) for reading in readings], use)
    assert list(moments) == sorted(moments)
    assert moments[0] == bounds.least_duration(cylinder, readings[0], use)
    singles = sum(bounds.least_duration(cylinder, reading, use) for reading in readings)
    assert moments[-1] >= singles * (1.0 - ROUNDING)


@law
@given(cylinders, shares, st.data())
def test_reading_and_contents_go_there_and_back(cylinder: Cylinder, share: float, data: st.DataObject) -> None:
    """Reading to contents to reading, and to another temperature and back, is the same reading."""
    gas, size, place = cylinder.gas, cylinder.water_capacity.nominal, cylinder.temperature
    model = data.draw(st.sampled_from(realgas.models(gas)))
    reading = shown(cylinder, 0.05 + 0.95 * share)
    total = contents.total(gas, size, reading, place.nominal, cylinder.ambient, model)
    back = contents.reading_of(gas, size, total, place.nominal, cylinder.ambient, model)
    assert abs(back - reading) <= ROUNDING * reading
    warm = contents.reading_at(gas, reading, place.nominal, place.high, cylinder.ambient, model)
    again = contents.reading_at(gas, warm, place.high, place.nominal, cylinder.ambient, model)
    assert warm >= reading * (1.0 - ROUNDING)
    assert abs(again - reading) <= ROUNDING * reading
    assert bounds.highest_warm_reading(gas, Reading(reading, _exact), place, place.high, cylinder.ambient) >= warm

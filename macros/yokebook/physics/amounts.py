"""What an amount of gas surely is to those who use it: litres at a flowmeter, and time, in the worst of its models."""

from __future__ import annotations

from yokebook.gases import Gas
from yokebook.physics import realgas, reserve
from yokebook.physics.bounds import Use
from yokebook.physics.contents import Condition, gas_volume
from yokebook.quantities import GasCubicMetres, Moles, Seconds


def least_volume(gas: Gas, amount: Moles, condition: Condition) -> GasCubicMetres:
    """Return the least volume [m3] that an amount [mol] takes up at a stated condition.

    Equation: min over models of n / density(p, T). Range and reference: `contents.gas_volume`.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> from yokebook.quantities import AbsolutePa, Kelvin
    >>> twenty = Condition(Kelvin(293.15), AbsolutePa(101325.0))
    >>> round(least_volume(NITROUS_OXIDE, Moles(1.0 / 0.0440128), twenty) * 1000, 1)
    543.4
    """
    return min(gas_volume(gas, amount, condition, model) for model in realgas.models(gas))


def least_time(gas: Gas, amount: Moles, use: Use) -> Seconds:
    """Return how long [s] an amount [mol] surely lasts a use.

    Equation: min over models of n / n', n' the greatest rate of the use. Range and reference: `reserve.duration`.

    >>> from yokebook.gases import NITROUS_OXIDE
    >>> from yokebook.physics.bounds import Range
    >>> from yokebook.quantities import AbsolutePa, GasCubicMetresPerSecond, Kelvin
    >>> none = Range.exactly(GasCubicMetresPerSecond(0.0))
    >>> twenty = Condition(Kelvin(293.15), AbsolutePa(101325.0))
    >>> use = Use(GasCubicMetresPerSecond(2e-3 / 60), 0.1, none, none, twenty)
    >>> round(least_time(NITROUS_OXIDE, Moles(1.0 / 0.0440128), use) / 60)
    247
    """
    return min(
        reserve.duration(amount, reserve.amount_rate(gas, use.highest, use.condition, model))
        for model in realgas.models(gas)
    )

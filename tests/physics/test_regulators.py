"""Regulators: both kinds, the measured characteristic, and where nothing is regulated any more."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from yokebook.errors import OutOfRange
from yokebook.physics import regulators
from yokebook.physics.regulators import Characteristic, Kind
from yokebook.quantities import DifferencePa, GaugePa

PSI = 6894.757293168  # NIST SP 811, appendix B
FULL, LOW = GaugePa(137e5), GaugePa(10e5)


@pytest.mark.parametrize(
    ("outlet", "direction"), [(regulators.outlet_inlet_opens, -1.0), (regulators.outlet_inlet_closes, 1.0)]
)
@pytest.mark.parametrize("on_seat", [True, False])
def test_which_way_the_outlet_moves(outlet: Callable[..., GaugePa], direction: float, on_seat: bool) -> None:
    """As the cylinder empties the outlet falls where the inlet opens the seat, and rises where it closes it."""
    full, low = (outlet(120.0, inlet, 2e-6, 400e-6, outlet_on_seat=on_seat) for inlet in (FULL, LOW))
    assert direction * (low - full) > 0.0


def test_balance_of_forces_by_hand() -> None:
    """Spring 100 N, seat 2 mm2, diaphragm 398 mm2: (100 + 27.4) N over 400 mm2 is 3.185 bar."""
    assert 3.185e5 == pytest.approx(regulators.outlet_inlet_opens(100.0, FULL, 2e-6, 398e-6))
    assert 1.815e5 == pytest.approx(regulators.outlet_inlet_closes(100.0, FULL, 2e-6, 402e-6))


@pytest.mark.parametrize("kind", [Kind.INLET_OPENS, Kind.INLET_CLOSES])
def test_area_ratio_is_the_inverse_of_the_supply_effect(kind: Kind) -> None:
    """A regulator of the ratio that was asked for moves its outlet by just the change that was allowed."""
    ratio = regulators.area_ratio_for(kind, DifferencePa(5 * PSI), DifferencePa(127e5))
    assert 5 * PSI == pytest.approx(abs(regulators.supply_effect(kind, ratio)) * 127e5)


def test_a_balanced_regulator() -> None:
    """A balanced regulator does not follow its inlet, and needs no area ratio."""
    assert 0.0 == regulators.supply_effect(Kind.BALANCED, 100.0)
    with pytest.raises(OutOfRange) as raised:
        regulators.area_ratio_for(Kind.BALANCED, DifferencePa(1e4), DifferencePa(127e5))
    assert "A balanced regulator holds its outlet at any ratio." == raised.value.reason


@pytest.mark.parametrize(
    ("outlets", "kind"),
    [((3.1e5, 2.8e5), Kind.INLET_OPENS), ((3.0e5, 3.3e5), Kind.INLET_CLOSES), ((3.0e5, 3.0e5), Kind.BALANCED)],
)
def test_two_measured_outlets_tell_the_kind(outlets: tuple[float, float], kind: Kind) -> None:
    """The sign of the change tells what the inlet does to the seat; both measured points are given back."""
    measured = Characteristic(FULL, GaugePa(outlets[0]), LOW, GaugePa(outlets[1]))
    assert kind is measured.kind
    assert outlets == pytest.approx((measured.outlet(FULL), measured.outlet(LOW)))


@pytest.mark.parametrize("inlet", [9.9e5, 137.1e5, math.nan])
def test_nothing_is_said_beyond_what_was_measured(inlet: float) -> None:
    """Below the low and above the high measured inlet the outlet is not known."""
    with pytest.raises(OutOfRange, match="The outlet was not measured there"):
        Characteristic(FULL, GaugePa(3.1e5), LOW, GaugePa(2.8e5)).outlet(GaugePa(inlet))


@pytest.mark.parametrize(
    ("call", "reason"),
    [
        (lambda: regulators.outlet_inlet_closes(20.0, FULL, 2e-6, 400e-6), "The regulator stays shut."),
        (
            lambda: regulators.outlet_inlet_opens(100.0, GaugePa(1e5), 2e-6, 398e-6),
            "The inlet no longer reaches the outlet pressure: nothing is regulated.",
        ),
        (lambda: regulators.outlet_inlet_opens(1.0, FULL, 4e-6, 4e-6), "A diaphragm is larger than its seat."),
        (
            lambda: regulators.area_ratio_for(Kind.INLET_OPENS, DifferencePa(1e5), DifferencePa(1.5e5)),
            "The outlet may not move as much as the inlet.",
        ),
        (
            lambda: Characteristic(LOW, GaugePa(3e5), FULL, GaugePa(3e5)),
            "The second measurement belongs at a higher inlet pressure.",
        ),
    ],
)
def test_what_no_regulator_does(call: Callable[[], object], reason: str) -> None:
    """Forces, areas and measurements that cannot be are refused with their reason."""
    with pytest.raises(OutOfRange) as raised:
        call()
    assert reason == raised.value.reason

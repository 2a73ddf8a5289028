"""The pressure that a regulator gives as its cylinder empties. All pressures are gauge pressures.

"Direct-acting" means opposite things in different books; here a regulator's kind says what its inlet pressure does to
the valve seat. Area ratios of books are teaching examples: a machine's own numbers come from two measured outlets.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from yokebook.errors import OutOfRange
from yokebook.physics.limits import require
from yokebook.quantities import DifferencePa, GaugePa


class Kind(Enum):
    """What the inlet pressure does to the valve seat."""

    INLET_OPENS = "inlet pressure opens the seat"
    INLET_CLOSES = "inlet pressure closes the seat"
    BALANCED = "inlet pressure does not move the seat"


def outlet_inlet_opens(
    force: float,
    inlet: GaugePa,
    seat_area: float,
    diaphragm_area: float,
    *,
    outlet_on_seat: bool = True,
) -> GaugePa:
    """Return the outlet [Pa] of a regulator whose inlet pressure opens the seat: it falls as the cylinder empties.

    Equation: p = (F + P a) / (A + a); F net spring force that opens [N], P inlet [Pa], a seat area [m2], A diaphragm
    area [m2]. With `outlet_on_seat` False the outlet's own push on the seat is left out, p = (F + P a) / A, as books
    do.
    Range: 0 < a < A, outlet from 0 to the inlet; else `OutOfRange`.
    Reference: balance of forces; the books' form: common practice, no source.

    >>> outlet_inlet_opens(100.0, GaugePa(137e5), 2e-6, 398e-6)
    318500.0
    """
    _require_areas(seat_area, diaphragm_area)
    resisting = diaphragm_area + seat_area if outlet_on_seat else diaphragm_area
    return _held((force + inlet * seat_area) / resisting, inlet)


def outlet_inlet_closes(
    force: float,
    inlet: GaugePa,
    seat_area: float,
    diaphragm_area: float,
    *,
    outlet_on_seat: bool = True,
) -> GaugePa:
    """Return the outlet [Pa] of a regulator whose inlet pressure closes the seat: it rises as the cylinder empties.

    Equation: p = (F - P a) / (A - a); F net spring force that opens [N], P inlet [Pa], a seat area [m2], A diaphragm
    area [m2]. With `outlet_on_seat` False the outlet's own push on the seat is left out, p = (F - P a) / A.
    Range: 0 < a < A, outlet from 0 to the inlet; else `OutOfRange`.
    Reference: balance of forces, from memory.

    >>> outlet_inlet_closes(150.0, GaugePa(137e5), 2e-6, 402e-6)
    306500.0
    """
    _require_areas(seat_area, diaphragm_area)
    resisting = diaphragm_area - seat_area if outlet_on_seat else diaphragm_area
    return _held((force - inlet * seat_area) / resisting, inlet)


def supply_effect(kind: Kind, area_ratio: float, *, outlet_on_seat: bool = True) -> float:
    """Return by how much the outlet moves for each pascal of inlet: dp/dP [Pa/Pa], negative where it rises on emptying.

    Equation, with the area ratio k = A/a > 1: 1 / (k + 1) where the inlet opens, -1 / (k - 1) where it closes, 0 where
    balanced. With `outlet_on_seat` False: 1 / k and -1 / k. Reference: derivative of the two balances of forces.

    >>> supply_effect(Kind.INLET_OPENS, 199.0), supply_effect(Kind.INLET_CLOSES, 201.0)
    (0.005, -0.005)
    """
    require("area ratio", area_ratio, "1", low=1.0, ends=False)
    on_seat = 1.0 if outlet_on_seat else 0.0
    if kind is Kind.INLET_OPENS:
        return 1.0 / (area_ratio + on_seat)
    return -1.0 / (area_ratio - on_seat) if kind is Kind.INLET_CLOSES else 0.0


def outlet_from_setting(
    set_outlet: GaugePa,
    set_inlet: GaugePa,
    inlet: GaugePa,
    effect: float,
) -> GaugePa:
    """Return the outlet [Pa] at an `inlet` [Pa] of a regulator that was set to `set_outlet` at `set_inlet` [Pa].

    Equation: p = p_set + effect x (P - P_set), with the supply effect dp/dP [Pa/Pa] of `supply_effect`.
    Range: outlet from 0 to the inlet; else `OutOfRange`.
    Reference: both balances of forces are straight lines in the inlet pressure.

    >>> outlet_from_setting(GaugePa(3.1e5), GaugePa(137e5), GaugePa(37e5), 0.005)
    260000.0
    """
    _held(set_outlet, set_inlet)
    return _held(set_outlet + effect * (inlet - set_inlet), inlet)


def area_ratio_for(kind: Kind, outlet_change: DifferencePa, inlet_change: DifferencePa) -> float:
    """Return the area ratio A/a at which a one-stage regulator's outlet moves by `outlet_change` [Pa] and no more.

    The inlet moves by `inlet_change` [Pa] meanwhile: that of a cylinder from full to empty.

    Equation: A/a = inlet change / outlet change - 1 where the inlet opens the seat, + 1 where it closes it. A balanced
    regulator needs none and raises `OutOfRange`, as does an outlet change that is not below the inlet change by enough
    for A/a > 1. Reference: inverse of `supply_effect`.

    >>> round(area_ratio_for(Kind.INLET_OPENS, DifferencePa(5 * 6894.757), DifferencePa(127e5)))
    367
    """
    require("outlet change", outlet_change, "Pa", low=0.0, ends=False)
    require("inlet change", inlet_change, "Pa", low=0.0, ends=False)
    if kind is Kind.BALANCED:
        raise OutOfRange("area ratio", float("nan"), "1", reason="A balanced regulator holds its outlet at any ratio.")
    ratio = inlet_change / outlet_change + (-1.0 if kind is Kind.INLET_OPENS else 1.0)
    require("area ratio", ratio, "1", low=1.0, ends=False, reason="The outlet may not move as much as the inlet.")
    return ratio


@dataclass(frozen=True)
class Characteristic:
    """A machine's regulator as measured: its outlet at two inlet pressures [Pa, gauge], a straight line between."""

    high_inlet: GaugePa
    outlet_at_high: GaugePa
    low_inlet: GaugePa
    outlet_at_low: GaugePa

    def __post_init__(self) -> None:
        _held(self.outlet_at_low, self.low_inlet)
        _held(self.outlet_at_high, self.high_inlet)
        reason = "The second measurement belongs at a higher inlet pressure."
        require("high inlet pressure", self.high_inlet, "Pa", low=self.low_inlet, ends=False, reason=reason)

    @property
    def effect(self) -> float:
        """The supply effect dp/dP [Pa/Pa] that was measured."""
        return (self.outlet_at_high - self.outlet_at_low) / (self.high_inlet - self.low_inlet)

    @property
    def kind(self) -> Kind:
        """What the measured outlets say of the seat: outlet higher at the high inlet, the inlet opens it."""
        if self.effect == 0.0:
            return Kind.BALANCED
        return Kind.INLET_OPENS if self.effect > 0.0 else Kind.INLET_CLOSES

    def outlet(self, inlet: GaugePa) -> GaugePa:
        """Return the outlet [Pa] at an inlet pressure [Pa] between the two measured ones; `OutOfRange` outside them.

        Reference: straight line between two measured points; nothing is promised beyond them.

        >>> measured = Characteristic(GaugePa(137e5), GaugePa(3.0e5), GaugePa(17e5), GaugePa(2.7e5))
        >>> measured.kind, round(measured.outlet(GaugePa(77e5)))
        (<Kind.INLET_OPENS: 'inlet pressure opens the seat'>, 285000)
        """
        reason = "The outlet was not measured there."
        require("inlet pressure", inlet, "Pa", low=self.low_inlet, high=self.high_inlet, reason=reason)
        return outlet_from_setting(self.outlet_at_low, self.low_inlet, inlet, self.effect)


def _require_areas(seat_area: float, diaphragm_area: float) -> None:
    require("seat area", seat_area, "m2", low=0.0, ends=False)
    reason = "A diaphragm is larger than its seat."
    require("diaphragm area less seat area", diaphragm_area - seat_area, "m2", low=0.0, ends=False, reason=reason)


def _held(outlet: float, inlet: GaugePa) -> GaugePa:
    require("outlet pressure", outlet, "Pa", low=0.0, ends=False, reason="The regulator stays shut.")
    reason = "The inlet no longer reaches the outlet pressure: nothing is regulated."
    require("inlet pressure less outlet pressure", inlet - outlet, "Pa", low=0.0, reason=reason)
    return GaugePa(outlet)

"""The pin index: which yoke lets which cylinder valve in, and where its six positions stand in a schematic.

Two-pin single row and single pin only (ISO 407:2004, clauses 7.3 and 7.2); the double row (7.4) is left out, its
positions were not read.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from itertools import combinations

from yokebook.errors import OutOfRange
from yokebook.gases import (
    CARBON_DIOXIDE_LIMIT,
    FIXED,
    HELIUM_LIMIT,
    NAMES,
    SINGLE_ROW_POSITIONS,
    oxygen_carbon_dioxide,
    oxygen_helium,
)

SINGLE_PIN_POSITION = 7
"""The position of the 50:50 mixture's one pin, between 3 and 4 (ISO 407 as tabulated in an encyclopaedia)."""
SPACING_FROM_MEMORY_DEG = 12.0
"""Angle between neighbouring positions, for a schematic only: from memory, never to be printed as the standard's."""
RADIUS_FROM_MEMORY_MM = 14.3
"""Radius of the arc about the gas port, for a schematic only: from memory, never to be printed as the standard's."""


class Face(Enum):
    """The face that one looks at: the cylinder valve with its holes, or the yoke with its pins."""

    VALVE = "cylinder valve"
    YOKE = "yoke"


class Side(Enum):
    """A side as seen by someone who faces the face in question."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def other(self) -> Side:
        """The opposite side."""
        return Side.RIGHT if self is Side.LEFT else Side.LEFT


@dataclass(frozen=True)
class Fit:
    """Whether a yoke's pins enter a valve's holes; `without_hole` are the pins that stand against solid metal."""

    fits: bool
    without_hole: tuple[int, ...]


@dataclass(frozen=True)
class CodeUse:
    """A gas that uses a code; a mixture only with a fraction of `component` above `above` and not above `up_to`."""

    name: str
    component: str = ""
    above: float = 0.0
    up_to: float = 1.0


def code(positions: Iterable[int]) -> tuple[int, ...]:
    """Return positions as a code: sorted, and refused where the single-row and single-pin systems have no such code.

    A code is two positions out of 1 to 6 that are not neighbours, or position 7 alone. Anything else raises
    `OutOfRange`. Reference: ISO 407 pin codes as tabulated in an encyclopaedia (the standard itself was not read).

    >>> code([5, 2])
    (2, 5)
    >>> code([3, 4])
    Traceback (most recent call last):
    yokebook.errors.OutOfRange: pin position 4 (position): allowed 1 to 6. Neighbours are never used together.
    """
    given = tuple(sorted(positions))
    if given == (SINGLE_PIN_POSITION,):
        return given
    for position in given:
        if position not in SINGLE_ROW_POSITIONS:
            raise _no_code(position, "The row has positions 1 to 6; position 7 stands alone.")
    if len(given) != 2:
        raise OutOfRange("number of pins", len(given), "pins", low=2, high=2, reason="Only position 7 stands alone.")
    if given[1] - given[0] < 2:
        raise _no_code(given[1], "Neighbours are never used together.")
    return given


def _no_code(position: int, reason: str) -> OutOfRange:
    first, last = SINGLE_ROW_POSITIONS[0], SINGLE_ROW_POSITIONS[-1]
    return OutOfRange("pin position", position, "(position)", low=first, high=last, reason=reason)


def two_pin_codes() -> tuple[tuple[int, int], ...]:
    """Return every allowed two-pin code: the pairs of positions 1 to 6 without neighbours, C(6,2) - 5 = 10 of them.

    >>> two_pin_codes()
    ((1, 3), (1, 4), (1, 5), (1, 6), (2, 4), (2, 5), (2, 6), (3, 5), (3, 6), (4, 6))
    """
    return tuple(pair for pair in combinations(SINGLE_ROW_POSITIONS, 2) if pair[1] - pair[0] >= 2)


def fits(yoke_pins: Iterable[int], valve_holes: Iterable[int]) -> Fit:
    """Return whether a yoke's pins enter a cylinder valve's holes: every pin needs a hole at its position.

    Pins stand on the yoke, holes in the valve. Both must be codes (see `code`): a yoke with a missing pin would let
    wrong cylinders in and is a fault, not a code. That the code fits does not say that the gas is right: read the
    label.

    >>> fits((2, 5), (2, 5))
    Fit(fits=True, without_hole=())
    >>> fits((2, 5), (3, 5))
    Fit(fits=False, without_hole=(2,))
    """
    holes = code(valve_holes)
    missing = tuple(pin for pin in code(yoke_pins) if pin not in holes)
    return Fit(not missing, missing)


def uses_of(positions: Iterable[int]) -> tuple[CodeUse, ...]:
    """Return every gas of a department that uses a code, mixtures with their range of fractions; () where none does.

    >>> [use.name for use in uses_of((1, 6))]
    ['carbon dioxide', 'oxygen/carbon dioxide']
    >>> uses_of((2, 6))
    (CodeUse(name='oxygen/carbon dioxide', component='carbon dioxide', above=0.0, up_to=0.07),)
    """
    wanted = code(positions)
    uses = [CodeUse(gas.name) for gas in FIXED.values() if gas.pins == wanted]
    for name, component, make, limit in (
        (NAMES[-2], "carbon dioxide", oxygen_carbon_dioxide, CARBON_DIOXIDE_LIMIT),
        (NAMES[-1], "helium", oxygen_helium, HELIUM_LIMIT),
    ):
        if make(limit).pins == wanted:
            uses.append(CodeUse(name, component, 0.0, limit))
        if make((1.0 + limit) / 2.0).pins == wanted:
            uses.append(CodeUse(name, component, limit, 1.0))
    return tuple(uses)


def position_angle_deg(position: int, face: Face, position_1: Side) -> float:
    """Return where a position stands in a schematic: degrees from straight below the gas port, positive to the right.

    `position_1` is the side of position 1 as seen facing the cylinder valve (a department confirms it on a valve of its
    own: books do not agree); the yoke is its mirror image. Equation: angle = (n - 3.5) x 12 deg for positions 1 to 6,
    0 deg for position 7, sign by side and face. The 12 deg are from memory; the drawing of ISO 407 was not read.

    >>> position_angle_deg(1, Face.VALVE, Side.LEFT), position_angle_deg(1, Face.YOKE, Side.LEFT)
    (-30.0, 30.0)
    """
    if position == SINGLE_PIN_POSITION:
        return 0.0
    if position not in SINGLE_ROW_POSITIONS:
        raise _no_code(position, "The row has positions 1 to 6; position 7 stands alone.")
    middle = (SINGLE_ROW_POSITIONS[0] + SINGLE_ROW_POSITIONS[-1]) / 2.0
    side = position_1 if face is Face.VALVE else position_1.other
    sign = 1.0 if side is Side.LEFT else -1.0
    return sign * (position - middle) * SPACING_FROM_MEMORY_DEG


def position_mm(position: int, face: Face, position_1: Side) -> tuple[float, float]:
    """Return a position in a schematic as (right, down) of the gas port [mm], on the arc of 14.3 mm (from memory).

    Equation: (r sin angle, r cos angle) with the angle of `position_angle_deg`.

    >>> right, down = position_mm(7, Face.VALVE, Side.LEFT)
    >>> (right, down)
    (0.0, 14.3)
    """
    angle = math.radians(position_angle_deg(position, face, position_1))
    return RADIUS_FROM_MEMORY_MM * math.sin(angle), RADIUS_FROM_MEMORY_MM * math.cos(angle)

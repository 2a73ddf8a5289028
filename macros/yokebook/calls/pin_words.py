"""Pin codes in a reader's words: the code of a gas, what else it lets in, and how a cylinder is told."""

from __future__ import annotations

from yokebook import gases, units
from yokebook.calls.result import Caution
from yokebook.calls.supply import stamped_text
from yokebook.data.cylinders import Cylinder
from yokebook.figures.swatches import Swatch
from yokebook.gases import Gas
from yokebook.physics.pins import CodeUse, two_pin_codes, uses_of

READ_THE_LABEL = Caution(
    "WARNING",
    "That a cylinder fits does not say that its gas is right. Read the gas name on the label. The colour comes last: "
    "it only confirms, and it is not the same in every country.",
)
COUNTED = (
    "Pins stand on the yoke, holes in the cylinder valve. Positions 1 to 6 lie in one row; position 7 stands alone in "
    "its middle."
)
SOURCE = "Source of the codes: ISO 407, as tabulated in an encyclopaedia; the standard itself was not read."


def code_text(pins: tuple[int, ...]) -> str:
    """Return a code as it is written.

    >>> code_text((2, 5)), code_text((7,))
    ('2-5', '7')
    """
    return "-".join(str(pin) for pin in pins)


def lets_in(pins: tuple[int, ...]) -> str:
    """Return every gas that uses a code, mixtures with their range.

    >>> lets_in((1, 6))
    'carbon dioxide; oxygen/carbon dioxide above 7\\xa0% carbon dioxide'
    """
    return "; ".join(use_text(use) for use in uses_of(pins))


def swatch(name: str, gas: Gas, standard: str) -> Swatch:
    """Return the colour marks of a gas by a standard as they are drawn, with the name by which it is told.

    >>> swatch("air", gases.AIR, "CGA C-9").text
    'yellow: air by CGA C-9'
    """
    return Swatch(tuple(dict.fromkeys(gases.colour_marks(gas, standard))), name, standard)


def colours_source(standard: str) -> str:
    """Return where the colours of a standard were read."""
    source = {
        "ISO 32": "ISO 32 as printed in EN 1089-3:2011, clause 6.2.3; air and the mixtures from memory",
        "CGA C-9": "a draft guidance on medical gases of 2003 that lists CGA C-9; the mixtures by their components",
    }
    return f"Source of the colours: {source[standard]}."


def use_text(use: CodeUse) -> str:
    """Return one gas that uses a code, a mixture with its range."""
    if not use.component:
        return use.name
    word, share = ("up to", use.up_to) if use.up_to < 1.0 else ("above", use.above)
    return f"{use.name} {word} {units.shown(share, '%', '1')} {use.component}"


def gas_text(cylinder: Cylinder) -> str:
    """Return what a cylinder holds, a mixture with its fractions."""
    if cylinder.fractions is None:
        return cylinder.gas
    parts = ", ".join(f"{share.text} {name}" for name, share in cylinder.fractions.items())
    return f"{cylinder.gas} ({parts})"


def cylinder_text(cylinder: Cylinder) -> str:
    """Return how a reader tells a cylinder: what it holds, and what is stamped on it."""
    return f"{gas_text(cylinder)}, {stamped_text(cylinder).removeprefix('for cylinders ')}"


def codes_of(name: str) -> tuple[tuple[str, tuple[int, ...], Gas], ...]:
    """Return the rows of a gas by its name alone: how it is told, its code, and a gas that bears its colours.

    A mixture that is filled with many fractions has two codes, each with its range.

    >>> [(told, code) for told, code, _ in codes_of("oxygen/helium")]
    [('oxygen/helium up to 80\\xa0% helium', (2, 4)), ('oxygen/helium above 80\\xa0% helium', (4, 6))]
    """
    gas = gases.FIXED.get(name)
    if gas:
        return ((name, gas.pins, gas),)
    make = gases.oxygen_helium if name == "oxygen/helium" else gases.oxygen_carbon_dioxide
    some = make(0.5)
    return tuple((use_text(use), code, some) for code in two_pin_codes() for use in uses_of(code) if use.name == name)

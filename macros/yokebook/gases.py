"""The gases a department keeps in cylinders: names, composition, pin codes and the standards' colour marks.

Only facts live here; what follows from them (densities, contents, fits) is worked out in `physics/`.
"""

from __future__ import annotations

from dataclasses import dataclass

SINGLE_ROW_POSITIONS = (1, 2, 3, 4, 5, 6)
"""Positions of the two-pin single row; position 7 stands alone (ISO 407:2004, clauses 7.2, 7.3, contents page read)."""

CARBON_DIOXIDE_LIMIT = 0.07
"""Most carbon dioxide in oxygen with a code of its own, mole fraction (ISO 407 as tabulated in an encyclopaedia)."""
HELIUM_LIMIT = 0.80
"""Most helium in oxygen with a code of its own, mole fraction (ISO 407 as tabulated in an encyclopaedia)."""


@dataclass(frozen=True)
class Gas:
    """One gas or mixture as it is filled.

    `composition` gives each pure component with its mole fraction, in the order of the name. `pins` are the holes of
    the cylinder valve and the pins of the yoke (empty where the single-row list has no code for it).
    """

    name: str
    formula: str
    composition: tuple[tuple[str, float], ...]
    pins: tuple[int, ...]
    liquefied: bool = False

    @property
    def is_mixture(self) -> bool:
        """True for a gas of more than one component (air counts as one)."""
        return len(self.composition) > 1


def _pure(name: str, formula: str, pins: tuple[int, ...], *, liquefied: bool = False) -> Gas:
    return Gas(name, formula, ((name, 1.0),), pins, liquefied)


# Pin codes: single-row positions as tabulated in an encyclopaedia for ISO 407 (the standard itself was not read).
OXYGEN = _pure("oxygen", "O₂", (2, 5))
NITROUS_OXIDE = _pure("nitrous oxide", "N₂O", (3, 5), liquefied=True)
AIR = _pure("air", "air", (1, 5))
CARBON_DIOXIDE = _pure("carbon dioxide", "CO₂", (1, 6), liquefied=True)
HELIUM = _pure("helium", "He", (4, 6))
NITROGEN = _pure("nitrogen", "N₂", (1, 4))
FIFTY_FIFTY = Gas("nitrous oxide/oxygen 50:50", "N₂O/O₂", (("nitrous oxide", 0.5), ("oxygen", 0.5)), (7,))

PURE = (OXYGEN, NITROUS_OXIDE, AIR, CARBON_DIOXIDE, HELIUM, NITROGEN)
FIXED = {gas.name: gas for gas in (*PURE, FIFTY_FIFTY)}
"""Gases that their name alone defines."""
MIXTURE_NAMES = ("oxygen/carbon dioxide", "oxygen/helium")
"""Mixtures that need their fractions beside the name."""
NAMES = (*FIXED, *MIXTURE_NAMES)
"""Every gas name that the department's data may hold."""


def oxygen_carbon_dioxide(carbon_dioxide: float) -> Gas:
    """Return the oxygen/carbon dioxide mixture of a mole fraction of carbon dioxide (0 to 1, both excluded).

    Pin code 2-6 up to 7 % carbon dioxide, else that of carbon dioxide, 1-6 (ISO 407 as tabulated in an encyclopaedia).

    >>> oxygen_carbon_dioxide(0.05).pins, oxygen_carbon_dioxide(0.08).pins
    ((2, 6), (1, 6))
    """
    pins = (2, 6) if carbon_dioxide <= CARBON_DIOXIDE_LIMIT else CARBON_DIOXIDE.pins
    parts = (("oxygen", 1.0 - carbon_dioxide), ("carbon dioxide", carbon_dioxide))
    return Gas("oxygen/carbon dioxide", "O₂/CO₂", parts, pins)


def oxygen_helium(helium: float) -> Gas:
    """Return the oxygen/helium mixture of a mole fraction of helium (0 to 1, both excluded).

    Pin code 2-4 up to 80 % helium, else that of helium, 4-6 (ISO 407 as tabulated in an encyclopaedia).

    >>> oxygen_helium(0.79).pins, oxygen_helium(0.85).pins
    ((2, 4), (4, 6))
    """
    pins = (2, 4) if helium <= HELIUM_LIMIT else HELIUM.pins
    parts = (("oxygen", 1.0 - helium), ("helium", helium))
    return Gas("oxygen/helium", "O₂/He", parts, pins)


# Colour marks of the shoulder, each with its component gases. ISO 32 as printed in EN 1089-3:2011, clause 6.2.3
# (read); air and the mixtures by its two-colour rule, from memory. CGA C-9 as listed in a draft guidance of 2003.
ISO_32: dict[str, tuple[str, ...]] = {
    "oxygen": ("white",),
    "nitrous oxide": ("blue",),
    "air": ("white", "black"),
    "carbon dioxide": ("grey",),
    "helium": ("brown",),
    "nitrogen": ("black",),
}
CGA_C_9: dict[str, tuple[str, ...]] = {
    "oxygen": ("green",),
    "nitrous oxide": ("blue",),
    "air": ("yellow",),
    "carbon dioxide": ("grey",),
    "helium": ("brown",),
    "nitrogen": ("black",),
}
COLOUR_MARKS = {"ISO 32": ISO_32, "CGA C-9": CGA_C_9}


def colour_marks(gas: Gas, standard: str) -> tuple[str, ...]:
    """Return the colour names of a gas in one of `COLOUR_MARKS`; a mixture shows those of its components.

    >>> colour_marks(FIFTY_FIFTY, "ISO 32"), colour_marks(FIFTY_FIFTY, "CGA C-9")
    (('blue', 'white'), ('blue', 'green'))
    """
    marks = COLOUR_MARKS[standard]
    return tuple(colour for component, _ in gas.composition for colour in marks[component])

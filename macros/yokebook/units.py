"""The one door to pint: reads "137 bar" from a closed table of spellings, and formats numbers for readers.

Pint is asked only how large a unit is. It never parses an author's text (it takes "1,5 L" for 15 L and "20 C" for
coulombs) and never prints.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from enum import Enum
from functools import cache
from importlib import metadata
from typing import ClassVar, Self

from yokebook.quantities import (
    AbsolutePa,
    CubicMetres,
    DifferencePa,
    GasCubicMetresPerSecond,
    GaugePa,
    Kelvin,
    KelvinDifference,
    Kilograms,
    Seconds,
)

NO_BREAK_SPACE = "\u00a0"
THIN_SPACE = "\u202f"
MINUS = "\u2212"


@dataclass(frozen=True)
class Unit:
    """A unit as readers see it, the dimension it measures, its name in pint, and for a pressure what it counts from."""

    symbol: str
    dimension: str
    pint_name: str
    counts_from: str = ""


def _pressure(symbol: str, pint_name: str, counts_from: str = "") -> Unit:
    return Unit(symbol, "pressure", pint_name, counts_from)


PERCENT = Unit("%", "share", "percent")
UNITS: tuple[Unit, ...] = (
    _pressure("bar", "bar"),
    _pressure("psi", "pound_force_per_square_inch"),
    _pressure("kPa", "kilopascal"),
    _pressure("MPa", "megapascal"),
    _pressure("kgf/cm²", "kilogram_force / centimeter ** 2"),
    _pressure("mmHg", "millimeter_Hg"),
    _pressure("cmH₂O", "centimeter_H2O"),
    _pressure("atm", "standard_atmosphere"),
    _pressure("psig", "pound_force_per_square_inch", "gauge"),
    _pressure("psia", "pound_force_per_square_inch", "absolute"),
    _pressure("bar abs", "bar", "absolute"),
    _pressure("kPa abs", "kilopascal", "absolute"),
    Unit("°C", "temperature", "degree_Celsius"),
    Unit("°F", "temperature", "degree_Fahrenheit"),
    Unit("K", "temperature", "kelvin"),
    Unit("L", "volume", "liter"),
    Unit("mL", "volume", "milliliter"),
    Unit("m³", "volume", "meter ** 3"),
    Unit("ft³", "volume", "foot ** 3"),
    Unit("kg", "mass", "kilogram"),
    Unit("g", "mass", "gram"),
    Unit("lb", "mass", "pound"),
    Unit("oz", "mass", "ounce"),
    Unit("L/min", "flow", "liter / minute"),
    Unit("mL/min", "flow", "milliliter / minute"),
    Unit("L/h", "flow", "liter / hour"),
    Unit("min", "duration", "minute"),
    Unit("h", "duration", "hour"),
    Unit("s", "duration", "second"),
    Unit("m", "length", "meter"),
    Unit("ft", "length", "foot"),
    PERCENT,
)
SPELLINGS: dict[str, Unit] = {unit.symbol: unit for unit in UNITS}
SPELLINGS |= {
    "kgf/cm2": SPELLINGS["kgf/cm²"],
    "cmH2O": SPELLINGS["cmH₂O"],
    "m3": SPELLINGS["m³"],
    "ft3": SPELLINGS["ft³"],
}
ANY_SPELLING = "|".join(re.escape(spelling) for spelling in sorted(SPELLINGS, key=len, reverse=True))
"""A pattern of all spellings, the longer ones first."""

# What people write and what they most likely meant; each is refused with this suggestion.
_SLIPS = {
    "C": "°C", "degC": "°C", "deg C": "°C", "F": "°F", "degF": "°F", "l": "L", "ml": "mL", "l/min": "L/min",
    "ml/min": "mL/min", "lpm": "L/min", "LPM": "L/min", "Bar": "bar", "BAR": "bar", "bars": "bar", "PSI": "psi",
    "Psi": "psi", "kpa": "kPa", "KPa": "kPa", "KPA": "kPa", "Mpa": "MPa", "kgf": "kgf/cm²", "kg/cm2": "kgf/cm²",
    "kg/cm²": "kgf/cm²", "mins": "min", "minutes": "min", "minute": "min", "hours": "h", "hour": "h", "hr": "h",
    "sec": "s", "seconds": "s", "litres": "L", "liters": "L", "litre": "L", "cc": "mL", "Kg": "kg", "KG": "kg",
    "lbs": "lb", "barg": "bar", "bar g": "bar", "bara": "bar abs", "percent": "%",
}  # fmt: skip

_SI = {
    "pressure": "pascal", "temperature": "kelvin", "volume": "meter ** 3", "mass": "kilogram",
    "flow": "meter ** 3 / second", "duration": "second", "length": "meter", "share": "dimensionless",
}  # fmt: skip


# How large each unit is, by its name in pint: asked of pint once, and kept from run to run by whoever cares to.
_scales: dict[str, tuple[Decimal, Decimal]] = {}


def _scale(unit: Unit) -> tuple[Decimal, Decimal]:
    """Return (factor, offset) with SI value = factor × number + offset."""
    if unit.pint_name not in _scales:
        registry = _registry()
        zero, one = (
            registry.Quantity(Decimal(number), unit.pint_name).to(_SI[unit.dimension]).magnitude for number in (0, 1)
        )
        _scales[unit.pint_name] = (one - zero, zero)
    return _scales[unit.pint_name]


def scales() -> dict[str, list[str]]:
    """Return how large each unit is that this run has come across: factor and offset, as exact texts."""
    return {name: [str(part) for part in scale] for name, scale in sorted(_scales.items())}


def learn(scales: Mapping[str, Sequence[str]]) -> None:
    """Take in the sizes of units that an earlier run had of the same pint `version`, so that pint need not start."""
    for name, (factor, offset) in scales.items():
        _scales.setdefault(name, (Decimal(factor), Decimal(offset)))


def version() -> str:
    """Return pint's version, without importing it."""
    return metadata.version("pint")


@cache
def _registry():  # type: ignore[no-untyped-def]  # pint's registry class is made at run time
    from pint import UnitRegistry

    return UnitRegistry(non_int_type=Decimal, cache_folder=None)


class UnitError(ValueError):
    """A text that is not one quantity of the wanted kind; says so in words for an author."""

    def __init__(self, code: str, wrong: str, *, allowed: str, example: str, suggestion: str = "") -> None:
        self.code = code
        self.wrong = wrong
        self.allowed = allowed
        self.example = example
        self.suggestion = suggestion
        super().__init__(wrong)


_NUMBER = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?")
_LONGEST = 40


@dataclass(frozen=True)
class Quantity:
    """One quantity as an author wrote it: the number, its unit, and (by subclass) which kind it is.

    `si` is the value in SI units as a float; subclasses give it under a name that carries the unit.
    """

    number: Decimal
    unit: Unit

    kind: ClassVar[str] = ""
    dimension: ClassVar[str] = ""
    refused_reference: ClassVar[str] = ""
    example: ClassVar[str] = ""
    lowest: ClassVar[str] = ""
    highest: ClassVar[str] = ""

    @classmethod
    def read(cls, text: str) -> Self:
        """Return the quantity that a text states, such as GaugePressure.read("137 bar").

        Raises UnitError with what is wrong, what is allowed, an example, and a suggestion where one is likely.
        """
        number, unit = _split(text, cls)
        if unit.dimension != cls.dimension:
            raise cls._error("E106", f"{unit.symbol} measures a {unit.dimension}; this is to be {cls._a_kind()}")
        if unit.counts_from and unit.counts_from == cls.refused_reference:
            raise cls._error(
                "E107",
                f"{unit.symbol} counts a pressure as {unit.counts_from}; this is to be {cls._a_kind()}",
            )
        quantity = cls(number, unit)
        if cls.lowest and not cls._limit(cls.lowest) <= quantity.si <= cls._limit(cls.highest):
            raise cls._error(
                "E108",
                f"no {cls.kind} here can be {number} {unit.symbol}",
                allowed=f"{cls.lowest} to {cls.highest}",
            )
        return quantity

    @classmethod
    def _a_kind(cls) -> str:
        return ("an " if cls.kind[0] in "aeiou" else "a ") + cls.kind

    @classmethod
    def stated(cls, text: str) -> Self:
        """Return a quantity that the program itself states, as a constant: its size is worked out when it is used."""
        return cls(*_split(text, cls))

    @classmethod
    def _limit(cls, text: str) -> float:
        number, unit = text.rsplit(" ", 1)
        return to_si(Decimal(number), SPELLINGS[unit], difference=cls.is_difference())

    @classmethod
    def _error(cls, code: str, wrong: str, *, allowed: str = "", suggestion: str = "") -> UnitError:
        return UnitError(code, wrong, allowed=allowed or cls.allowed(), example=cls.example, suggestion=suggestion)

    @classmethod
    def allowed(cls) -> str:
        """Return the units that this kind takes, as a reader sees them."""
        symbols = [
            unit.symbol
            for unit in UNITS
            if unit.dimension == cls.dimension
            and not (unit.counts_from and unit.counts_from == cls.refused_reference)
            and not (cls.is_difference() and unit.counts_from)
        ]
        return "a number and one of " + ", ".join(symbols)

    @classmethod
    def is_difference(cls) -> bool:
        """True for kinds that are a difference of two values, so that 0 °C is 0 K."""
        return False

    @property
    def si(self) -> float:
        """The value in SI units."""
        return to_si(self.number, self.unit, difference=self.is_difference())

    @property
    def text(self) -> str:
        """The quantity as a reader sees it, in the author's own number and unit."""
        return with_unit(group(self.number), self.unit)


class GaugePressure(Quantity):
    """A pressure above the ambient one: readings, filling pressures, regulated and pipeline pressures."""

    kind = "gauge pressure"
    dimension = "pressure"
    refused_reference = "absolute"
    example = "137 bar"
    lowest, highest = "0 bar", "1000 bar"

    @property
    def pa(self) -> GaugePa:
        """The gauge pressure, Pa."""
        return GaugePa(self.si)


class AbsolutePressure(Quantity):
    """A pressure above vacuum: the ambient pressure, the state in which litres are printed."""

    kind = "absolute pressure"
    dimension = "pressure"
    refused_reference = "gauge"
    example = "101.325 kPa"
    lowest, highest = "0.3 bar", "1000 bar"

    @property
    def pa(self) -> AbsolutePa:
        """The absolute pressure, Pa."""
        return AbsolutePa(self.si)


class PressureDifference(Quantity):
    """A difference of two pressures: a gauge's error, its scale interval, a fall of the reading."""

    kind = "pressure difference"
    dimension = "pressure"
    example = "5 bar"
    lowest, highest = "-1000 bar", "1000 bar"

    @classmethod
    def is_difference(cls) -> bool:
        return True

    @classmethod
    def read(cls, text: str) -> Self:
        quantity = super().read(text)
        if quantity.unit.counts_from:
            raise cls._error("E107", f"a difference of pressures is neither gauge nor absolute: {quantity.unit.symbol}")
        return quantity

    @property
    def pa(self) -> DifferencePa:
        """The difference, Pa."""
        return DifferencePa(self.si)


class Temperature(Quantity):
    """A temperature: of a room, of a place, at which a cylinder was filled."""

    kind = "temperature"
    dimension = "temperature"
    example = "20 °C"
    lowest, highest = "-60 °C", "100 °C"

    @property
    def k(self) -> Kelvin:
        """The temperature, K."""
        return Kelvin(self.si)


class TemperatureDifference(Quantity):
    """A difference of two temperatures: 9 °F is 5 K, not a reading on a thermometer."""

    kind = "temperature difference"
    dimension = "temperature"
    example = "5 K"
    lowest, highest = "-200 K", "200 K"

    @classmethod
    def is_difference(cls) -> bool:
        return True

    @property
    def k(self) -> KelvinDifference:
        """The difference, K."""
        return KelvinDifference(self.si)


class Volume(Quantity):
    """A volume: water capacity, trapped volume, litres of gas."""

    kind = "volume"
    dimension = "volume"
    example = "4.68 L"
    lowest, highest = "0 L", "100000 L"

    @property
    def m3(self) -> CubicMetres:
        """The volume, m3."""
        return CubicMetres(self.si)


class Mass(Quantity):
    """A mass: tare, gross weight, a scale's interval."""

    kind = "mass"
    dimension = "mass"
    example = "5.40 kg"
    lowest, highest = "0 kg", "1000 kg"

    @property
    def kg(self) -> Kilograms:
        """The mass, kg."""
        return Kilograms(self.si)


class Flow(Quantity):
    """A flow of gas at the flowmeter's stated condition."""

    kind = "flow"
    dimension = "flow"
    example = "6 L/min"
    lowest, highest = "0 L/min", "1000 L/min"

    @property
    def m3_per_s(self) -> GasCubicMetresPerSecond:
        """The flow at the stated condition, m3/s."""
        return GasCubicMetresPerSecond(self.si)


class Duration(Quantity):
    """A duration."""

    kind = "duration"
    dimension = "duration"
    example = "15 min"
    lowest, highest = "0 s", "1000 h"

    @property
    def s(self) -> Seconds:
        """The duration, s."""
        return Seconds(self.si)


class Length(Quantity):
    """A height above sea level."""

    kind = "length"
    dimension = "length"
    example = "1600 m"
    lowest, highest = "-500 m", "9000 m"

    @property
    def m(self) -> float:
        """The length, m."""
        return self.si


class Share(Quantity):
    """A part of a whole: a tolerance, a mole fraction."""

    kind = "percentage"
    dimension = "share"
    example = "10 %"
    lowest, highest = "0 %", "100 %"

    @property
    def fraction(self) -> float:
        """The share as a fraction of 1."""
        return self.si


def _split(text: str, kind: type[Quantity]) -> tuple[Decimal, Unit]:
    """Return the number and the unit of an author's text, or raise with the commonest slip named."""
    text = text.strip()
    wrong = kind._error
    if len(text) > _LONGEST:
        raise wrong("E101", f"this is too long for one {kind.kind} with its unit")
    found = _NUMBER.match(text)
    if not found:
        if text.startswith(MINUS):
            raise wrong("E101", "the minus sign of print is not read here", suggestion="-" + text[1:])
        raise wrong("E101", f"no number stands at the start; {kind._a_kind()} is a number and its unit")
    rest = text[found.end() :]
    if re.match(r"\s?,\s?[0-9]", rest):
        raise wrong("E102", "a comma stands in the number; write a decimal point, and nothing between thousands")
    if re.match(r"[\s'’_]+[0-9]", rest):
        raise wrong("E103", "a number is written in one piece, without spaces or marks between its digits")
    if re.match(r"[eE][+-]?[0-9]|[×x^.]|[²³⁰-⁹]", rest):
        raise wrong("E101", "a number is written out in digits, with at most one decimal point and no power of ten")
    spelling = re.sub(r"[ \u00a0\u202f]+", " ", rest).strip()
    if not spelling:
        raise wrong("E104", f"the unit is missing; without it this is no {kind.kind}")
    unit = SPELLINGS.get(spelling)
    if unit is None:
        raise wrong("E105", f"{spelling} is not a unit that is read here", suggestion=_meant(spelling))
    return Decimal(found.group()), unit


def _meant(spelling: str) -> str:
    """Return the unit that a spelling surely means: one of the known slips, or a unit but for capitals.

    What merely looks alike is never suggested: hPa is not kPa, mbar is not bar.
    """
    plain = spelling.rstrip(".").casefold()
    same = [symbol for symbol in SPELLINGS if symbol.casefold() == plain]
    return _SLIPS.get(spelling) or (same[0] if same else "")


def to_si(number: Decimal, unit: Unit, *, difference: bool = False) -> float:
    """Return a number of a unit in SI units; of a difference the unit's zero does not count.

    >>> to_si(Decimal("20"), SPELLINGS["°C"])
    293.15
    >>> to_si(Decimal("5"), SPELLINGS["°C"], difference=True)
    5.0
    """
    factor, offset = _scale(unit)
    return float(factor * number if difference else factor * number + offset)


def from_si(value: float, unit: Unit, *, difference: bool = False) -> Decimal:
    """Return an SI value as a number of a unit, unrounded.

    Raises ValueError for a value that is not finite.

    >>> round(from_si(137e5, SPELLINGS["psi"]), 2)
    Decimal('1987.02')
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is no number that a reader could be shown")
    factor, offset = _scale(unit)
    return Decimal(value) / factor if difference else (Decimal(value) - offset) / factor


class Rounding(Enum):
    """Which way a number may move when it is shown."""

    DOWN = "down"
    UP = "up"
    NEAREST = "nearest"


_MODES = {Rounding.DOWN: ROUND_FLOOR, Rounding.UP: ROUND_CEILING, Rounding.NEAREST: ROUND_HALF_EVEN}


def round_to(value: Decimal, step: Decimal, rounding: Rounding) -> Decimal:
    """Return a number rounded to a whole multiple of a step.

    >>> round_to(Decimal("137.4"), Decimal("5"), Rounding.UP)
    Decimal('140')
    >>> round_to(Decimal("-0.4"), Decimal("1"), Rounding.NEAREST)
    Decimal('0')
    """
    if step <= 0:
        raise ValueError("a step is above 0")
    rounded = (value / step).to_integral_value(_MODES[rounding]) * step
    return abs(rounded) if rounded == 0 else rounded


def group(number: Decimal) -> str:
    """Return a number as a reader sees it: plain digits, in threes from five digits on, a true minus sign.

    >>> group(Decimal("-1987.02")), group(Decimal("13700")), group(Decimal("1E+2"))
    ('−1987.02', '13\\u202f700', '100')
    """
    whole, _, part = f"{abs(number):f}".partition(".")
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", THIN_SPACE)
    sign = MINUS if number < 0 else ""
    return sign + whole + ("." + part if part else "")


def with_unit(number_text: str, unit: Unit) -> str:
    """Return a number's text with its unit, held together on one line.

    >>> with_unit("137", SPELLINGS["bar"])
    '137\\xa0bar'
    """
    return number_text + NO_BREAK_SPACE + unit.symbol


_BEFORE_A_UNIT = re.compile(rf"(?<=[0-9]) (?=(?:{ANY_SPELLING})(?!\w))")


def held_together(words: str) -> str:
    """Return an author's words with each number and its unit held together on one line.

    >>> held_together("By hand, 1 L/min set, 2 looks")
    'By hand, 1\xa0L/min set, 2 looks'
    """
    return _BEFORE_A_UNIT.sub(NO_BREAK_SPACE, words)


def shown(value: float, symbol: str, step: str, rounding: Rounding = Rounding.NEAREST) -> str:
    """Return an SI value as a reader sees it: in the unit of a symbol, rounded to a step, with the unit.

    >>> shown(137.04e5, "bar", "0.1"), shown(288.15, "°C", "1"), shown(137.04e5, "psi", "100", Rounding.UP)
    ('137.0\xa0bar', '15\xa0°C', '2000\xa0psi')
    """
    unit = SPELLINGS[symbol]
    return with_unit(group(round_to(from_si(value, unit), Decimal(step), rounding)), unit)

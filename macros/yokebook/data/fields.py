"""What one value of the data may be: quantities with their unit, gas names, closed lists of words, dates, reasons."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Annotated, Any, TypeVar

from pydantic import PlainValidator

from yokebook import gases, units
from yokebook.data.faults import BROKEN, EMPTY, NO_VALUE, Fault, refuse, unit_fault
from yokebook.errors import nearest

T = TypeVar("T")
Q = TypeVar("Q", bound=units.Quantity)
_PLAIN_NUMBER = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?")
_DECIMAL_COMMA = re.compile(r"[+-]?[0-9]+\s?,\s?[0-9]+")
_ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_INTERVAL = re.compile(r"([1-9][0-9]?) (month|months|year|years)")
NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
"""How an entry may be named: the name also stands in calls, links and file names."""


def scalar(read: Callable[[str], T]) -> PlainValidator:
    """Return a validator that hands the text of a value to `read`, which refuses it with a fault."""

    def validate(value: Any) -> Any:
        if value is BROKEN:
            return value
        if value is EMPTY:
            refuse([NO_VALUE])
        if not isinstance(value, str):
            refuse([Fault("E203", "one value is wanted here, not a list or further keys", allowed="one value")])
        return read(value)

    return PlainValidator(validate)


def _quantity(kind: type[Q]) -> PlainValidator:
    def read(text: str) -> Q:
        try:
            return kind.read(text)
        except units.UnitError as error:
            refuse([unit_fault(error)])

    return scalar(read)


def _above_zero(kind: type[Q]) -> PlainValidator:
    def read(text: str) -> Q:
        try:
            quantity = kind.read(text)
        except units.UnitError as error:
            refuse([unit_fault(error)])
        if quantity.number <= 0:
            refuse([Fault("E108", f"this {kind.kind} is to be above 0", allowed="more than 0", example=kind.example)])
        return quantity

    return scalar(read)


def _tolerance(text: str) -> units.Share:
    try:
        share = units.Share.read(text)
    except units.UnitError as error:
        refuse([unit_fault(error)])
    if share.fraction > 0.5:
        refuse([Fault("E108", "nothing can be told from a tolerance this wide", allowed="0 % to 50 %", example="10 %")])
    return share


def _flow_tolerance(text: str) -> units.Share | units.Flow:
    if text.rstrip().endswith("%"):
        return _tolerance(text)
    try:
        return units.Flow.read(text)
    except units.UnitError as error:
        fault = unit_fault(error)
        refuse([Fault(fault.code, fault.wrong, allowed=f"0 % to 50 %, or {fault.allowed}", example="20 %",
                      suggestion=fault.suggestion)])  # fmt: skip


Gauge = Annotated[units.GaugePressure, _quantity(units.GaugePressure)]
GaugeAboveZero = Annotated[units.GaugePressure, _above_zero(units.GaugePressure)]
Absolute = Annotated[units.AbsolutePressure, _quantity(units.AbsolutePressure)]
Difference = Annotated[units.PressureDifference, _quantity(units.PressureDifference)]
DifferenceAboveZero = Annotated[units.PressureDifference, _above_zero(units.PressureDifference)]
Temperature = Annotated[units.Temperature, _quantity(units.Temperature)]
VolumeAboveZero = Annotated[units.Volume, _above_zero(units.Volume)]
MassAboveZero = Annotated[units.Mass, _above_zero(units.Mass)]
Mass = Annotated[units.Mass, _quantity(units.Mass)]
Flow = Annotated[units.Flow, _quantity(units.Flow)]
FlowAboveZero = Annotated[units.Flow, _above_zero(units.Flow)]
Duration = Annotated[units.Duration, _quantity(units.Duration)]
DurationAboveZero = Annotated[units.Duration, _above_zero(units.Duration)]
Length = Annotated[units.Length, _quantity(units.Length)]
Share = Annotated[units.Share, _quantity(units.Share)]
Tolerance = Annotated[units.Share, scalar(_tolerance)]
FlowTolerance = Annotated[units.Share | units.Flow, scalar(_flow_tolerance)]


def _text(text: str) -> str:
    if not text.strip():
        refuse([NO_VALUE])
    return text.strip()


def _reason(text: str) -> str:
    if len(_text(text).split()) < 3:
        refuse(
            [
                Fault(
                    "E229", "this is too short for a reason that somebody else could judge",
                    allowed="a reason of at least three words", example="the second yoke is taken by air",
                )
            ]
        )  # fmt: skip
    return text.strip()


def one_of(
    words: Collection[str],
    code: str = "E205",
    what: str = "one of the words allowed here",
    meant: Callable[[str, Collection[str]], str] = nearest,
) -> PlainValidator:
    """Return a validator for a closed list of words, exactly as listed; `meant` tells what a misspelt one meant."""

    def read(text: str) -> str:
        if text not in words:
            refuse(
                [
                    Fault(
                        code, f"this is not {what}", allowed=", ".join(words), example=next(iter(words)),
                        suggestion=meant(text, words),
                    )
                ]
            )  # fmt: skip
        return text

    return scalar(read)


def _boolean(text: str) -> bool:
    if text not in ("true", "false"):
        meant = {"yes": "true", "on": "true", "no": "false", "off": "false"}.get(text.lower())
        refuse(
            [
                Fault(
                    "E207", "this is neither true nor false", allowed="true, false", example="true",
                    suggestion=meant or nearest(text, ("true", "false")),
                )
            ]
        )  # fmt: skip
    return text == "true"


def day_of(text: str) -> date:
    """Return the day that a text names; raise ValueError, with what is wrong in words, for one that names none.

    >>> day_of("2026-03-02").isoformat()
    '2026-03-02'
    """
    if not _ISO_DATE.fullmatch(text):
        raise ValueError("a date is written year-month-day")
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise ValueError("there is no such day") from None


def _date(text: str) -> date:
    try:
        return day_of(text)
    except ValueError as error:
        return refuse([Fault("E208", str(error), allowed="year-month-day", example="2026-03-01")])


def _number(low: str, high: str, example: str, *, whole: bool = False) -> PlainValidator:
    """Return a validator for a number without a unit from `low` to `high`."""

    def read(text: str) -> Decimal:
        if _DECIMAL_COMMA.fullmatch(text):
            wrong = "a comma stands in the number; write a decimal point"
            refuse([Fault("E102", wrong, allowed="a plain number with a decimal point", example=example)])
        kind = "a plain whole number" if whole else "a plain number, with a decimal point where one is needed"
        if not _PLAIN_NUMBER.fullmatch(text) or (whole and "." in text):
            refuse([Fault("E209", f"this is to be {kind}, without a unit", allowed=kind, example=example)])
        number = Decimal(text)
        if not Decimal(low) <= number <= Decimal(high):
            refuse([Fault("E210", "this number is not possible here", allowed=f"{low} to {high}", example=example)])
        return number

    return scalar(read)


@dataclass(frozen=True)
class ReviewInterval:
    """How long a procedure stands before it is looked at again."""

    months: int
    text: str


def _review_interval(text: str) -> ReviewInterval:
    found = _INTERVAL.fullmatch(text)
    if not found:
        allowed = "a whole number and months or years"
        refuse([Fault("E230", "a review interval is counted in months or years", allowed=allowed, example="12 months")])
    count = int(found[1])
    return ReviewInterval(count * 12 if found[2].startswith("year") else count, text)


def _web_address(text: str) -> str:
    if not re.fullmatch(r"https?://[^\s/?#]+(/[^\s?#]*)?", text):
        allowed = "an address that starts with https:// or http://, without ? and #"
        refuse(
            [Fault("E231", "this is not a web address", allowed=allowed, example="https://procedures.example/yokes/")]
        )
    return text if text.endswith("/") else text + "/"


PROCEDURE = re.compile(r"[A-Z]{2,6}-[0-9]{2,3}")
"""How procedures are numbered: the number also stands in links and file names."""


def _procedure(text: str) -> str:
    if not PROCEDURE.fullmatch(text):
        allowed = "two to six capital letters, a hyphen, two or three digits"
        refuse([Fault("E511", "this is not the number of a procedure", allowed=allowed, example="CYL-01")])
    return text


def _same_gas(text: str, names: Collection[str]) -> str:
    """Return the gas that a text names with a letter or two wrong: what is merely alike may be another gas."""
    near = nearest(text, names)
    if not near or letters_wrong(text.casefold(), near.casefold()) > max(1, len(near) // LETTERS_FOR_ONE_WRONG):
        return ""
    return near


def letters_wrong(text: str, word: str) -> int:
    """Return how many letters must be changed, taken out, put in or swapped with the next to make a word of a text."""
    last: list[int] = []
    row = list(range(len(word) + 1))
    for count, letter in enumerate(text, 1):
        two_back, last, row = last, row, [count]
        for place, right in enumerate(word, 1):
            row.append(min(last[place] + 1, row[place - 1] + 1, last[place - 1] + (letter != right)))
            swapped = count > 1 and place > 1 and letter == word[place - 2] and text[count - 2] == right
            if swapped:
                row[place] = min(row[place], two_back[place - 2] + 1)
    return row[-1]


LETTERS_FOR_ONE_WRONG = 6
"""In a misspelt gas: heliox is two letters from helium, carbon monoxide three from carbon dioxide."""
OF_THE_MACHINE = "of the machine"
"""In a use's draws: the drive gas that the machine was measured to take."""


def _drive_gas(text: str) -> units.Flow | str:
    if text == OF_THE_MACHINE:
        return text
    try:
        return units.Flow.read(text)
    except units.UnitError as error:
        fault = unit_fault(error)
        meant = nearest(text, (OF_THE_MACHINE,)) or fault.suggestion
        allowed = f"{OF_THE_MACHINE}, or {fault.allowed}"
        refuse([Fault(fault.code, fault.wrong, allowed=allowed, example=OF_THE_MACHINE, suggestion=meant)])


DIAL_UNITS = {
    spelling: unit
    for spelling, unit in units.SPELLINGS.items()
    if unit.dimension == "pressure" and not unit.counts_from
}
"""Units in which a dial may read. A dial always shows gauge pressure, so none says what it counts from."""


def _dial_unit(text: str) -> units.Unit:
    if text not in DIAL_UNITS:
        symbols = tuple(dict.fromkeys(unit.symbol for unit in DIAL_UNITS.values()))
        wrong = "this is not a unit of pressure that a dial is read in here"
        allowed = ", ".join(symbols)
        refuse([Fault("E205", wrong, allowed=allowed, example="bar", suggestion=nearest(text, DIAL_UNITS))])
    return DIAL_UNITS[text]


Text = Annotated[str, scalar(_text)]
Reason = Annotated[str, scalar(_reason)]
Boolean = Annotated[bool, scalar(_boolean)]
Date = Annotated[date, scalar(_date)]
ProcedureNumber = Annotated[str, scalar(_procedure)]
Interval = Annotated[ReviewInterval, scalar(_review_interval)]
WebAddress = Annotated[str, scalar(_web_address)]
GasName = Annotated[str, one_of(gases.NAMES, "E206", "a gas that is known here", _same_gas)]
GasOrNone = Annotated[str, one_of((*gases.NAMES, "none"), "E206", "a gas that is known here", _same_gas)]
DriveGas = Annotated[units.Flow | str, scalar(_drive_gas)]
DialUnit = Annotated[units.Unit, scalar(_dial_unit)]
AccuracyClass = Annotated[Decimal, _number("0", "10", "2.5")]
FillingRatio = Annotated[Decimal, _number("0.1", "0.99", "0.75")]
DialMultiplier = Annotated[Decimal, _number("1", "1000", "100", whole=True)]
AreaRatio = Annotated[Decimal, _number("2", "1000", "100")]
Position = Annotated[Decimal, _number("1", "20", "1", whole=True)]
"""A place in a list, as a reader counts: from 1."""
Margin = Annotated[Decimal, _number("1", "10", "2")]

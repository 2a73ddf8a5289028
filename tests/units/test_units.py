"""Reading, converting and showing quantities: against the definitions of the units, and against what authors write."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from published import row_id, rows
from yokebook import units
from yokebook.quantities import AbsolutePa, GaugePa, absolute
from yokebook.units import SPELLINGS, Rounding, from_si, to_si

KINDS = (
    units.GaugePressure, units.AbsolutePressure, units.PressureDifference, units.Temperature,
    units.TemperatureDifference, units.Volume, units.Mass, units.Flow, units.Duration, units.Length, units.Share,
)  # fmt: skip
VOLUMES = "a number and one of L, mL, m³, ft³"
IN_PIECES = "a number is written in one piece, without spaces or marks between its digits"
IN_DIGITS = "a number is written out in digits, with at most one decimal point and no power of ten"
COMMA = "a comma stands in the number; write a decimal point, and nothing between thousands"
NO_VOLUME = "no number stands at the start; a volume is a number and its unit"
PRESSURES = "a number and one of bar, psi, kPa, MPa, kgf/cm², mmHg, cmH₂O, atm"


def convert(number: str, unit: str, to: str) -> Decimal:
    return from_si(to_si(Decimal(number), SPELLINGS[unit]), SPELLINGS[to])


def read_or_refusal(kind: type[units.Quantity], text: str) -> units.Quantity | units.UnitError:
    try:
        return kind.read(text)
    except units.UnitError as error:
        return error


@pytest.mark.parametrize("row", [row for row in rows("units.csv") if not row["finding"]], ids=row_id)
def test_units_are_as_large_as_defined(row: dict[str, str]) -> None:
    """Each unit agrees with its definition, and with the tables that are rounded from it."""
    found = convert(row["given"], row["given_unit"], row["unit"])
    assert float(row["published"]) == pytest.approx(float(found), rel=float(row["tolerance"]), abs=0)


@pytest.mark.parametrize("row", [row for row in rows("units.csv") if row["finding"]], ids=row_id)
def test_tables_that_disagree_with_the_definition(row: dict[str, str]) -> None:
    """Where a book sets two figures equal that are not, the definition holds, and the row says why."""
    found = convert(row["given"], row["given_unit"], row["unit"])
    assert float(row["published"]) != pytest.approx(float(found), rel=float(row["tolerance"]), abs=0)
    assert float(row["published"]) == pytest.approx(float(found), rel=0.01), "a finding, not a blunder"


def test_mmhg_is_not_torr() -> None:
    """The conventional mmHg is 1.42 parts in 10⁷ more than atm/760 (UNI-031, derived from the definitions)."""
    torr = Fraction(101325, 760)
    mmhg = Fraction(Decimal("133.322387415"))
    assert 1.424663212435233160622e-7 == pytest.approx(float(mmhg / torr - 1), rel=1e-9)
    assert float(mmhg) == pytest.approx(to_si(Decimal(1), SPELLINGS["mmHg"]), rel=1e-12)


def test_absolute_is_gauge_and_ambient() -> None:
    """p_abs = p_gauge + p_ambient (UNI-043, common practice, from memory)."""
    assert 13_801_325.0 == absolute(GaugePa(137e5), AbsolutePa(101_325.0))


@pytest.mark.parametrize("spelling", SPELLINGS)
def test_every_spelling_there_and_back(spelling: str) -> None:
    """A number of any unit comes back from SI units as it went in, to the last figures of a float."""
    unit = SPELLINGS[spelling]
    for number in ("0", "0.1", "1", "137", "-40", "12000"):
        there = to_si(Decimal(number), unit)
        assert float(number) == pytest.approx(float(from_si(there, unit)), rel=1e-12, abs=1e-12)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_reads_each_of_its_units_and_no_other(kind: type[units.Quantity]) -> None:
    """A kind takes all units of its dimension that count from where it counts, and refuses the rest by its code."""
    told = kind.allowed().removeprefix("a number and one of ").split(", ")
    for spelling, unit in SPELLINGS.items():
        text = f"0.5 {spelling}" if unit.dimension != "temperature" else f"{kind.example.split()[0]} {spelling}"
        if unit.symbol in told:
            read = read_or_refusal(kind, text)
            assert unit == read.unit if isinstance(read, units.Quantity) else read.code == "E108"
        else:
            with pytest.raises(units.UnitError) as refused:
                kind.read(text)
            assert refused.value.code in ("E106", "E107")


@pytest.mark.parametrize("kind", KINDS)
def test_every_example_reads(kind: type[units.Quantity]) -> None:
    """The example that a message gives is one that is read."""
    assert kind.example.split()[0] == str(kind.read(kind.example).number)


@pytest.mark.parametrize(("slip", "meant"), units._SLIPS.items())
def test_slips_are_refused_with_a_unit_that_is_read(slip: str, meant: str) -> None:
    """What people commonly write is no spelling, and what is suggested in its place is one."""
    assert slip not in SPELLINGS
    assert meant in SPELLINGS


@pytest.mark.parametrize(
    ("kind", "text", "code", "wrong", "allowed", "suggestion"),
    [
        (units.Volume, "", "E101", NO_VOLUME, VOLUMES, ""),
        (units.Volume, "NaN L", "E101", NO_VOLUME, VOLUMES, ""),
        (units.Volume, "inf L", "E101", NO_VOLUME, VOLUMES, ""),
        (units.Volume, "½ L", "E101", NO_VOLUME, VOLUMES, ""),
        (units.Volume, "٤ L", "E101", NO_VOLUME, VOLUMES, ""),
        (units.AbsolutePressure, "one bar", "E101",
         "no number stands at the start; an absolute pressure is a number and its unit",
         PRESSURES + ", psia, bar abs, kPa abs", ""),
        (units.Temperature, "−5 °C", "E101", "the minus sign of print is not read here",
         "a number and one of °C, °F, K", "-5 °C"),
        (units.Volume, "1e300 L", "E101", IN_DIGITS, VOLUMES, ""),
        (units.Volume, "1×10³ L", "E101", IN_DIGITS, VOLUMES, ""),
        (units.Volume, "10³ L", "E101", IN_DIGITS, VOLUMES, ""),
        (units.Volume, "1.2.3 L", "E101", IN_DIGITS, VOLUMES, ""),
        (units.Volume, "1" + "0" * 300 + " L", "E101", "this is too long for one volume with its unit", VOLUMES, ""),
        (units.Volume, "1,5 L", "E102", COMMA, VOLUMES, ""),
        (units.GaugePressure, "13,700 kPa", "E102", COMMA, PRESSURES + ", psig", ""),
        (units.GaugePressure, "137, 5 bar", "E102", COMMA, PRESSURES + ", psig", ""),
        (units.Volume, "4 , 68 L", "E102", COMMA, VOLUMES, ""),
        (units.Volume, "1 000 L", "E103", IN_PIECES, VOLUMES, ""),
        (units.Volume, "1\u00a0000 L", "E103", IN_PIECES, VOLUMES, ""),
        (units.Volume, "1'000 L", "E103", IN_PIECES, VOLUMES, ""),
        (units.Volume, "4.68", "E104", "the unit is missing; without it this is no volume", VOLUMES, ""),
        (units.Temperature, "20 C", "E105", "C is not a unit that is read here", "a number and one of °C, °F, K", "°C"),
        (units.GaugePressure, "137 BAR.", "E105", "BAR. is not a unit that is read here", PRESSURES + ", psig", "bar"),
        (units.AbsolutePressure, "1013 hPa", "E105", "hPa is not a unit that is read here",
         PRESSURES + ", psia, bar abs, kPa abs", ""),
        (units.AbsolutePressure, "1013 mbar", "E105", "mbar is not a unit that is read here",
         PRESSURES + ", psia, bar abs, kPa abs", ""),
        (units.Duration, "5 min 30 s", "E105", "min 30 s is not a unit that is read here",
         "a number and one of min, h, s", ""),
        (units.Volume, "2 bar", "E106", "bar measures a pressure; this is to be a volume", VOLUMES, ""),
        (units.GaugePressure, "2000 psia", "E107", "psia counts a pressure as absolute; this is to be a gauge pressure",
         PRESSURES + ", psig", ""),
        (units.AbsolutePressure, "0 psig", "E107",
         "psig counts a pressure as gauge; this is to be an absolute pressure",
         PRESSURES + ", psia, bar abs, kPa abs", ""),
        (units.PressureDifference, "5 psig", "E107", "a difference of pressures is neither gauge nor absolute: psig",
         PRESSURES, ""),
        (units.GaugePressure, "-1 bar", "E108", "no gauge pressure here can be -1 bar", "0 bar to 1000 bar", ""),
        (units.Temperature, "293 °C", "E108", "no temperature here can be 293 °C", "-60 °C to 100 °C", ""),
        (units.AbsolutePressure, "0 bar", "E108", "no absolute pressure here can be 0 bar", "0.3 bar to 1000 bar", ""),
        (units.Share, "120 %", "E108", "no percentage here can be 120 %", "0 % to 100 %", ""),
    ],
)  # fmt: skip
def test_what_is_refused_is_told(
    kind: type[units.Quantity], text: str, code: str, wrong: str, allowed: str, suggestion: str
) -> None:
    """Each slip of an author has its code, what is wrong, what is allowed, an example and a likely meaning."""
    with pytest.raises(units.UnitError) as refused:
        kind.read(text)
    error = refused.value
    assert (code, wrong, allowed, kind.example, suggestion) == (
        error.code, error.wrong, error.allowed, error.example, error.suggestion
    )  # fmt: skip


def test_gauge_absolute_and_difference_give_pascals_of_their_own() -> None:
    """The three kinds of pressure read the same number and hand it out under types of their own."""
    assert 13_700_000.0 == units.GaugePressure.read("137 bar").pa
    assert 101_325.0 == units.AbsolutePressure.read("101.325 kPa").pa
    assert 500_000.0 == units.PressureDifference.read("5 bar").pa


def test_a_difference_of_temperatures_has_no_zero() -> None:
    """9 °F is −12.8 °C on a thermometer, and 5 K as a difference (exact by definition)."""
    assert 5.0 == pytest.approx(units.TemperatureDifference.read("9 °F").k, rel=1e-12)
    assert 260.3722222222 == pytest.approx(units.Temperature.read("9 °F").k, rel=1e-12)


def test_each_kind_hands_out_si_units() -> None:
    """Each kind gives its value under a name that carries the unit."""
    assert 0.00468 == pytest.approx(units.Volume.read("4.68 L").m3, rel=1e-15)
    assert 5.4 == units.Mass.read("5.40 kg").kg
    assert 1e-4 == pytest.approx(units.Flow.read("6 L/min").m3_per_s, rel=1e-15)
    assert 900.0 == units.Duration.read("15 min").s
    assert 1600.0 == units.Length.read("1600 m").m
    assert 0.1 == units.Share.read("10 %").fraction


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("137bar", "137\u00a0bar"),
        ("  137\u202fbar ", "137\u00a0bar"),
        ("13700 kPa", "13\u202f700\u00a0kPa"),
        ("1987 psig", "1987\u00a0psig"),
        ("0.50 bar", "0.50\u00a0bar"),
        ("+5 bar", "5\u00a0bar"),
        ("140 kgf/cm2", "140\u00a0kgf/cm²"),
    ],
)
def test_a_quantity_is_shown_as_written_and_held_together(text: str, shown: str) -> None:
    """Readers see the author's own number and unit, in threes from five digits on, never broken over two lines."""
    assert shown == units.GaugePressure.read(text).text


def test_below_zero_is_shown_with_a_true_minus() -> None:
    """A minus sign of print, and no minus before nought."""
    assert "−5\u00a0°C" == units.Temperature.read("-5 °C").text
    assert "0\u00a0°C" == units.Temperature.read("-0 °C").text


@pytest.mark.parametrize(
    ("number", "shown"),
    [
        ("1234567.891", "1\u202f234\u202f567.891"),
        ("9999", "9999"),
        ("10000", "10\u202f000"),
        ("1E+2", "100"),
        ("1E-7", "0.0000001"),
    ],
)
def test_numbers_are_grouped_from_five_digits_on(number: str, shown: str) -> None:
    """Plain digits, in groups of three with a small space (ISO 80000-1:2009, clause 7.3.1, from memory)."""
    assert shown == units.group(Decimal(number))


def test_an_si_value_is_shown_in_a_readers_unit() -> None:
    """Rounded to a step of that unit, the way asked for (137.04 bar are 1987.6 psi, by the definition of the psi)."""
    assert "137.0\u00a0bar" == units.shown(137.04e5, "bar", "0.1")
    assert "2000\u00a0psi" == units.shown(137.04e5, "psi", "100", Rounding.UP)


def test_no_reader_is_shown_what_is_no_number() -> None:
    """A value that is not finite is a fault of the program, not a number on a page."""
    for value in (math.nan, math.inf, -math.inf):
        with pytest.raises(ValueError, match=r"^(nan|inf|-inf) is no number that a reader could be shown$"):
            from_si(value, SPELLINGS["bar"])


def test_a_step_is_above_nought() -> None:
    """There are no multiples of a step of 0."""
    with pytest.raises(ValueError, match=r"^a step is above 0$"):
        units.round_to(Decimal(1), Decimal(0), Rounding.UP)


numbers = st.decimals(min_value=-100_000, max_value=100_000, places=6)


@given(number=numbers, unit=st.sampled_from(units.UNITS), difference=st.booleans())
def test_law_converting_there_and_back(number: Decimal, unit: units.Unit, difference: bool) -> None:
    """Whatever goes to SI units comes back, to the figures that a float keeps beside the unit's zero."""
    there = to_si(number, unit, difference=difference)
    back = from_si(there, unit, difference=difference)
    assert float(number) == pytest.approx(float(back), rel=1e-12, abs=1e-9)


@given(value=numbers, step=st.decimals(min_value="0.01", max_value=1000, places=2))
def test_law_rounding_never_goes_the_wrong_way(value: Decimal, step: Decimal) -> None:
    """Down is at or below, up at or above, nearest within half a step; each a whole multiple within one step."""
    modes = (Rounding.DOWN, Rounding.UP, Rounding.NEAREST)
    down, up, nearest = (units.round_to(value, step, mode) for mode in modes)
    assert down <= value < down + step
    assert up - step < value <= up
    assert abs(nearest - value) * 2 <= step
    assert all(rounded % step == 0 for rounded in (down, up, nearest))


@given(text=st.text(max_size=50))
def test_law_any_text_is_a_quantity_or_told(text: str) -> None:
    """No text makes a kind fail otherwise than with its own refusal."""
    read = read_or_refusal(units.Volume, text)
    assert 0 <= read.si <= 100 if isinstance(read, units.Quantity) else read.wrong

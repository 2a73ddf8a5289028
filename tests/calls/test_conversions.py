"""The family units: conversions, and numbers that are typed on purpose."""

from __future__ import annotations

import random
from decimal import Decimal

import pytest

from calls_of import cell_of, result_of, told, working_of
from published import rows
from yokebook import units
from yokebook.calls.conversion import convert_to
from yokebook.calls.quantities import any_quantity


@pytest.mark.parametrize(
    "row", rows("pressures_in_other_units.csv"), ids=lambda row: f"{row['id']} {row['given']} {row['unit']}"
)
def test_published_conversions_come_out(row: dict[str, str]) -> None:
    """Each pressure that a source gives in two units; the rows name source, tolerance and finding."""
    cell = cell_of(f'convert(value="{row["given"]} {row["unit"]}", to="{row["published_unit"]}")')
    tolerance = Decimal(row["tolerance_percent"]) / 100
    if row["finding"]:
        assert abs(Decimal(row["published"]) / cell.nominal - 1) > tolerance
    else:
        assert Decimal(row["published"]) == pytest.approx(cell.nominal, rel=tolerance)


@pytest.mark.parametrize(
    ("value", "to", "shown"),
    [
        ("137 bar", "psi", "137\u00a0bar (1990\u00a0psi)"),  # 3 figures given: 1987.02 (computed from the definition)
        ("2000 psi", "bar", "2000\u00a0psi (137.9\u00a0bar)"),
        ("1900 psi", "bar", "1900\u00a0psi (131\u00a0bar)"),
        ("45 psi", "bar", "45\u00a0psi (3.10\u00a0bar)"),
        ("4.68 L", "ft³", "4.68\u00a0L (0.1653\u00a0ft³)"),
        ("5.40 kg", "lb", "5.40\u00a0kg (11.90\u00a0lb)"),
        ("1 kg", "lb", "1\u00a0kg (2.20\u00a0lb)"),
        ("6 L/min", "L/h", "6\u00a0L/min (360\u00a0L/h)"),
        ("1 h", "min", "1\u00a0h (60\u00a0min)"),
        ("1.50 MPa", "bar", "1.50\u00a0MPa (15.0\u00a0bar)"),
        ("13700 kPa", "bar", "13\u202f700\u00a0kPa (137\u00a0bar)"),
        ("999 mL/min", "L/min", "999\u00a0mL/min (0.999\u00a0L/min)"),
        ("2.9999 psi", "kPa", "2.9999\u00a0psi (20.684\u00a0kPa)"),
        ("6.8900 bar", "psi", "6.8900\u00a0bar (99.931\u00a0psi)"),
        ("6.8947 bar", "psi", "6.8947\u00a0bar (99.999\u00a0psi)"),
        ("0.689475729 bar", "psi", "0.689475729\u00a0bar (10.0000000\u00a0psi)"),
        ("0 bar", "psi", "0\u00a0bar (0\u00a0psi)"),
        ("70 °F", "°C", "70\u00a0°F (21\u00a0°C)"),
        ("-40 °C", "°F", "−40\u00a0°C (−40\u00a0°F)"),
        ("15.5 °C", "K", "15.5\u00a0°C (288.6\u00a0K)"),
        ("14.7 psia", "bar abs", "14.7\u00a0psia (1.01\u00a0bar abs)"),
        ("45 psig", "kPa", "45\u00a0psig (310\u00a0kPa)"),
    ],
)
def test_a_conversion_has_no_more_figures_than_its_value_bears(value: str, to: str, shown: str) -> None:
    """Figures as given, one more where the first grows smaller (NIST SP 811, B.7.2, from memory), at least 3."""
    assert shown == cell_of(f'convert(value="{value}", to="{to}")').text


def test_a_conversion_is_never_far_from_the_value() -> None:
    """Of 2000 random values none is moved by more than 0.5 %, or by what half of its last figure may mean."""
    dice = random.Random(20260302)
    pairs = [("bar", "psi"), ("psi", "kPa"), ("L", "ft³"), ("kg", "lb"), ("mL/min", "L/h"), ("min", "h"), ("m", "ft")]
    for _ in range(2000):
        unit, other = dice.choice(pairs)
        places = dice.randrange(4)
        number = Decimal(dice.randrange(1, 10 ** dice.randrange(1, 4))).scaleb(-places)
        found = convert_to(any_quantity(f"{number:f} {unit}"), units.SPELLINGS[other])
        moved = abs(found.shown / found.exact - 1)
        assert moved <= Decimal("0.005")
        if places:
            half = Decimal("0.5").scaleb(-places) / number
            assert moved <= max(half, Decimal("0.005"))


def test_the_working_of_a_conversion_can_be_followed_by_hand() -> None:
    """Number times factor, plus offset where the units have another zero."""
    pressure = working_of('convert(value="137 bar", to="psi")')
    assert "137 × 14.50377377 = 1987.017007\u00a0psi, shown as 1990\u00a0psi." in pressure
    assert "A gauge pressure stays a gauge pressure." in pressure
    warmth = working_of('convert(value="20 °C", to="°F")')
    assert "20 × 1.8 + 32 = 68\u00a0°F, shown as 68\u00a0°F." in warmth
    assert "Rounding: to the nearest, to as many decimal places as the value has." in warmth
    assert "20 × 0.5555555556 − 17.77777778 = −6.666666667\u00a0°C, shown as −7\u00a0°C." in working_of(
        'convert(value="20 °F", to="°C")'
    )


TABLE = 'conversion_table(first="20 bar", last="140 bar", step="40 bar", to=["psi", "kPa"])'


def test_the_whole_of_a_conversion_table() -> None:
    """Caption, heads, rows and condition, to the letter."""
    assert {
        "caption": "Gauge pressure: bar in psi and kPa",
        "condition": "Rounding: to the nearest, to as many figures as the value has, one more where the first figure "
        "grows smaller, and at least 3. Read no threshold off here: where one is given, it is rounded up. A gauge "
        "pressure "
        "stays a gauge pressure.",
        "heads": ["bar", "psi", "kPa"],
        "rows": [
            ["20", "290", "2000"],
            ["60", "870", "6000"],
            ["100", "1450", "10\u202f000"],
            ["140", "2030", "14\u202f000"],
        ],
        "cautions": [],
    } == result_of(TABLE).as_read


def test_a_table_of_listed_values_keeps_their_order() -> None:
    """Values as the author lists them; a last row that the steps do not meet is left out."""
    listed = result_of('conversion_table(values=["70 °F", "32 °F"], to=["°C"])').as_read
    assert [["70", "21"], ["32", "0"]] == listed["rows"]
    stepped = result_of('conversion_table(first="0 L", last="5 L", step="2 L", to=["mL"])').as_read
    assert [["0", "0"], ["2", "2000"], ["4", "4000"]] == stepped["rows"]


@pytest.mark.parametrize(
    ("call", "codes"),
    [
        ('convert(value="137", to="psi")', ["E104"]),
        ('convert(value="1,5 L", to="ft³")', ["E102"]),
        ('convert(value="20 C", to="F")', ["E105", "E105"]),
        ('convert(value="-5 bar", to="psi")', ["E108"]),
        ('convert(value="137 bar", to="L")', ["E106"]),
        ('convert(value="137 bar", to="psia")', ["E107"]),
        ('convert(value="14.7 psia", to="bar")', ["E107"]),
        ('convert(value="137 bar", to="bar")', ["E551"]),
        ('convert(value="137 bar", to="2 psi")', ["E103"]),
        ('convert(value="137 bar")', ["E202"]),
        ('conversion_table(to=["psi"])', ["E529"]),
        ('conversion_table(values=["1 bar"], step="1 bar", to=["psi"])', ["E529"]),
        ('conversion_table(first="1 bar", to=["psi"])', ["E529"]),
        ('conversion_table(values=[], to=["psi"])', ["E529"]),
        ('conversion_table(values=["1 bar"], to=[])', ["E529"]),
        ('conversion_table(values=["1 bar", "2 psi"], to=["psi"])', ["E551"]),
        ('conversion_table(values=["1 bar"], to=["L", "psia", "psi"])', ["E106", "E107"]),
        ('conversion_table(first="1 bar", last="0 bar", step="0 bar", to=["psi"])', ["E108", "E212"]),
        ('conversion_table(first="0 bar", last="160 bar", step="10 bar", to=["psi"])', ["E529"]),
    ],
)
def test_what_cannot_be_converted_is_refused(call: str, codes: list[str]) -> None:
    """Each mistake with its code; those that do not hang on one another in one run."""
    assert codes == sorted(code for code, *_ in told(call))


def test_messages_about_conversions_say_what_to_write() -> None:
    """The whole of three messages."""
    assert [
        (
            "E106",
            "L measures a volume, and 137\u00a0bar is a pressure",
            "psi, kPa, MPa, kgf/cm², mmHg, cmH₂O, atm, psig",
            'to="psi"',
        )
    ] == told('convert(value="137 bar", to="L")')
    assert [
        (
            "E529",
            "0\u00a0bar to 160\u00a0bar makes 17 rows in steps of 10\u00a0bar",
            "a step that makes at most 16 rows",
            'step="20 bar"',
        )
    ] == told('conversion_table(first="0 bar", last="160 bar", step="10 bar", to=["psi"])')
    assert [
        (
            "E529",
            "of first, last and step only first and step stand here",
            "values= with a list, or first=, last= and step=",
            'values=["50 bar", "100 bar"]',
        )
    ] == told('conversion_table(first="1 bar", step="2 bar", to=["psi"])')


@pytest.mark.parametrize(
    ("text", "quantities"),
    [
        ("40 to 45 psi", ["40 psi", "45 psi"]),
        ("40-45 psi", ["40 psi", "45 psi"]),
        ("40–45\u00a0psi, for 5 min", ["40 psi", "45 psi", "5 min"]),
        ("1.5 and 2 L or 3 L", ["1.5 L", "2 L", "3 L"]),
        ("from −20 °C to +40 °C", ["-20 °C", "40 °C"]),
        ("100 mL/min of O2 (CYL-01).", ["100 mL/min"]),
        ("14.7 psia", ["14.7 psia"]),
        ("1.01 bar abs", ["1.01 bar abs"]),
        ("10 % more", ["10 %"]),
        ("20 cmH2O", ["20 cmH₂O"]),
    ],
)
def test_each_number_of_a_typed_text_goes_to_the_list(text: str, quantities: list[str]) -> None:
    """With its unit, the first of a range with the unit of the second; the text stands as it was typed."""
    result = result_of(f'typed(text="{text}", why="the manual says so")')
    assert result.numbers is not None
    (cells,) = result.numbers.cells
    assert quantities == [f"{cell.value} {unit}" for cell, unit in zip(cells, result.numbers.unit, strict=True)]
    assert f'<span class="yb-value">{text}</span>' == result.html


def test_the_reason_for_a_typed_number_stands_in_its_working() -> None:
    """Reason, each number read, and that it does not follow the data."""
    assert [
        "Why it is typed: the manual says so (in the call)",
        "Number read: 40\u00a0psi (in the call)",
        "Number read: 45\u00a0psi (in the call)",
        "This stands as its author typed it. It does not follow when the department's data change.",
    ] == working_of('typed(text="40 to 45 psi", why="the manual says so")')


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("as the manual says", ["E552"]),
        ("O2 by CYL-01", ["E552"]),
        ("2-5", ["E104"]),
        ("40 to 45", ["E104"]),
        ("after 2 tries", ["E105"]),
        ("5 L/s", ["E105"]),
        ("1,5 L", ["E102"]),
        ("1 500 L", ["E103"]),
        ("20 C, 45 Psi", ["E105", "E105"]),
        ("−5 bar", ["E108"]),
    ],
)
def test_a_typed_text_that_cannot_be_read_is_refused(text: str, codes: list[str]) -> None:
    """Without a number, with one that has no unit, or with one that is not known."""
    found = [code for code, *_ in told(f'typed(text="{text}", why="the manual says so")')]
    assert codes == sorted(found)


def test_a_typed_text_needs_a_reason() -> None:
    """Three words at least, or none of it goes through."""
    assert ["E202"] == [code for code, *_ in told('typed(text="45 psi")')]
    assert ["E229"] == [code for code, *_ in told('typed(text="45 psi", why="manual")')]


def test_a_message_about_a_typed_text_names_the_number() -> None:
    """Which of the numbers, what is wrong, and a whole example."""
    ((_, wrong, _, example),) = told('typed(text="45 psi or 3 Bar", why="the manual says so")')
    assert "at 3 Bar: Bar is not a unit that is read here" == wrong
    assert 'text="40 to 45 psi"' == example

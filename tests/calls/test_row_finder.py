"""Which tables let a reader find the row of a reading, and that the row found never promises more than is true."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest

from calls_of import cell_of, department, result_of
from yokebook.calls.dial import dial_face

ONE = 'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "bag-low-flow"])'
IN_PSI = 'reserve_table(cylinder="oxygen-e", machine="scanner-1", flows=["2 L/min"])'
IN_KPA = 'reserve_table(cylinder="oxygen-transfer", flows=["10 L/min", "2 L/min"])'
MIXTURE = 'reserve_table(cylinder="fifty-fifty-d", uses=["demand-valve"])'
BOTH = 'machine_reserve_table(machine="theatre-1", uses=["bellows"], spare="100 bar")'
WITHOUT = (
    'leave_with_table(cylinder="oxygen-transfer", uses=["mask"], times=["10 min", "20 min"])',
    'gauge_table(gauge="yoke-oxygen")',
    'vapour_table(cylinder="nitrous-oxide-e", machine="theatre-1", flows=["2 L/min"])',
    'weight_table(cylinder="nitrous-oxide-e", scale="store-scale", flows=["2 L/min"])',
    'indicator_table(machine="theatre-1", uses=["bellows"])',
    'conversion_table(values=["100 bar", "50 bar"], to=["psi"])',
)


def finder_of(call: str) -> tuple[dict[str, str], list[str]]:
    """Return what a table says of its dial and cylinder, and the reading of each of its rows."""
    html = result_of(call).html
    table = re.search("<table[^>]*>", html)
    assert table
    return dict(re.findall(r'data-(\w+)="([^"]*)"', table[0])), re.findall(r'<tr data-reading="([^"]*)">', html)


def test_a_table_says_whose_dial_it_is_in_its_own_unit() -> None:
    """Machine and gas, unit, both ends of the scale, and the most that a full cylinder in the warm may show.

    By hand, as an ideal gas: 137 bar (1987 psi) at 15 °C is 2063 psi at 26 °C; the dial may read 1.6 % of 3000 psi and
    2 % of the reading, 90 psi, too high, and be read half a mark, 50 psi, too high: some 2203 psi, and the next mark is
    2300.
    """
    about, readings = finder_of(IN_PSI)
    assert {
        "whose": "scanner-1",
        "what": "oxygen",
        "unit": "psi",
        "low": "0",
        "high": "3000",
        "highest": "2300",
    } == about
    assert [str(reading) for reading in range(2000, 0, -200)] == readings


@pytest.mark.parametrize("call", [IN_PSI, ONE, IN_KPA, BOTH])
def test_all_that_the_finder_is_told_is_read_and_listed(call: str) -> None:
    """An approval covers it: whose dial it is and of what, both ends of its scale, the most that is shown."""
    result = result_of(call)
    about, _ = finder_of(call)
    told = "{whose}, {what}: the dial goes from {low}\u00a0{unit} to {high}\u00a0{unit}, a full cylinder comes to "
    told += "{highest}\u00a0{unit} at most"
    assert result.numbers
    assert (told.format(**about),) * 2 == (result.as_read["finder"], result.numbers.texts["finder"])


def test_the_row_for_all_below_has_no_reading() -> None:
    """Whatever lies below the lowest reading named is found there."""
    _, readings = finder_of(ONE)
    assert ["140", "120", "100", "80", "60", "40", "20"] == readings


def test_a_dial_with_a_multiplier_is_read_as_it_is_printed() -> None:
    """Hundreds of kPa: 200, and not 20000."""
    about, readings = finder_of(IN_KPA)
    assert ("cylinder stamped 2.0\u00a0L", "kPa\u00a0×\u00a0100", "315") == (
        about["whose"],
        about["unit"],
        about["high"],
    )
    assert "200" == readings[0]


def test_the_table_of_several_cylinders_says_which_one_is_read() -> None:
    """The one in use; its spares count at the reading in the caption."""
    about, readings = finder_of(BOTH)
    assert "oxygen, the cylinder in use" == about["what"]
    assert "" not in readings


@pytest.mark.parametrize("call", WITHOUT)
def test_where_the_lower_row_is_not_the_safe_one_there_is_no_finder(call: str) -> None:
    """Planned times, errors of a dial, weights, lamps and conversions are not found by a reading of the dial.

    Nor is a liquefied gas: while liquid is left its reading says nothing of the contents.
    """
    assert "data-" not in result_of(call).html


@pytest.mark.parametrize("call", [ONE, IN_PSI, IN_KPA, MIXTURE, BOTH])
def test_each_row_has_the_reading_at_its_head(call: str) -> None:
    """What a program reads is what a reader reads; the row for all below has no reading of its own."""
    _, readings = finder_of(call)
    numbers = result_of(call).numbers
    assert numbers is not None
    heads = [re.sub(r"\s", "", head) for head in numbers.rows]
    assert ["" if head.startswith("below") else head for head in heads] == readings
    exact = [Decimal(reading) for reading in readings if reading]
    assert sorted(set(exact), reverse=True) == exact


@pytest.mark.parametrize(
    ("table", "gauge", "single"),
    [
        (ONE, "yoke-oxygen", 'duration(cylinder="oxygen-e", machine="theatre-1", use="bellows", reading="{}")'),
        (IN_PSI, "yoke-oxygen-psi", 'duration(cylinder="oxygen-e", machine="scanner-1", flow="2 L/min", reading="{}")'),
        (IN_KPA, "integral-dial", 'duration(cylinder="oxygen-transfer", flow="10 L/min", reading="{}")'),
        (MIXTURE, "integral-dial-fifty-fifty", 'duration(cylinder="fifty-fifty-d", use="demand-valve", reading="{}")'),
    ],
)
def test_the_row_at_or_below_a_reading_promises_no_more_than_the_reading_itself(
    table: str, gauge: str, single: str
) -> None:
    """At every half scale interval, up to the highest that a cylinder may show; below all rows nothing is promised."""
    about, readings = finder_of(table)
    numbers = result_of(table).numbers
    assert numbers is not None
    dial = dial_face(department().gauges[gauge])
    first_cells = [row[0].value for row in numbers.cells]
    rows = [(Decimal(reading or 0), value) for reading, value in zip(readings, first_cells, strict=True)]
    printed = dial.interval / 2
    tried = 0
    while printed <= Decimal(about["highest"]):
        promised = next((value for reading, value in rows if reading <= printed), Decimal(0))
        exact = cell_of(single.format(dial.as_quantity(printed))).value
        assert promised is not None
        assert exact is not None
        assert promised <= exact, printed
        tried += 1
        printed += dial.interval / 2
    assert 20 < tried


def test_the_row_of_the_cylinder_in_use_promises_no_more_than_its_reading() -> None:
    """The same for all cylinders of a machine in turn."""
    _, readings = finder_of(BOTH)
    numbers = result_of(BOTH).numbers
    assert numbers is not None
    at = {Decimal(reading): row[0].value for reading, row in zip(readings, numbers.cells, strict=True)}
    for step in (5, 10, 15):
        asked = ", ".join(f'"{reading + step} bar"' for reading in at)
        exact = result_of(BOTH.replace(")", f", readings=[{asked}])")).numbers
        assert exact is not None
        for head, row in zip(exact.rows, exact.cells, strict=True):
            promised = at[max(reading for reading in at if reading <= Decimal(head))]
            assert promised is not None
            assert row[0].value is not None
            assert promised <= row[0].value, head

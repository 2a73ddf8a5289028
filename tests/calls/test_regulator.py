"""What a machine's regulator gives, from two measured outlets."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from calls_of import copy_fleet, result_of, told, working_of
from demo_site import change
from published import rows

CALL = 'regulator_table(machine="theatre-1", gas="oxygen")'
MEASURED = "measured_outlets: [{inlet: 130 bar, outlet: 3.08 bar}, {inlet: 30 bar, outlet: 2.82 bar}]"


def measured(folder: Path, high: str, low: str) -> Path:
    """Return a demo whose theatre machine was measured otherwise, a pair `inlet: ..., outlet: ...` each."""
    copy_fleet(folder)
    change(folder / "content/data/machines.yaml", MEASURED, f"measured_outlets: [{{{low}}}, {{{high}}}]")
    return folder


def test_what_a_reader_reads() -> None:
    """The whole table of the demo's machine: 3.08 to 2.82 bar, the pipeline at 50 psi (3.447 bar) or more."""
    assert {
        "caption": "What the regulator of yoke 1 (oxygen) on theatre-1 gives, by the gauge of its cylinder, for "
        "dials that "
        "end at 250\xa0bar",
        "condition": "Inlet pressure opens the seat: the outlet falls as the cylinder empties, as measured: "
        "3.08\xa0bar at "
        "130\xa0bar, 2.82\xa0bar at 30\xa0bar. Between the two a straight line, rounded to the nearest. The pipeline "
        "is taken at its low value, 50\xa0psi.",
        "heads": ["Reading (bar)", "Outlet", "Below the pipeline by at least"],
        "rows": [
            ["130", "3.08\xa0bar", "0.32\xa0bar"],
            ["120", "3.05\xa0bar", "0.35\xa0bar"],
            ["100", "3.00\xa0bar", "0.40\xa0bar"],
            ["80", "2.95\xa0bar", "0.45\xa0bar"],
            ["60", "2.90\xa0bar", "0.50\xa0bar"],
            ["40", "2.85\xa0bar", "0.56\xa0bar"],
            ["30", "2.82\xa0bar", "0.58\xa0bar"],
        ],
        "cautions": [
            "WARNING: Beyond the two measured readings nothing is told: a nearly empty cylinder no longer holds the "
            "outlet.",
            "NOTICE: The pipeline (50\xa0psi or more) stays above the outlet at each reading of this table, so the "
            "machine takes it first. Close the cylinder all the same: where the pipeline fails, an open one empties "
            "unseen.",
            "NOTICE: These are outlets as measured, at one flow. With less flow a regulator's outlet stands higher, "
            "and so nearer to the pipeline; with more, lower.",
        ],
    } == result_of(CALL).as_read


@pytest.mark.parametrize("row", rows("regulator_examples.csv"), ids=lambda row: f"{row['id']} {row['inlet_bar']}")
def test_a_teaching_example_measured_at_its_ends_comes_out(row: dict[str, str], tmp_path: Path) -> None:
    """A regulator of a book (set to 3.10 bar at 137 bar), as if measured at 137 and 10 bar, gives its outlet between.

    A full cylinder of 137 bar is what the examples are for; each row names its source and tolerance.
    """
    ends = {one["inlet_bar"]: one["outlet_bar"] for one in rows("regulator_examples.csv") if _same(one, row)}
    folder = measured(tmp_path / "site", "inlet: 137 bar, outlet: 3.10 bar", f"inlet: 10 bar, outlet: {ends['10']} bar")
    table = result_of(CALL, folder)
    assert ("opens the seat" if row["kind"] == "INLET_OPENS" else "closes the seat") in table.as_read["condition"]
    outlets = {float(reading): float(outlet.split("\xa0")[0]) for reading, outlet, _ in table.as_read["rows"]}
    inlet, outlet = float(row["inlet_bar"]), float(row["outlet_bar"])
    above, below = min(at for at in outlets if at >= inlet), max(at for at in outlets if at <= inlet)
    share = (inlet - below) / (above - below) if above > below else 0.0
    assert outlet == pytest.approx(outlets[below] + share * (outlets[above] - outlets[below]), abs=0.012)


def _same(one: dict[str, str], other: dict[str, str]) -> bool:
    return one["id"] == other["id"]


@pytest.mark.parametrize(
    ("high", "low", "says"),
    [
        ("3.08", "2.82", "Inlet pressure opens the seat: the outlet falls as the cylinder empties"),
        ("2.82", "3.08", "Inlet pressure closes the seat: the outlet rises as the cylinder empties"),
        ("3.00", "3.00", "Inlet pressure does not move the seat: the outlet stays as the cylinder empties"),
    ],
)
def test_what_the_inlet_does_to_the_seat_is_said(high: str, low: str, says: str, tmp_path: Path) -> None:
    """Never "direct-acting" alone, which means opposite things in different books."""
    folder = measured(tmp_path / "site", f"inlet: 130 bar, outlet: {high} bar", f"inlet: 30 bar, outlet: {low} bar")
    read = result_of(CALL, folder).as_read
    assert read["condition"].startswith(says)
    assert "acting" not in str(read)


def test_an_outlet_that_comes_to_the_pipeline_is_warned_of(tmp_path: Path) -> None:
    """3.44 bar is 49.9 psi, less than 50 but not surely: no number, a word, and a warning."""
    folder = measured(tmp_path / "site", "inlet: 130 bar, outlet: 3.44 bar", "inlet: 30 bar, outlet: 3.00 bar")
    read = result_of(CALL, folder).as_read
    assert "not surely below" == read["rows"][0][2]
    assert "bar" in read["rows"][-1][2]
    assert (
        "WARNING: The pipeline may be as low as 50\xa0psi, not surely above the outlet at each reading of this "
        "table: an open cylinder may empty while the pipeline holds. Keep it closed."
    ) == read["cautions"][1]


def test_what_lies_below_the_pipeline_is_never_more_than_anywhere_within_the_tolerances() -> None:
    """The gauge 8.65 bar out (class 2.5, 2 bar found, 4 K from 20 °C), both outlets half a hundredth of a bar "
    "higher."""
    for reading, _, margin in result_of(CALL).as_read["rows"]:
        true = float(reading) + 8.65
        outlet = 2.825 + (3.085 - 2.825) * (true - 30) / 100
        assert float(margin.split("\xa0")[0]) <= 50 * 0.06894757 - outlet


def test_a_machine_without_a_pipeline_has_no_such_column(tmp_path: Path) -> None:
    """The cylinder alone feeds it, and the table says so; its dial reads in psi, its outlets were measured in psi."""
    folder = copy_fleet(tmp_path / "site")
    line = (
        "gauge: yoke-oxygen-psi, regulated_pressure: {low: 40 psi, high: 45 psi}, plug: in the drawer below the yokes"
    )
    both = f"{line}, measured_outlets: [{{inlet: 1850 psi, outlet: 44.5 psi}}, {{inlet: 430 psi, outlet: 41 psi}}]"
    change(folder / "content/data/machines.yaml", line, both)
    read = result_of('regulator_table(machine="scanner-1", gas="oxygen")', folder).as_read
    assert ["Reading (psi)", "Outlet"] == read["heads"]
    # 430 psi is neither on a mark nor halfway, 1850 is halfway; outlets to the coarser last figure, 1 psi.
    assert [["1850", "44\xa0psi"], ["1500", "44\xa0psi"]] == read["rows"][:2]
    assert "500" == read["rows"][-1][0]
    assert "NOTICE: No pipeline of oxygen is known for this machine: the cylinder alone feeds it." in read["cautions"]


def test_a_dial_of_unknown_accuracy_takes_the_whole_measured_difference(tmp_path: Path) -> None:
    """Where nobody knows how far the reading may be out, the outlet may be that of any reading between the two."""
    folder = copy_fleet(tmp_path / "site")
    change(
        folder / "content/data/gauges.yaml",
        "scale_interval: 10 bar\n  accuracy: {class: 2.5}\n  place: theatre\n  checked: 2026-03-01\n  found_error: 2 "
        "bar",
        "scale_interval: 10 bar\n  accuracy: unknown\n  place: theatre",
    )
    # 50 psi less 3.08 bar, less 0.26 bar and half a hundredth.
    assert "0.10\xa0bar" == result_of(CALL, folder).as_read["rows"][0][2]


def test_the_working_can_be_followed_by_hand() -> None:
    """The numbers of the working, put together, give what it says."""
    effect_line, first, below = working_of(CALL)[-5:-2]
    a, b, c, d, effect = map(
        float,
        re.search(r"\(([\d.]+) − ([\d.]+)\) bar ÷ \(([\d.]+) − ([\d.]+)\) bar = ([\d.]+)\.", effect_line).groups(),  # type: ignore[union-attr]
    )
    assert effect == pytest.approx((a - b) / (c - d))
    low, slope, at, start, outlet = map(
        float,
        re.search(r": ([\d.]+) \+ ([\d.]+) × \(([\d.]+) − ([\d.]+)\) = ([\d.]+) bar", first).groups(),  # type: ignore[union-attr]
    )
    assert outlet == pytest.approx(low + slope * (at - start))
    pipeline, outlet, doubt, margin = map(
        float,
        re.search(r": ([\d.]+) − ([\d.]+) − ([\d.]+) bar, .*: ([\d.]+) bar, shown", below).groups(),  # type: ignore[union-attr]
    )
    assert margin == pytest.approx(pipeline - outlet - doubt)


def test_yokes_that_share_a_regulator_need_not_be_told_apart(tmp_path: Path) -> None:
    """Two yokes measured alike give one table; measured differently, the call says which."""
    folder = copy_fleet(tmp_path / "site")
    second = "gauge: yoke-oxygen, regulated_pressure: {low: 40 psi, high: 45 psi}, plug"
    data = folder / "content/data/machines.yaml"
    text = data.read_text(encoding="utf-8")
    alike = text.replace(second, second.replace("plug", f"{MEASURED}, plug"), 1)
    data.write_text(alike, encoding="utf-8")
    assert "yoke 1" in result_of(CALL, folder).as_read["caption"]
    assert "yoke 2" in result_of(CALL[:-1] + ", yoke=2)", folder).as_read["caption"]
    data.write_text(alike.replace("2.82 bar", "2.90 bar", 1), encoding="utf-8")
    assert ["E548"] == [problem[0] for problem in told(CALL, folder)]
    assert "2.90\xa0bar" in result_of(CALL[:-1] + ", yoke=1)", folder).as_read["condition"]


@pytest.mark.parametrize(
    ("call", "code", "wrong"),
    [
        (
            'regulator_table(machine="theatre-1", gas="nitrous oxide")',
            "E547",
            "no outlets of a regulator for nitrous oxide were measured on theatre-1, and figures of a book are not "
            "those of this machine",
        ),
        ('regulator_table(machine="theatre-1", gas="air")', "E547", "theatre-1 has no yoke for air"),
        (CALL[:-1] + ", yoke=2)", "E548", "yoke 2 of theatre-1 has no measured outlets for oxygen"),
        (CALL[:-1] + ", yoke=0)", "E210", "this number is not possible here"),
        ('regulator_table(machine="theatre-9", gas="oxygen")', "E521", "machines.yaml has no entry of this name"),
    ],
)
def test_what_was_not_measured_is_refused(call: str, code: str, wrong: str) -> None:
    """No figure of a book stands in for a measurement."""
    assert [(code, wrong)] == [problem[:2] for problem in told(call)]

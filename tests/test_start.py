"""A new department: what it starts with is good, says that it is an example, and is never laid over anything."""

from __future__ import annotations

from pathlib import Path

import pytest

from demo_site import change
from yokebook.reference.start import start, starter
from yokebook.reference.whole import work_out


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A new department."""
    start(tmp_path / "department")
    return tmp_path / "department"


LISTED = (
    "ambient_pressure", "room_temperature", "flowmeter_tolerance", "flowmeter_reference", "keep_back", "change_time",
    "transfer_margin", "colour_marks", "review_interval", "roles",
)  # fmt: skip
EXAMPLES = [
    ("cylinders.yaml", "An example, not yet asked of the supplier"),
    ("cylinders.yaml", "An example, not yet asked of the supplier"),
    ("department.yaml", "Our department"),
    *(("department.yaml", key) for key in LISTED),
    ("gauges.yaml", "An example, not yet read off the dial"),
    ("gauges.yaml", "An example, not yet read off the dial"),
    ("machines.yaml", "An example, not yet measured"),
    ("places.yaml", "theatre"),
    ("places.yaml", "gas-store"),
    ("scales.yaml", "store-scale"),
    ("uses.yaml", "bag-low-flow"),
    ("uses.yaml", "bellows"),
]


def told(folder: Path) -> list[tuple[str, str]]:
    """Return the file, and what is written, of each example; nothing else is wrong."""
    problems = list(work_out(folder).problems)
    assert {"W773"} >= {problem.code for problem in problems}
    return [(problem.file.removeprefix("content/data/"), problem.written) for problem in problems]


def test_a_new_department_is_checked_without_an_error_and_told_which_data_are_examples(folder: Path) -> None:
    """Each entry is named, and the department's name."""
    assert EXAMPLES == told(folder)


def test_what_no_reader_of_the_data_sees_makes_no_example_the_departments_own(folder: Path) -> None:
    """A comment, the line ends of another system, a blank line: the examples are told as before."""
    for file in (folder / "content/data").iterdir():
        text = "# Seen in March.\n\n" + file.read_text(encoding="utf-8")
        file.write_bytes(text.replace("\n", "\r\n").encode())
    assert EXAMPLES == told(folder)


@pytest.mark.parametrize(
    ("name", "before", "after", "count"),
    [
        ("department.yaml", "keep_back: 10 bar", "keep_back: 12 bar", 11),
        ("department.yaml", "Our department", "Larkmoor Infirmary", 10),
        ("department.yaml", "  - keep_back\n", "", 10),
        ("cylinders.yaml", "5.40 kg", "5.60 kg", 2),
        ("gauges.yaml", "high: 250 bar", "high: 315 bar", 2),
        ("machines.yaml", "usual: 6 L/min", "usual: 7 L/min", 1),
        ("places.yaml", "high: 25", "high: 26", 1),
        ("scales.yaml", "store-scale:", "our-store-scale:", 0),
        ("uses.yaml", "fresh gas: 1 L/min}]", "fresh gas: 2 L/min}]", 1),
    ],
)
def test_one_value_put_right_leaves_the_other_examples_told(
    folder: Path, name: str, before: str, after: str, count: int
) -> None:
    """What says of itself that it is an example is one till those words are gone; the rest, till one of it moved."""
    change(folder / "content/data" / name, before, after)
    told = [problem.file for problem in work_out(folder).problems if problem.code == "W773"]
    assert count == told.count(f"content/data/{name}")


@pytest.mark.parametrize(
    "broken", ["machine-2: 5", "machine-2: {answers: 5}", "machine-2: {answers: {drive: [a]}}", "m:"]
)
def test_an_entry_that_cannot_be_read_keeps_no_other_example_from_being_told(folder: Path, broken: str) -> None:
    """Its own fault is told beside them."""
    file = folder / "content/data/machines.yaml"
    file.write_text(f"{file.read_text(encoding='utf-8')}\n{broken}\n", encoding="utf-8")
    problems = list(work_out(folder).problems)
    assert len(EXAMPLES) == len([problem for problem in problems if problem.code == "W773"])
    assert any(problem.code.startswith("E") for problem in problems)


def test_measured_and_read_off_nothing_is_an_example_any_more(folder: Path) -> None:
    """Each value that was right as it stood is kept, and no answer is asked for it."""
    data = folder / "content/data"
    change(data / "department.yaml", "Our department", "Larkmoor Infirmary")
    change(data / "department.yaml", "".join(["examples:\n", *(f"  - {key}\n" for key in LISTED)]), "")
    no_tolerance = "\n  answers:\n    water-capacity-tolerance: An example, not yet asked of the supplier"
    change(data / "cylinders.yaml", no_tolerance, "\n  water_capacity_tolerance: 1 %")
    unknown = "accuracy: unknown\n  answers:\n    accuracy-unknown: An example, not yet read off the dial"
    change(data / "gauges.yaml", unknown, "accuracy: {class: 2.5}\n  checked: 2026-03-01")
    change(data / "machines.yaml", "\n  answers:\n    drive-measured: An example, not yet measured", "")
    change(data / "machines.yaml", "high: 9 L/min}", "high: 9 L/min, measured: 2026-02-11}")
    change(data / "scales.yaml", "store-scale", "gas-store-scale")
    change(data / "places.yaml", "high: 25", "high: 26")
    change(data / "places.yaml", "high: 24", "high: 22")
    change(data / "uses.yaml", "title: By hand\n", "title: By hand, bag\n")
    change(data / "uses.yaml", "With the ventilator", "With the bellows")
    assert [] == told(folder)


def test_it_starts_in_an_empty_folder(tmp_path: Path) -> None:
    """A folder made beforehand is taken when nothing is in it."""
    start(tmp_path)
    assert (tmp_path / "mkdocs.yml").read_bytes() == (starter() / "mkdocs.yml").read_bytes()


def test_nothing_is_laid_over_what_is_there(tmp_path: Path) -> None:
    """A folder with a file in it, and a file in its place, stay as they are."""
    (tmp_path / "note.txt").write_text("ours", encoding="utf-8")
    for taken in (tmp_path, tmp_path / "note.txt"):
        with pytest.raises(FileExistsError):
            start(taken)
    assert ["note.txt"] == [path.name for path in tmp_path.iterdir()]


def test_no_number_of_the_starter_promises_a_time(tmp_path: Path) -> None:
    """Its dials have no accuracy, so that no table of times is worked out from examples."""
    start(tmp_path)
    text = (tmp_path / "content/data/gauges.yaml").read_text(encoding="utf-8")
    assert text.count("accuracy: unknown") == text.count("span:") + 1, "each dial, and the comment"

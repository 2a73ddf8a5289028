"""Loading a department: everything told in one run, and nothing told that only follows from something else."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from bad_sites import GOOD
from yokebook.data.department import Department
from yokebook.data.load import load
from yokebook.data.sources import Sources
from yokebook.errors import Problem

CYLINDERS, DEPARTMENT, GAUGES, MACHINES, PLACES = (
    f"{stem}.yaml" for stem in ("cylinders", "department", "gauges", "machines", "places")
)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return Path(shutil.copytree(GOOD / "content" / "data", tmp_path / "data"))


def change(file: Path, *changes: tuple[str, str]) -> None:
    text = file.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, "a test that changes nothing tests nothing"
        text = text.replace(old, new)
    file.write_text(text, encoding="utf-8")


def loaded(data: Path) -> tuple[Department | None, list[tuple[str, int, int, str]]]:
    department, problems = load(data, "data")
    return department, [(problem.file, problem.line, problem.column, problem.code) for problem in problems]


def told(data: Path) -> list[tuple[str, int, int, str]]:
    return loaded(data)[1]


def test_all_problems_of_all_files_in_one_run(data: Path) -> None:
    """A file that is no YAML, a missing one and faults in entries: each is told, sorted by file and line."""
    change(data / GAUGES, ("yoke-oxygen:", "yoke-oxygen: :"))
    (data / PLACES).unlink()
    change(data / CYLINDERS, ("4.68 L", "4,68 L"), ("pin-index", "pinindex"))
    change(data / DEPARTMENT, ("10 bar", "ten bar"))
    assert [
        ("data/cylinders.yaml", 5, 10, "E205"),
        ("data/cylinders.yaml", 6, 19, "E102"),
        ("data/cylinders.yaml", 12, 10, "E205"),
        ("data/cylinders.yaml", 13, 19, "E102"),
        ("data/department.yaml", 6, 12, "E101"),
        ("data/gauges.yaml", 1, 14, "E002"),
        ("data/places.yaml", 0, 0, "E233"),
    ] == told(data)


def test_one_entry_tells_all_its_faults_at_once(data: Path) -> None:
    """An unknown key, a missing one, a bad value deep down, and what the checks over several fields find."""
    (data / CYLINDERS).write_text(
        "oxygen-e:\n"
        "  gas: oxygen\n"
        "  size: E\n"
        "  valve: pin-index\n"
        "  watercapacity: 4.68 L\n"
        "  tare: 6 kg\n"
        "  filling: {pressure: 137 psia, temperature: 15 °C}\n"
        "  gauge: yoke-oxygen\n"
        "  answers: {water-capacity-tolerance: none}\n",
        encoding="utf-8",
    )
    assert [
        ("data/cylinders.yaml", 1, 1, "E202"),
        ("data/cylinders.yaml", 1, 1, "E202"),
        ("data/cylinders.yaml", 3, 3, "E214"),
        ("data/cylinders.yaml", 5, 3, "E201"),
        ("data/cylinders.yaml", 7, 3, "E202"),
        ("data/cylinders.yaml", 7, 23, "E107"),
        ("data/cylinders.yaml", 7, 33, "E201"),
        ("data/cylinders.yaml", 8, 3, "E228"),
        ("data/cylinders.yaml", 9, 39, "E229"),
    ] == [problem for problem in told(data) if problem[0] == "data/cylinders.yaml"]


def test_what_refers_to_a_broken_entry_is_not_wrong_for_that(data: Path) -> None:
    """One fault, one problem: yokes and uses that stand on a cylinder that cannot be read are left in peace."""
    change(data / CYLINDERS, ("4.68 L", "4,68 L"))
    department, problems = loaded(data)
    assert ["E102", "E102"] == [code for *_, code in problems]
    assert department is not None
    assert ["oxygen-transfer"] == list(department.cylinders)
    assert department.entries.is_broken("cylinders", "oxygen-e")
    assert not department.entries.is_broken("cylinders", "oxygen-transfer")


def test_what_refers_to_a_file_that_cannot_be_read_is_not_wrong_for_that(data: Path) -> None:
    """A file missing or broken is told once, not once for each name that leads into it."""
    (data / PLACES).unlink()
    change(data / GAUGES, ("yoke-oxygen:", "yoke-oxygen: :"))
    assert ["E002", "E233"] == [code for *_, code in told(data)]


def test_a_use_is_not_wrong_while_a_cylinder_or_a_machine_is_broken(data: Path) -> None:
    """Whether any cylinder holds a gas, or any machine is driven by it, cannot be told from half of them."""
    change(data / MACHINES, ("6 L/min", "6 l/min"))
    assert ["E105"] == [code for *_, code in told(data)]


def test_without_settings_there_is_no_department(data: Path) -> None:
    """A fault in department.yaml leaves no department, and still the rest is checked."""
    change(data / DEPARTMENT, ("10 bar", "10"))
    change(data / MACHINES, ("cylinder: oxygen-e", "cylinder: oxygen-f"))
    department, problems = loaded(data)
    assert department is None
    assert ["E104", "E240"] == [code for *_, code in problems]


def test_no_folder_is_told_file_by_file(tmp_path: Path) -> None:
    """A folder that is not there lacks each of the files that are needed."""
    department, problems = loaded(tmp_path / "nowhere")
    assert department is None
    needed = (CYLINDERS, DEPARTMENT, GAUGES, MACHINES, PLACES)
    assert [f"data/{name}" for name in needed] == [file for file, *_ in problems]


def test_a_folder_in_the_place_of_a_file_is_told(data: Path) -> None:
    """What cannot be read at all is a problem of that file, in the system's words."""
    (data / PLACES).unlink()
    (data / PLACES).mkdir()
    _, problems = load(data, "data")
    assert ["E001"] == [problem.code for problem in problems]
    assert "the file cannot be read: Is a directory" == problems[0].wrong


def test_uses_and_scales_may_be_left_out(data: Path) -> None:
    """A department that weighs nothing and has no uses yet is a department."""
    (data / "uses.yaml").unlink()
    (data / "scales.yaml").unlink()
    department, problems = loaded(data)
    assert [] == problems
    assert department is not None
    assert ({}, {}) == (department.uses, department.scales)


def test_hidden_files_are_passed_over(data: Path) -> None:
    """What an editor or a file share leaves behind is nobody's mistake."""
    (data / ".DS_Store").write_bytes(b"\x00")
    assert [] == told(data)


def test_altitude_stands_for_the_ambient_pressure(data: Path) -> None:
    """83.5 kPa at 1600 m: International Standard Atmosphere, ISO 2533 (value from memory of its table: 83.52 kPa)."""
    change(data / DEPARTMENT, ("ambient_pressure: 101.325 kPa", "altitude: 1600 m"))
    department, problems = load(data, "data")
    assert [] == problems
    assert department is not None
    assert 83_520.0 == pytest.approx(department.ambient, rel=5e-4)


def test_an_altitude_where_nobody_works_is_told(data: Path) -> None:
    """Where the standard atmosphere is not given, nothing is made up."""
    change(data / DEPARTMENT, ("ambient_pressure: 101.325 kPa", "altitude: 6000 m"))
    department, problems = load(data, "data")
    assert department is None
    assert [("E250", "0\u00a0m to 5000\u00a0m", "altitude")] == [
        (problem.code, problem.allowed, problem.written) for problem in problems
    ]


def test_a_place_in_a_file_that_is_not_there_is_the_file() -> None:
    """A problem about a missing file's key points at the file as a whole."""
    assert ("data/places.yaml", 0, 0) == Sources("data").place(("places", "theatre"))


def test_places_of_keys_and_values(data: Path) -> None:
    """What is found late still points at its line: the value, its key, or the deepest key that is written."""
    department, _ = load(data, "data")
    assert department is not None
    sources = department.sources
    path = ("machines", "theatre-1", "yokes", 1, "regulated_pressure", "low")
    assert ("data/machines.yaml", 18, 33) == sources.place(path)
    assert ("data/machines.yaml", 18, 28) == sources.place(path, on_key=True)
    assert ("data/machines.yaml", 18, 7) == sources.place((*path[:-1], "middle"))
    assert ("data/machines.yaml", 1, 1) == sources.place(("machines",))


def test_problems_are_the_same_each_time(data: Path) -> None:
    """Two runs give the same report."""
    change(data / CYLINDERS, ("4.68 L", "4,68 L"))
    first: list[Problem] = load(data, "data")[1]
    assert first == load(data, "data")[1]


@pytest.mark.parametrize("stem", ["cylinders", "gauges", "machines", "places", "department"])
@pytest.mark.parametrize("text", ["", "# still to come\n"])
def test_an_empty_file_is_told_once(data: Path, stem: str, text: str) -> None:
    """Not once for each name that leads into it, nor once for each key that it lacks."""
    (data / f"{stem}.yaml").write_text(text, encoding="utf-8")
    assert [(f"data/{stem}.yaml", 1, 1, "E239")] == told(data)


def test_a_file_that_is_not_utf_8_names_its_line(data: Path) -> None:
    """A degree sign of an old editor, told where it stands: after one that is right, the column counts signs."""
    (data / PLACES).write_bytes(
        "# 20 °C\ntheatre:\n  # °\n".encode() + "  temperature: {low: 18 °C}\n".encode("latin-1")
    )
    _, problems = load(data, "data")
    assert [("data/places.yaml", 4, 25, "this sign is not UTF-8 text; save the file as UTF-8")] == [
        (problem.file, problem.line, problem.column, problem.wrong) for problem in problems
    ]


def test_a_misnamed_entry_is_told_once_and_stands_under_the_name_that_was_meant(data: Path) -> None:
    """The yoke that names it rightly, or just as wrongly, is left in peace, and faults within it keep their place."""
    change(data / CYLINDERS, ("oxygen-e:", "Oxygen E:"))
    department, problems = load(data, "data")
    assert [("E211", 1, "Oxygen E", "oxygen-e")] == [
        (problem.code, problem.line, problem.written, problem.suggestion) for problem in problems
    ]
    assert department is not None
    assert "oxygen-e" == department.cylinders["oxygen-e"].key
    change(data / MACHINES, ("cylinder: oxygen-e", "cylinder: Oxygen E"))
    assert ["E211"] == [code for *_, code in told(data)]
    change(data / CYLINDERS, ("4.68 L", "8.4 L"))
    assert ("data/cylinders.yaml", 6, 19, "N410") in told(data)


def test_a_misnamed_entry_whose_right_name_is_taken_stays_aside(data: Path) -> None:
    """Two entries of one name after mending: the one that is named rightly counts."""
    change(data / PLACES, ("theatre:", "Theatre:\n  temperature: {low: 1 °C, usual: 2 °C, high: 3 °C}\ntheatre:"))
    (data / PLACES).write_text((data / PLACES).read_text("utf-8") + "Ö: {}\n", "utf-8")
    department, problems = loaded(data)
    assert [(1, "E211"), (5, "E202"), (5, "E211")] == [(line, code) for _, line, _, code in problems]
    assert department is not None
    assert ["theatre"] == list(department.places)


def test_no_cylinder_of_another_gas_or_valve_is_suggested(data: Path) -> None:
    """For a yoke only what may hang in it, for a gauge only dials that are not another gas's."""
    change(data / MACHINES, ("cylinder: nitrous-oxide-e", "cylinder: oxygen-x"), ("yoke-nitrous-oxide", "yoke-oxygem"))
    _, problems = load(data, "data")
    assert [("E240", "", "nitrous-oxide-e"), ("E240", "", "yoke-nitrous-oxide (in bar)")] == [
        (problem.code, problem.suggestion, problem.allowed) for problem in problems
    ]
    change(data / MACHINES, ("cylinder: oxygen-e", "cylinder: oxygen-transfe"))
    change(data / CYLINDERS, ("gauge: transfer-dial", "gauge: yoke-oxyge"))
    _, problems = load(data, "data")
    dials = "yoke-nitrous-oxide (in bar), transfer-dial (in kPa)"
    assert [("yoke-oxyge", "", dials), ("oxygen-transfe", "", "oxygen-e")] == [
        (problem.written, problem.suggestion, problem.allowed) for problem in problems[:2]
    ]


def test_a_gas_without_a_cylinder_is_not_taken_for_another(data: Path) -> None:
    """50:50 is not nitrous oxide, however alike their names."""
    (data / "uses.yaml").write_text(
        "demand-valve: {title: x, draws: {'nitrous oxide/oxygen 50:50': [{fresh gas: 8 L/min}]}}\n", encoding="utf-8"
    )
    _, problems = load(data, "data")
    assert [("E246", "", "oxygen, nitrous oxide")] == [
        (problem.code, problem.suggestion, problem.allowed) for problem in problems
    ]


def test_an_ambient_pressure_above_the_filling_is_told(data: Path) -> None:
    """101.325 bar for kPa is a problem at its line, not the end of the program."""
    change(data / DEPARTMENT, ("101.325 kPa\nroom", "101.325 bar\nroom"))
    assert [("data/department.yaml", 2, 19, "E261")] == told(data)

"""The command line as a department uses it: reports, exit status, how little work it is."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from counted import calls, imported, packages
from demo_site import change, copy_demo
from yokebook.physics import realgas
from yokebook.reference.whole import work_out


def yokebook(*arguments: str | Path, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Run the program as its own process, with compiled modules kept as on a department's machine."""
    return subprocess.run(
        [sys.executable, "-m", "yokebook", *map(str, arguments)],
        cwd=cwd,
        capture_output=True,
        text=True,
        check=False,
        encoding="utf-8",
        env={name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"},
    )


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A demo that the tests only read."""
    return copy_demo(tmp_path_factory.mktemp("demo") / "site")


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A demo that a test may change."""
    return copy_demo(tmp_path / "site")


CALL = 'reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"])'


def test_check_of_the_demo_is_clean(demo: Path) -> None:
    """The demo department has no problem of any weight; its register has a line for each procedure."""
    result = yokebook("check", cwd=demo)
    assert (0, "") == (result.returncode, result.stderr)
    register, _, problems = result.stdout.rpartition("\n\n")
    assert "0 errors, 0 warnings, 0 notes.\n" == problems
    numbers = [
        line.removeprefix("procedure: ")
        for page in demo.rglob("*.md")
        for line in page.read_text(encoding="utf-8").split("---")[1].splitlines()
        if line.startswith("procedure: ")
    ]
    assert sorted(numbers) == [line.split()[0] for line in register.splitlines()[1:]]


def test_check_writes_nothing_but_its_store_of_gas_states(demo: Path) -> None:
    """No page and no file of data is touched, and no site is made."""
    yokebook("check", cwd=demo)
    assert {".yokebook", "content", "mkdocs.yml"} == {entry.name for entry in demo.iterdir()}


def test_check_tells_a_mistake_and_exits_1(own: Path) -> None:
    """Where, what is written, what is wrong, what is allowed, an example."""
    change(own / "content/data/cylinders.yaml", "water_capacity: 2.0 L", "water_capacity: 2,0 L")
    result = yokebook("check", cwd=own)
    assert 1 == result.returncode
    assert result.stdout.startswith("content/data/cylinders.yaml, line ")
    assert "error E102, decimal comma" in result.stdout
    assert result.stdout.endswith("\n1 error, 0 warnings, 0 notes.\n")
    assert "Traceback" not in result.stdout + result.stderr


def test_check_as_json(own: Path) -> None:
    """The same problems for other programs, and each page with its digest."""
    change(own / "content/data/gauges.yaml", "scale_interval: 10 bar", "scale_interval: 10")
    report = json.loads(yokebook("check", "--format", "json", cwd=own).stdout)
    problem = report["problems"][0]
    assert ("content/data/gauges.yaml", "E104", "error", "missing unit", "10") == tuple(
        problem[key] for key in ("file", "code", "level", "title", "written")
    )
    files = [page["file"] for page in report["pages"]]
    assert "content/pages/reference/words.md" in files
    assert "content/pages/reference/theatre-1.md" not in files
    assert {"whole", "page", "calls", "files"} == set(report["pages"][0]["digest"])


def test_the_department_may_lie_elsewhere(demo: Path, tmp_path: Path) -> None:
    """--site names the folder of mkdocs.yml."""
    assert 0 == yokebook("check", "--site", demo, cwd=tmp_path).returncode


@pytest.mark.parametrize(
    "arguments", [["check"], ["build"], ["try", CALL], ["check", "--site", "nowhere"], ["chekc"], ["try"]]
)
def test_wrong_use_exits_2(arguments: list[str], tmp_path: Path) -> None:
    """No department here, a folder that is not there, an unknown command, a missing argument."""
    result = yokebook(*arguments, cwd=tmp_path)
    assert 2 == result.returncode
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize(
    ("day", "wrong"), [("02/03/2026", "a date is written year-month-day"), ("2026-02-30", "there is no such day")]
)
def test_the_day_of_an_incident_is_asked_for_as_any_day_is(day: str, wrong: str, demo: Path) -> None:
    """As in the data and for every other command."""
    result = yokebook("incident", "dropped-key", "--title", "A key was dropped", "--happened", day, cwd=demo)
    assert 2 == result.returncode
    assert f"{day}: {wrong}. Allowed: year-month-day. Example: 2026-03-02" in " ".join(result.stderr.split())


def test_try_prints_a_call(demo: Path) -> None:
    """The table as a reader reads it, greediest use first."""
    result = yokebook("try", f"{{{{ {CALL} }}}}", cwd=demo)
    assert 0 == result.returncode, result.stderr
    lines = result.stdout.splitlines()
    assert lines[0].startswith("At least how long one cylinder of oxygen lasts")
    assert "Reading (bar)  Ventilator, 1 L/min set: up to 10.1" in result.stdout.replace("\u00a0", " ")


def test_try_as_json_is_the_calls_part_of_the_list_of_numbers(demo: Path) -> None:
    """Rows × columns of what is shown, of values and of nominal values."""
    numbers = json.loads(yokebook("try", "--format", "json", CALL, cwd=demo).stdout)
    assert ("reserve_table", "min", "down") == (numbers["name"], numbers["unit"], numbers["rounding"])
    shape = [len(numbers["rows"]), len(numbers["columns"])]
    assert [shape] * 3 == [[len(numbers[key]), len(numbers[key][0])] for key in ("shown", "value", "nominal")]
    assert 'cylinders["oxygen-e"].water_capacity' in numbers["keys"]


@pytest.mark.parametrize(
    ("call", "code", "column"),
    [
        ("reserve_tabel(cylinder=3)", "E520", 1),
        ("{{ a + b }}", "E501", 6),
        ('reserve_table(cylinder="x", flows=["2 L/min"])', "E521", 24),
    ],
)
def test_try_tells_a_mistake_in_what_was_typed(call: str, code: str, column: int, demo: Path) -> None:
    """The place is that in the call as it was typed, and the line is shown with its mark."""
    result = yokebook("try", call, cwd=demo)
    assert 1 == result.returncode
    assert result.stdout.startswith(f"the call, line 1, column {column}: error {code}")
    assert f"  1 | {call}\n" in result.stdout


HEAVY = {"CoolProp", "jinja2", "markdown", "mkdocs", "numpy", "pint", "segno", "weasyprint"}
"""What takes long to import."""
MOST_CALLS = 4_000_000
"""Of functions, in a warm check of the demo: a third more than its 3 million."""


def test_help_imports_the_command_line_and_nothing_heavy(demo: Path) -> None:
    """No floor below the command line is imported, and of all libraries only that which parses the command."""
    modules = imported("-m", "yokebook", "--help", cwd=demo)
    assert {"click", "yokebook"} == packages(modules)
    own = {module for module in modules if module.startswith("yokebook.")}
    assert {module for module in own if module.startswith("yokebook.cli")} == own - {"yokebook.__main__"}


def test_a_warm_check_imports_nothing_heavy(demo: Path) -> None:
    """With what an earlier run has learnt at hand neither the gas library nor that of units is imported."""
    yokebook("check", cwd=demo)
    loaded = packages(imported("-m", "yokebook", "check", cwd=demo))
    assert {"pydantic", "ruamel"} < loaded
    assert set() == HEAVY & loaded


def test_a_check_is_little_work(demo: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With the states known no equation of state is asked, and calls of functions are counted."""
    work_out(demo)
    monkeypatch.setattr(realgas, "_of", None)  # what gives the equation of a gas
    assert calls(lambda: work_out(demo)) < MOST_CALLS

"""The code itself: linted, formatted, typed, and its types seen to stop a mix-up."""

from __future__ import annotations

import doctest
import importlib
import inspect
import pkgutil
import subprocess
import sys
from pathlib import Path

import pytest

import yokebook
from demo_site import ROOT

MODULES = sorted(
    info.name for info in pkgutil.walk_packages(yokebook.__path__, "yokebook.") if not info.name.endswith("__main__")
)


@pytest.mark.parametrize(
    "command", [["check", "--no-cache"], ["format", "--check", "--no-cache"]], ids=["rules", "format"]
)
def test_the_code_is_clean(command: list[str]) -> None:
    """Ruff has nothing to say."""
    result = subprocess.run(
        [sys.executable, "-m", "ruff", *command, "."], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert 0 == result.returncode, result.stdout + result.stderr


def mypy(*targets: str) -> str:
    """Return what the type checker says of some files."""
    command = [sys.executable, "-m", "mypy", "--config-file", "pyproject.toml"]  # its cache stays in the tree
    return subprocess.run([*command, *targets], cwd=ROOT, capture_output=True, text=True, check=False).stdout


def test_the_types_hold_and_stop_a_mix_up(tmp_path: Path) -> None:
    """The package is typed without a gap; gauge for absolute and a temperature for a difference are refused."""
    assert mypy("--package", "yokebook").startswith("Success")
    planted = tmp_path / "planted.py"
    planted.write_text(
        "from yokebook.quantities import AbsolutePa, CubicMetres, DifferencePa, GasCubicMetres, GaugePa, Kelvin\n"
        "from yokebook.quantities import KelvinDifference\n"
        "def need(a: AbsolutePa, d: DifferencePa, k: KelvinDifference, w: CubicMetres) -> None: ...\n"
        "need(GaugePa(1.0), DifferencePa(1.0), KelvinDifference(1.0), CubicMetres(1.0))\n"
        "need(AbsolutePa(1.0), GaugePa(1.0), KelvinDifference(1.0), CubicMetres(1.0))\n"
        "need(AbsolutePa(1.0), DifferencePa(1.0), Kelvin(1.0), CubicMetres(1.0))\n"
        "need(AbsolutePa(1.0), DifferencePa(1.0), KelvinDifference(1.0), GasCubicMetres(1.0))\n",
        encoding="utf-8",
    )
    report = mypy(str(planted))
    assert [4, 5, 6, 7] == [int(line.split(":")[1]) for line in report.splitlines() if "error:" in line], report


@pytest.mark.parametrize("module", MODULES)
def test_examples_in_docstrings_hold(module: str) -> None:
    """Each worked example gives what stands under it."""
    assert 0 == doctest.testmod(importlib.import_module(module)).failed


STORE = {"yokebook.physics.realgas.states", "yokebook.physics.realgas.learn"}
"""What keeps answers is no formula."""


def test_every_formula_has_its_worked_example() -> None:
    """A public function of physics without an example in its docstring is not signed off."""
    lacking = []
    for name in MODULES:
        if name.startswith("yokebook.physics."):
            module = importlib.import_module(name)
            for member, value in vars(module).items():
                public = inspect.isfunction(inspect.unwrap(value)) if callable(value) else False
                if (
                    public
                    and value.__module__ == name
                    and not member.startswith("_")
                    and ">>>" not in (value.__doc__ or "")
                ):
                    lacking.append(f"{name}.{member}")
    assert STORE == set(lacking)


def shadowed(package: Path) -> list[str]:
    """Return the modules of the standard library that a Python started in a folder of a package finds hidden there.

    What each Python has already read before it looks into that folder, as `site`, cannot be hidden.
    """
    names = {path for path in package.rglob("*") if path.suffix == ".py" or (path / "__init__.py").is_file()}
    hidden = []
    for path in sorted(path for path in names if path.stem in sys.stdlib_module_names and path.stem != "__main__"):
        ask = f"import {path.stem}; print({path.stem}.__file__)"
        found = subprocess.run(
            [sys.executable, "-c", ask], cwd=path.parent, capture_output=True, text=True, check=False
        ).stdout
        if Path(found.strip()).is_relative_to(package):
            hidden.append(path.relative_to(package).as_posix())
    return hidden


def test_no_module_hides_one_of_the_standard_library(tmp_path: Path) -> None:
    """A Python started in any folder of the package imports what it means; a planted name is seen."""
    assert [] == shadowed(ROOT / "macros" / "yokebook")
    (tmp_path / "floor").mkdir()
    for planted in ("numbers.py", "floor/calendar.py", "floor/quantities.py"):
        (tmp_path / planted).touch()
    assert ["floor/calendar.py", "numbers.py"] == shadowed(tmp_path)


def test_each_module_of_the_upper_floors_is_named_for_contributors() -> None:
    """DEVELOPERS.md says of each what it does, so that a newcomer finds the file to change."""
    told = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    package = ROOT / "macros" / "yokebook"
    files = [path for floor in ("control", "reference", "site") for path in (package / floor).glob("[!_]*.py")]
    assert len(files) > 70
    assert [] == [path.relative_to(package).as_posix() for path in files if f"{path.name}`" not in told]

"""The floors of the house: each contract holds, and each is seen to fail on a planted import."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from itertools import pairwise
from pathlib import Path

ROOT = Path(__file__).parents[1]
FLOORS = "Floors: a floor imports only from below, siblings do not see each other"
PLANTED = {
    "a floor reaches up": ("physics/leaks.py", "import yokebook.calls", FLOORS),
    "a sibling looks at its sibling": ("physics/leaks.py", "import yokebook.units", FLOORS),
    "the lowest siblings look at each other": ("gases.py", "import yokebook.errors", FLOORS),
    "pages look at control": ("pages/placing.py", "import yokebook.control", FLOORS),
    "figures look at data": ("figures/dial.py", "import yokebook.data", FLOORS),
    "CoolProp outside its door": (
        "physics/leaks.py",
        "import CoolProp",
        "CoolProp comes in only at physics/realgas.py",
    ),
    "pint outside its door": ("number_list.py", "import pint", "pint comes in only at units.py"),
    "ruamel outside its door": ("units.py", "import ruamel.yaml", "ruamel.yaml comes in only at yamlfile.py"),
    "jinja2 outside its door": ("figures/dial.py", "import jinja2", "jinja2 comes in only at templates.py"),
    "Markdown outside its door": (
        "pages/placing.py",
        "import markdown",
        "Markdown comes in only at pages/extensions.py",
    ),
    "mkdocs outside its floor": ("reference/report.py", "import mkdocs", "mkdocs comes in only at site/"),
    "filelock outside its door": ("files.py", "import filelock", "filelock comes in only at control/disk.py"),
    "segno outside its door": ("site/build.py", "import segno", "segno comes in only at site/qr.py"),
    "weasyprint outside its door": ("site/build.py", "import weasyprint", "weasyprint comes in only at site/pdf.py"),
    "click outside its door": ("reference/report.py", "import click", "click comes in only at cli/"),
}


def lint(package_parent: Path) -> subprocess.CompletedProcess[str]:
    """Run the contracts on the package below a folder."""
    command = [sys.executable, "-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"]
    return subprocess.run(
        [*command, "--no-cache", "--no-logo", str(ROOT / "pyproject.toml")],
        cwd=package_parent,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(package_parent), "PYTHONDONTWRITEBYTECODE": "1"},
    )


def broken(report: str) -> list[str]:
    """Return the names of the contracts that a report calls broken."""
    return re.findall(r"^(.+) BROKEN(?: \(.*\))?$", report, flags=re.MULTILINE)


def test_every_contract_holds() -> None:
    """The package as it is keeps to its floors."""
    result = lint(ROOT / "macros")
    assert (0, []) == (result.returncode, broken(result.stdout)), result.stdout + result.stderr


def copy_of_the_package(folder: Path) -> Path:
    """Return a copy of the package, below a folder, to plant faults in."""
    shutil.copytree(ROOT / "macros" / "yokebook", folder / "yokebook", ignore=shutil.ignore_patterns("__pycache__"))
    return folder / "yokebook"


def told_imports(report: str) -> Counter[tuple[str, str, str]]:
    """Return how often a report tells of each import that breaks a contract: contract, module, what it imports."""
    told, contract = Counter[tuple[str, str, str]](), ""
    for line, below in pairwise(report.partition("Broken contracts")[2].splitlines()):
        if below and set(below) == {"-"}:
            contract = line
        if found := re.match(r"- +(\S+) -> (\S+) \(l\.\d+\)$", line):
            told[contract, *found.groups()] += 1
    return told


def test_each_planted_import_is_seen(tmp_path: Path) -> None:
    """Each contract breaks on the imports that it forbids, on each of them once, and on no other's."""
    package = copy_of_the_package(tmp_path)
    planted = Counter[tuple[str, str, str]]()
    for file, line, contract in PLANTED.values():
        with (package / file).open("a", encoding="utf-8") as module:
            module.write(f"\n{line}\n")
        name = "yokebook." + file.removesuffix(".py").replace("/", ".")
        # A library is told of as a whole; a part of the package as it is imported.
        imported = line.removeprefix("import ")
        planted[contract, name, imported if imported.startswith("yokebook") else imported.partition(".")[0]] += 1
    result = lint(tmp_path)
    assert result.returncode != 0
    assert planted == told_imports(result.stdout), result.stdout


def test_a_module_that_is_on_no_floor_is_seen(tmp_path: Path) -> None:
    """Whoever adds a module has to say where it stands."""
    (copy_of_the_package(tmp_path) / "attic.py").touch()
    result = lint(tmp_path)
    assert result.returncode != 0
    assert "attic" in result.stdout + result.stderr

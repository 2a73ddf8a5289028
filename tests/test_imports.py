"""The floors of the house: each contract holds, and each is seen to fail on a planted import."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PLANTED = {
    "a floor reaches up": ("physics/leaks.py", "import yokebook.calls", "Floors:"),
    "a sibling looks at its sibling": ("physics/leaks.py", "import yokebook.units", "Floors:"),
    "the lowest siblings look at each other": ("gases.py", "import yokebook.errors", "Floors:"),
    "pages look at control": ("pages/placing.py", "import yokebook.control", "Floors:"),
    "figures look at data": ("figures/dial.py", "import yokebook.data", "Floors:"),
    "a module that is on no floor": ("attic.py", "", "Floors:"),
    "CoolProp outside its door": ("physics/leaks.py", "import CoolProp", "CoolProp comes in only"),
    "pint outside its door": ("number_list.py", "import pint", "pint comes in only"),
    "ruamel outside its door": ("units.py", "import ruamel.yaml", "ruamel.yaml comes in only"),
    "jinja2 outside its door": ("figures/dial.py", "import jinja2", "jinja2 comes in only"),
    "Markdown outside its door": ("pages/placing.py", "import markdown", "Markdown comes in only"),
    "mkdocs outside its floor": ("reference/report.py", "import mkdocs", "mkdocs comes in only"),
    "filelock outside its door": ("files.py", "import filelock", "filelock comes in only"),
    "segno outside its door": ("site/build.py", "import segno", "segno comes in only"),
    "weasyprint outside its door": ("site/build.py", "import weasyprint", "weasyprint comes in only"),
    "click outside its door": ("reference/report.py", "import click", "click comes in only"),
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


@pytest.mark.parametrize("fault", PLANTED)
def test_a_planted_import_is_seen(fault: str, tmp_path: Path) -> None:
    """Each contract breaks on an import that it forbids, and no other does."""
    file, line, contract = PLANTED[fault]
    shutil.copytree(ROOT / "macros" / "yokebook", tmp_path / "yokebook", ignore=shutil.ignore_patterns("__pycache__"))
    target = tmp_path / "yokebook" / file
    target.write_text((target.read_text(encoding="utf-8") if target.exists() else "") + f"\n{line}\n", encoding="utf-8")
    result = lint(tmp_path)
    report = result.stdout + result.stderr
    assert result.returncode != 0, report
    if line:
        names = broken(result.stdout)
        assert len(names) == 1, report
        assert names[0].startswith(contract), report
    else:
        assert "attic" in report, report

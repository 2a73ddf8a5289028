"""The program as it is installed: from the source tree and from its wheel, the same department gives the same site."""

from __future__ import annotations

import re
import subprocess
import sys
import sysconfig
import tomllib
import venv
import zipfile
from importlib.metadata import requires, version
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from demo_site import ROOT, copy_demo
from shared import made_once
from site_contents import content_of

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("wheel")]


@pytest.fixture(scope="module")
def wheel() -> Path:
    """The wheel, built from the source tree."""

    def make(folder: Path) -> None:
        command = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder), str(ROOT)]
        result = subprocess.run(command, capture_output=True, text=True, check=False)
        assert 0 == result.returncode, result.stdout + result.stderr

    (path,) = made_once("wheel", make).glob("*.whl")
    return path


def test_the_wheel_holds_what_it_needs(wheel: Path) -> None:
    """Templates, type marker, licence, the command and the host's plugin; no test and no data of a department."""
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
        entry_points = archive.read(next(name for name in names if name.endswith("entry_points.txt"))).decode()
    for wanted in ("yokebook/py.typed", "yokebook/site_templates/yokebook/table.html", "licenses/LICENSE"):
        assert any(name.endswith(wanted) for name in names), wanted
    assert "[console_scripts]\nyokebook = yokebook.cli:main" in entry_points
    assert "[mkdocs.plugins]\nyokebook = yokebook.site.plugin:YokebookPlugin" in entry_points
    assert not [name for name in names if name.startswith(("tests", "content"))]


def test_wheel_and_source_tree_build_the_same_site(wheel: Path, tmp_path: Path) -> None:
    """The templates are found in both, outside the source tree, and the bytes are equal."""
    venv.create(tmp_path / "env", with_pip=False)
    python = tmp_path / "env" / "bin" / "python"
    packages = tmp_path / "env" / "lib" / f"python{sys.version_info.major}.{sys.version_info.minor}" / "site-packages"
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(packages)
    # The dependencies come from this environment; its own link to the source tree does not come along.
    (packages / "dependencies.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    sites = {}
    for name, interpreter in (("wheel", python), ("source", Path(sys.executable))):
        folder = copy_demo(tmp_path / name)
        where = "import yokebook; print(yokebook.__file__)"
        found = subprocess.run(
            [interpreter, "-c", where], cwd=folder, capture_output=True, text=True, check=True
        ).stdout
        assert (name == "wheel") == found.startswith(str(packages)), found
        result = subprocess.run(
            [interpreter, "-m", "yokebook", "build"],
            cwd=folder,
            capture_output=True,
            text=True,
            check=False,
            encoding="utf-8",
        )
        assert 0 == result.returncode, result.stdout + result.stderr
        sites[name] = content_of(folder / "site")
    assert sites["source"] == sites["wheel"]


LOCKS = (ROOT / "requirements.lock", ROOT / "tests" / "requirements.lock")


def pins(lock: Path) -> dict[str, Requirement]:
    """Return what a lock file pins, by name; each pin with at least one hash."""
    found = {}
    for entry in lock.read_text(encoding="utf-8").replace("\\\n", " ").splitlines():
        pin, *hashes = entry.split(" --hash=")
        assert hashes, entry
        assert all(each.strip().startswith("sha256:") for each in hashes), entry
        requirement = Requirement(pin)
        assert requirement.name not in found, f"{requirement.name} has two versions"
        found[requirement.name] = requirement
    return found


def needs(pin: Requirement) -> list[Requirement]:
    """Return what a pinned package asks for on this machine; nothing where it is for other machines."""
    if pin.marker and not pin.marker.evaluate():
        return []
    asked = [Requirement(text) for text in requires(pin.name) or []]
    return [
        each
        for each in asked
        if not each.marker or any(each.marker.evaluate({"extra": extra}) for extra in ("", *pin.extras))
    ]


@pytest.mark.parametrize("lock", LOCKS, ids=["runs", "tests"])
def test_a_lock_is_complete_hashed_and_names_no_host(lock: Path) -> None:
    """It is installed without a resolver: what a package needs, with its extras, is there and fits."""
    assert not re.search("https?://|index-url", lock.read_text(encoding="utf-8"))
    pinned = pins(lock)
    for name, pin in pinned.items():
        for needed in needs(pin):
            there = pinned[canonicalize_name(needed.name)]
            assert needed.specifier.contains(version(there.name)), f"{name} needs {needed}, has {there}"
            assert needed.extras <= there.extras, f"{name} needs {needed}, has {there}"


def test_both_locks_agree_on_each_version() -> None:
    """What is tested is what runs."""
    runs, tests = (pins(lock) for lock in LOCKS)
    assert {name: str(pin.specifier) for name, pin in runs.items()} == {
        name: str(pin.specifier) for name, pin in tests.items() if name in runs
    }
    assert set(runs) < set(tests)


def test_what_runs_brings_no_test_tool() -> None:
    """The first command of a newcomer installs neither browsers' driver nor type checker."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project["optional-dependencies"]
    wanted, unwanted = (
        {canonicalize_name(Requirement(text).name) for text in texts}
        for texts in ([*project["dependencies"], *extras["source"]], extras["test"])
    )
    runs = set(pins(LOCKS[0]))
    assert wanted <= runs
    assert not (unwanted - wanted) & runs

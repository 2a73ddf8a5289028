"""The program as it is installed: from the source tree and from its wheel, the same department gives the same site."""

from __future__ import annotations

import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

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


def test_the_lock_file_is_hashed_and_names_no_host() -> None:
    """Each package stands with its version and its digests, and with no address."""
    text = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    assert "http" not in text
    assert "--index-url" not in text
    packages = [line for line in text.splitlines() if line[:1].isalpha()]
    assert packages
    assert not [line for line in packages if "==" not in line or not line.endswith("\\")]
    assert text.count("--hash=sha256:") >= len(packages)

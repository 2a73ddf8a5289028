"""The two measured outlets of a yoke's regulator."""

from __future__ import annotations

from pathlib import Path

import pytest

from demo_site import change, copy_demo
from yokebook.data.load import load

BOTH = "[{inlet: 130 bar, outlet: 3.08 bar}, {inlet: 30 bar, outlet: 2.82 bar}]"


@pytest.mark.parametrize(
    ("measured", "codes"),
    [
        ("[{inlet: 30 bar, outlet: 2.82 bar}, {inlet: 130 bar, outlet: 3.08 bar}]", []),
        ("[{inlet: 100 bar, outlet: 3.0 bar}, {inlet: 80 bar, outlet: 2.9 bar}]", []),
        ("[{inlet: 100 bar, outlet: 3.0 bar}, {inlet: 81 bar, outlet: 2.9 bar}]", ["E236"]),
        ("[{inlet: 100 bar, outlet: 3.0 bar}, {inlet: 10000 kPa, outlet: 2.9 bar}]", ["E236"]),
        ("[]", ["E235"]),
        (f"{BOTH[:-1]}, {{inlet: 80 bar, outlet: 2.95 bar}}]", ["E235"]),
        ("[{inlet: 130 bar, outlet: 3.08 bar}, {inlet: 2 bar, outlet: 2.0 bar}]", ["E237"]),
        ("[{inlet: 251 bar, outlet: 3.08 bar}, {inlet: 30 bar, outlet: 2.82 bar}]", ["E238"]),
        ("[{inlet: 160 bar, outlet: 3.08 bar}, {inlet: 30 bar, outlet: 2.82 bar}]", ["E238"]),
        ("[{inlet: 130 bar, outlet: 0 bar}, {inlet: 30 bar, outlet: 40 bar}]", ["E108", "E237"]),
        ("[{inlet: 130 bar}, {inlet: 30 psia, outlet: 2.82 bar}]", ["E202", "E107"]),
    ],
)
def test_two_outlets_of_one_regulator(measured: str, codes: list[str], tmp_path: Path) -> None:
    """Two, at inlets well apart, each on the dial and within a full cylinder, each outlet below its inlet."""
    data = copy_demo(tmp_path / "site") / "content/data"
    change(data / "machines.yaml", BOTH, measured)
    assert codes == [problem.code for problem in load(data, "content/data")[1]]


def test_a_gauge_of_unknown_accuracy_still_ends_somewhere(tmp_path: Path) -> None:
    """Without a possible error, what a full cylinder has in the warm is the most that can have been read."""
    data = copy_demo(tmp_path / "site") / "content/data"
    change(data / "machines.yaml", BOTH, BOTH.replace("130", "150"))
    change(data / "gauges.yaml",
           "accuracy: {class: 2.5}\n  place: theatre\n  checked: 2026-03-01\n  found_error: 2 bar",
           "accuracy: unknown\n  place: theatre")  # fmt: skip
    assert "E238" in [problem.code for problem in load(data, "content/data")[1]]

"""What holds for all tests: what their workers share, and laws that are tried on the same examples on each machine."""

from __future__ import annotations

import os

import pytest
from hypothesis import settings

import shared

# No example is timed, and none is drawn anew: a green run means the same on each machine.
settings.register_profile("suite", deadline=None, derandomize=True, database=None)
settings.load_profile("suite")


@pytest.fixture(scope="session", autouse=True)
def _shared_by_the_workers(tmp_path_factory: pytest.TempPathFactory) -> None:
    own = tmp_path_factory.getbasetemp()
    shared.of_run = (own.parent if "PYTEST_XDIST_WORKER" in os.environ else own) / "shared"
    shared.of_run.mkdir(exist_ok=True)

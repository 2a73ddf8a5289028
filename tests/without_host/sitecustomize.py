"""Makes a machine on which the host and its theme are not installed, for all that Python starts from here on.

Used by putting this folder on PYTHONPATH: `PYTHONPATH=tests/without_host python -m pytest --ignore tests/site`.
"""

from __future__ import annotations

import sys
from importlib.abc import MetaPathFinder

HOST = ("mkdocs", "material")


class NotInstalled(MetaPathFinder):
    """Answers an import of the host as Python does where it is not there."""

    def find_spec(self, name: str, path: object = None, target: object = None) -> None:
        """Refuse the host, and leave all else to the others."""
        if name.split(".")[0] in HOST:
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)


sys.meta_path.insert(0, NotInstalled())

"""A disk without room, to be put in the place of one of the system's calls."""

from __future__ import annotations

import errno
import os

FULL = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def no_room(*_: object, **__: object) -> None:
    """Refuse as a full disk does."""
    raise FULL

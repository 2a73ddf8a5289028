"""Makes a machine whose clock is 400 days ahead, for all that Python starts from here on.

Used by putting this folder on PYTHONPATH. A clock that C code reads for itself stays as it is.
"""

from __future__ import annotations

import datetime
import time
from typing import Any

_AHEAD_S = 400 * 24 * 60 * 60
_date, _datetime, _time, _time_ns = datetime.date, datetime.datetime, time.time, time.time_ns


class _Days(type):
    """Lets the days and times that C code makes pass for those of the classes below."""

    def __instancecheck__(cls, thing: object) -> bool:
        return isinstance(thing, cls.__mro__[1])


class Date(_date, metaclass=_Days):
    """A day; `today` asks `time.time` by itself."""


class DateTime(_datetime, metaclass=_Days):
    """A time; now is another one."""

    @classmethod
    def now(cls, tz: datetime.tzinfo | None = None) -> Any:
        return cls.fromtimestamp(time.time(), tz)

    @classmethod
    def utcnow(cls) -> Any:
        return cls.now(datetime.UTC).replace(tzinfo=None)


_gmtime, _localtime, _strftime = time.gmtime, time.localtime, time.strftime
time.time = lambda: _time() + _AHEAD_S
time.time_ns = lambda: _time_ns() + _AHEAD_S * 10**9
time.gmtime = lambda moment=None: _gmtime(time.time() if moment is None else moment)
time.localtime = lambda moment=None: _localtime(time.time() if moment is None else moment)
time.strftime = lambda form, told=None: _strftime(form, time.localtime() if told is None else told)
time.ctime = lambda moment=None: time.asctime(time.localtime(moment))
datetime.date, datetime.datetime = Date, DateTime  # type: ignore[misc]

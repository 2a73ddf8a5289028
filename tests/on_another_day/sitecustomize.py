"""Makes a machine whose clock stands on the day ON_ANOTHER_DAY, for all that Python starts from here on.

Without that day it is 400 days ahead. Used by putting this folder on PYTHONPATH. A clock that C code reads
for itself stays as it is.
"""

from __future__ import annotations

import datetime
import os
import time
from typing import Any

_date, _datetime, _time, _time_ns = datetime.date, datetime.datetime, time.time, time.time_ns
_DAY = os.environ.get("ON_ANOTHER_DAY")
_DAYS = (_date.fromisoformat(_DAY) - _date.today()).days if _DAY else 400
_AHEAD_S = _DAYS * 24 * 60 * 60


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

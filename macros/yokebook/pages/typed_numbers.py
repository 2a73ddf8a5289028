"""Numbers with a unit that stand in an author's own words: no change of the data will ever reach them."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from dataclasses import dataclass

from yokebook.errors import Level, Problem
from yokebook.pages.places import Places
from yokebook.pages.probes import Probe
from yokebook.pages.rendered import HEADING, LINK, Spot
from yokebook.units import UNITS

_KINDS = ("pressure", "volume", "flow", "duration")
# The closed table, and how people write out or misspell what is in it.
_PER = "(?: ?/ ?| per | a )"
_LITRES = "(?:milli)?lit(?:re|er)s?"
_FLOWS = f"(?:m?l|{_LITRES}){_PER}(?:minute|min|hour|hr|h)"
_WRITTEN_OUT = (
    _LITRES, "lpm", "cc", "cu ft", "m3", "ft3",
    "cubic f(?:ee|oo)t", "cubic met(?:re|er)s?", "bars?", "barg", "bara", "mbar", "millibars?", "kilopascals?",
    "megapascals?", "atmospheres?", "torr", "pounds? per square inch", "kg/cm[2²]", "kgf/cm2", "cmH2O",
    "mins?", "minutes?", "hrs?", "hours?", "secs?", "seconds?", r"p\.s\.i\.?", r"l\.p\.m\.?", "ltrs?", "l/m",
    # As colleagues type them who learnt their trade elsewhere.
    "minuten", "stunden?", "std", "sekunden?", "litern?", "minut(?:os?|i|er)", "heures?", "horas?", "ore",
    "litros?", "litri",
)  # fmt: skip
_LETTERS = ("L", "l", "h")
_SYMBOLS = sorted(
    (re.escape(unit.symbol) for unit in UNITS if unit.dimension in _KINDS and len(unit.symbol) > 1),
    key=len,
    reverse=True,
)
_UNIT = rf"(?:(?i:{'|'.join([_FLOWS, *_SYMBOLS, *_WRITTEN_OUT])})|{'|'.join(_LETTERS)}|(?<= )s)(?![\w/²³])"
_ONES = "one|two|three|four|five|six|seven|eight|nine"
_TENS = "twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety"
_BELOW_HUNDRED = (
    f"(?:(?:{_TENS})(?:[- ](?:{_ONES}))?|(?:thir|four|fif|six|seven|eigh|nine)teen|ten|eleven|twelve|{_ONES})"
)
_WORDS = (
    f"(?:(?:(?:{_BELOW_HUNDRED}|an?) )?(?:hundred|thousand)(?: (?:and )?(?:(?:{_ONES}) hundred|{_BELOW_HUNDRED}))?"
    f"|{_BELOW_HUNDRED})(?: and a half)?"
)
_UNITS_AFTER_WORDS = "lit(?:re|er)s?|minutes?|hours?|bars?|psi|kpa|kilopascals?"
_NUMBER = r"(?:[0-9]+ ?[½¼¾]|[½¼¾]|[0-9]+/[0-9]+|[0-9]+(?:[ ,.][0-9]{3})+(?:[.,][0-9]+)?|[0-9]+(?:[.,][0-9]+)?)"
_RANGE = r"(?: ?[-–—] ?| (?:to|and|or) )"
_FOUND = re.compile(
    rf"(?<![\w.,/–—-])[~≈±−-]?(?:{_NUMBER}{_RANGE})?{_NUMBER}[ -]?{_UNIT}"
    rf"|\b(?i:(?:{_WORDS})[ -](?:{_UNITS_AFTER_WORDS}))\b"
    r"|\b(?i:half an hour|(?:a |three |three-)?quarters? of an hour|half a lit(?:re|er)|an hour and a half)\b"
    # How full a cylinder is to be. A range of parts is what is known of a gas, and "a half-full one" is no mark either.
    r"|\b(?<!to )(?<!or )(?i:(?:(?:an?|one|two|three|the last)[ -](?:thirds?|quarters?)|half)"
    r"(?: of (?:it|(?:the|a|its) (?:cylinder|contents|gas|tank|bottle)))?(?: (?:is|are|still|then|only))*"
    r" (?:left|remaining)(?! to\b))\b"
    r"|(?<=\bis )(?i:(?:(?:an?|one|three)[ -])?(?:half|third|quarters?)[ -](?:full|empty))\b"
    rf"|(?<![\w.,/–—-]){_NUMBER} ?(?:%|(?i:per ?cent))(?i: (?:full|empty|left|remaining|of (?:the|its) contents))\b"
)
# A mark to act on, told without its unit: only after such a verb, and before no word that it may count.
_BELOW = "at or below|below|under|less than|lower than"
_MARK = f"{_BELOW}|at least|not less than|no less than|at or above|above|over|more than"
_COUNT = "[1-9][0-9]?[ ,][0-9]{3}|[1-9][0-9]{1,4}"
_GOES_ON = "or|and|on|in|while|when|with|the|if|before|until|after|by|at"
_NO_COUNT = rf"(?=[.,;:!?)]?(?:\s*$|\s+(?:[A-Z]|(?:{_GOES_ON})\b))|[.,;:!?)]\s)"
_BARE = re.compile(
    rf"\b(?i:(?:change|swap|replace)(?: it| them| (?:the|a) cylinder)? (?P<act>(?:{_BELOW}|at) (?:{_COUNT}))"
    rf"|(?:reads?|reading|shows?|pointer|needle|gauge|dial)(?: is| stands)? (?P<read>(?:{_MARK}) (?:{_COUNT}))"
    rf"|(?:falls|drops|fallen|dropped|down) (?P<down>(?:to|{_BELOW}) (?:{_COUNT}))"
    rf"|(?:must|should|has to|have to|needs to|is to|ought to) (?:show|read|stand at|be at) "
    rf"(?P<must>(?:(?:{_MARK}|about) )?(?:{_COUNT}))){_NO_COUNT}",
    re.MULTILINE,
)
# What a reader does not see, or sees as a space: marks of emphasis, tags, addresses, entities, the end of a line.
_UNSEEN = re.compile(
    r"""(?P<dropped> <!--.*?--> | <[A-Za-z/][^<>]*> | (?<=\])\([^()\n]*\) | ^[ ]{0,3}\[[^\]\n]+\]:[^\n]*
        | https?://[^\s)]+ | [*\\]+ | (?<!\w)_+ | _+(?!\w))
      | (?P<space> &(?:nbsp|thinsp|\#160|\#8239|\#xa0|\#x202f); | [ \t]*\n[ \t>]* | [ ]{2,}
        | [\u00a0\u2007\u2009\u202f\t])
      | (?P<entity> &(?:[A-Za-z0-9]+|\#[0-9]+|\#x[0-9A-Fa-f]+);)""",
    re.MULTILINE | re.DOTALL | re.VERBOSE,
)
_EXAMPLE = '{{ typed(text="40 to 45 psi", why="as the label of the regulator says") }}'


@dataclass(frozen=True)
class Typed:
    """A number with its unit as a reader reads it, and the piece of the author's text where it stands."""

    text: str
    start: int
    end: int

    @property
    def probe(self) -> Probe:
        """What asks Markdown where the number comes to stand."""
        return Probe(self.start, self.end)


def find(masked: str) -> Iterator[Typed]:
    """Yield each number with a unit in a text in which calls and code are masked, and each mark to act on without one.

    >>> [typed.text for typed in find("At **30** bar, 40 to 45&nbsp;psi or 1/2 h: step 3, pins 2-5, `5 L`?")]
    ['30 bar', '40 to 45 psi', '1/2 h', '5 L']
    >>> [typed.text for typed in find("Change below 50. It reads under 12 lines; change at 3, change at 20 of 30.")]
    ['below 50']
    """
    seen: list[str] = []
    offsets: list[int] = []
    at = 0
    for unseen in _UNSEEN.finditer(masked):
        _keep(masked[at : unseen.start()], at, seen, offsets)
        at = unseen.end()
        instead = " " if unseen["space"] else html.unescape(unseen["entity"] or "")
        _keep(instead, unseen.start(), seen, offsets)
    _keep(masked[at:], at, seen, offsets)
    text = "".join(seen)
    for found in _FOUND.finditer(text):
        yield Typed(found.group(), offsets[found.start()], offsets[found.end() - 1] + 1)
    for found in _BARE.finditer(text):
        start, end = found.span(found.lastgroup or 0)
        yield Typed(text[start:end], offsets[start], offsets[end - 1] + 1)


def _keep(text: str, offset: int, seen: list[str], offsets: list[int]) -> None:
    seen.append(text)
    offsets.extend(range(offset, offset + len(text)))


def problem(typed: Typed, spot: Spot, places: Places) -> Problem | None:
    """Return the problem of a typed number, None where no reader reads it as text."""
    if spot.is_unread:
        return None
    allowed = "a call that works it out, a value of the data, or typed with the reason why it stands here"
    example = _EXAMPLE
    if spot.refused in (HEADING, LINK):
        what, where = ("heading", "below") if spot.refused == HEADING else ("link", "beside it")
        allowed = f"the {what} without the number, and a call in the text {where}"
        example = ""
    return places.problem(
        typed.start,
        "E562",
        "this number is typed by hand: it would stay as it is when the department's data change",
        written=typed.text,
        allowed=allowed,
        example=example,
    )


def in_front_matter(text: str, file: str, line: int, column: int) -> Iterator[Problem]:
    """Yield the problem of each number with a unit in a title or summary that stands at a place."""
    for typed in find(text):
        yield Problem(
            file,
            line,
            column,
            Level.ERROR,
            "E562",
            "this number is typed by hand: it would stay as it is when the department's data change",
            written=typed.text,
            allowed="the same words without the number: the page itself says it, by a call",
            example="summary: How long the cylinder on the yoke lasts.",
        )

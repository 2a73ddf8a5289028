"""What looks like a person's identity in a page's text: learning from an incident needs what happened, never who."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from yokebook.errors import Level, Problem
from yokebook.pages.places import Places

_DIGITS = 10
_TEN_DIGITS = re.compile(r"(?<![\w.])[0-9]{3}[ -]?[0-9]{3}[ -]?[0-9]{4}(?![\w.]|[ -][0-9])")
_DAY = (
    r"(?:[0-9]{1,2}[./ -][0-9]{1,2}[./ -](?:[0-9]{4}|[0-9]{2})|[0-9]{4}-[0-9]{2}-[0-9]{2}"
    r"|[0-9]{1,2}(?:st|nd|rd|th)? (?:of )?(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)[a-z]*\.?,? [0-9]{4})"
)
_BORN = re.compile(rf"(?i:\bborn(?: on)?|\bdate of birth|\bbirth ?date|\bd\.?o\.?b\.?)[ :]*(?i:{_DAY})")
_TITLED = re.compile(
    r"\b(?:Mr|Mrs|Ms|Miss|Mx|Dr|Prof|Professor|Doctor|Sir|Sister|Nurse|Matron)\b\.?[ \u00a0]+"
    r"[A-Z][a-z]*[.'’-]?(?:[A-Z]?[a-z’'-]*)(?:[ \u00a0][A-Z][\w’'-]+)?"
)
# Of a country, with its sign or the zeros for it; of a town or a mobile, with its leading zero and nine digits or more;
# three, three and four digits; or six and more behind a word for it. A shorter one is an extension of the house.
_SAME = r"(?:[ ()./-]{0,2}[0-9])"
_TELEPHONE = re.compile(
    rf"(?<![\w.+])(?:\+|00)[1-9]{_SAME}{{7,13}}(?!\w)"
    rf"|(?<![\w.,/+-])(?:\(0[0-9]{{1,4}}\)|0[1-9][0-9]){_SAME}{{6,9}}(?![\w%])"
    r"|(?<![\w.])(?:\([2-9][0-9]{2}\) ?|[2-9][0-9]{2}[ .-])[0-9]{3}[.-][0-9]{4}(?!\w)"
    rf"|\b(?i:tel|telephone|phone|mobile|cell|ring|pager|bleep)\b[.:]?(?: (?:number|no\.?|on|at|is))*[: ]+(?!{_DAY})"
    rf"[0-9]{_SAME}{{5,}}(?!\w)"
)
_ADDRESS = re.compile(r"\b[A-Za-z]+[._][A-Za-z]+@[\w-]+(?:\.[\w-]+)+")
_LOOKS = (
    ("a person's number", _TEN_DIGITS),
    ("a date of birth", _BORN),
    ("a person's name", _TITLED),
    ("a telephone number", _TELEPHONE),
    ("a person's e-mail address", _ADDRESS),
)
_ALLOWED = (
    "what happened, in roles: the person at the machine, a patient on the way; if it is no person, name the words "
    "under not_a_person in the front matter"
)


def has_check_digit(number: str) -> bool:
    """Return whether ten digits end with their check digit by modulus 11, weights 10 to 2.

    The scheme of several national patient numbers (from memory; the same as that of a ten-digit book number, ISO 2108
    before 2007, save that a remainder which would need the digit X is never issued).

    >>> has_check_digit("9434765919"), has_check_digit("9434765918"), has_check_digit("0000000000")
    (True, False, False)
    """
    digits = [int(digit) for digit in number if digit.isdecimal()]
    if len(digits) != _DIGITS or len(set(digits)) == 1:
        return False
    total = sum(weight * digit for weight, digit in zip(range(10, 1, -1), digits, strict=False))
    return (11 - total % 11) % 11 == digits[-1]


def look_for(front: Sequence[str], body: str, file: str, no_person: Sequence[str]) -> Iterator[Problem]:
    """Yield a warning at each text that looks like a person's identity, those named in `no_person` left out.

    `front`: the lines before the body, with its front matter. A name of `no_person` that does not stand in the body is
    a warning too: it may hide a later slip.
    """
    text = "\n".join([*front, body])
    places = Places(file, text, 1)
    told: list[range] = []
    for what, pattern in _LOOKS:
        for found in pattern.finditer(text):
            written = found.group().rstrip(".")
            if pattern is _TEN_DIGITS and not has_check_digit(written):
                continue
            if any(found.start() in span for span in told) or any(n in written or written in n for n in no_person):
                continue
            told.append(range(*found.span()))
            yield _warning(places, found.start(), what, written)
    for name in no_person:
        if name not in body:
            yield Problem(
                file,
                0,
                0,
                Level.WARNING,
                "W772",
                f"not_a_person names {name}, and the text does not hold it",
                allowed="only what stands in the text",
            )


def _warning(places: Places, offset: int, what: str, text: str) -> Problem:
    line, column = places.of(offset)
    return Problem(
        places.file,
        line,
        column,
        Level.WARNING,
        "W771",
        f"this looks like {what}",
        written=text,
        allowed=_ALLOWED,
        example=f"not_a_person: [{text}]",
    )

"""What stands beside the editions and leads into them: `index.html`, `editions.html`, and `go/` with each procedure.

All of it follows from the list of editions alone, byte for byte, so that a check can tell each changed bit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta

from yokebook.control.editions import FOLDER, SCRIPT, Edition, Editions, Listed, Span, edition_named
from yokebook.control.standing import DRAFT, Withdrawal
from yokebook.data.fields import PROCEDURE
from yokebook.templates import render

GO = "go"
INDEX, LIST, STYLE = "index.html", "editions.html", "editions.css"


@dataclass(frozen=True)
class Way:
    """A link: its words, and where it leads from the target's root; "" where the words lead nowhere."""

    words: str
    to: str = ""


@dataclass(frozen=True)
class Stopped:
    """What is no longer to be used, why, and the ways to what is to be used instead."""

    what: str
    withdrawal: Withdrawal
    instead: Way


@dataclass(frozen=True)
class Pointer:
    """One small page that leads on at once (`to`), or says why it does not."""

    title: str
    to: Way | None = None
    about: str = ""
    stopped: Stopped | None = None


@dataclass(frozen=True)
class Row:
    """One edition in the list: the days on which it was in force, and what became of it."""

    edition: Edition
    spans: list[Span]
    became: str
    stopped: Stopped | None


def of_target(editions: Editions) -> dict[str, bytes]:
    """Return each file beside the editions by its path below the target, in the order in which they are written."""
    files = {STYLE: _bytes(render("editions.css")), LIST: _list(editions)}
    for number, edition, listed in editions.procedures():
        path = path_of(number)
        files[path] = _page(_to_procedure(number, edition, listed, editions), root="../")
    files[INDEX] = _page(_to_current(editions), root="")
    return files


def of_draft(procedures: Mapping[str, Listed]) -> dict[str, bytes]:
    """Return what stands beside a draft: the same files as in a target, and a list without any edition."""
    draft = f"{FOLDER}/{DRAFT.folder}"
    about = "A draft, made for reading and checking. Not for use."
    files = {STYLE: _bytes(render("editions.css")), SCRIPT: Editions().as_script(), LIST: _list(Editions())}
    for number, listed in sorted(procedures.items()):
        to = Way(f"{number} {listed.title}, as it is in the draft", f"{draft}/{listed.page}")
        files[path_of(number)] = _page(Pointer(f"{number} {listed.title}", to, about), root="../")
    files[INDEX] = _page(Pointer("Draft", Way("The draft", f"{draft}/{INDEX}"), about), root="")
    return files


def path_of(procedure: str) -> str:
    """Return where the pointer to a procedure lies below the target.

    >>> path_of("CYL-01")
    'go/cyl-01.html'
    """
    return f"{GO}/{procedure.lower()}.html"


def _to_current(editions: Editions) -> Pointer:
    current = editions.current
    if current is None:
        return Pointer("Nothing published yet", about="No edition has been published here.")
    if current.withdrawn:
        instead = _instead_of_edition(current, editions, "")
        return Pointer(
            f"Edition {current.number}: withdrawn",
            stopped=Stopped(f"edition {current.number}", current.withdrawn, instead),
        )
    return Pointer(_edition(current), Way(_edition(current), f"{current.address}/{INDEX}"), _since(current))


def _to_procedure(number: str, edition: Edition, listed: Listed, editions: Editions) -> Pointer:
    """Return the pointer to a procedure that `edition`, the newest that holds it, lists."""
    title = f"{number} {listed.title}"
    current = editions.current
    assert current is not None
    if number in editions.withdrawn:
        withdrawal = editions.withdrawn[number]
        return Pointer(f"{title}: withdrawn", stopped=Stopped(number, withdrawal, _instead(withdrawal, editions)))
    if edition is not current:
        about = (
            f"Do not use {number}: it is not in edition {current.number}, and stood last in edition {edition.number}."
        )
        return Pointer(f"{title}: not in use", about=about)
    if current.withdrawn:
        instead = _instead_of_edition(current, editions, number)
        return Pointer(f"{title}: withdrawn", stopped=Stopped(f"edition {current.number}", current.withdrawn, instead))
    words = f"{number} issue {listed.issue}, {listed.title}"
    return Pointer(title, Way(words, f"{current.address}/{listed.page}"), f"{_edition(current)}, {_since(current)}")


def _instead(withdrawal: Withdrawal, editions: Editions) -> Way:
    """Return the way to what is used instead of a procedure: another one, or words that lead nowhere."""
    number = withdrawal.instead
    titles = {known: listed.title for known, _, listed in editions.procedures()}
    if PROCEDURE.fullmatch(number) and number in titles:
        return Way(f"{number} {titles[number]}", path_of(number))
    return Way(number)


def _instead_of_edition(edition: Edition, editions: Editions, procedure: str) -> Way:
    """Return the way to what is used instead of a withdrawn edition: the same procedure in another one, or words."""
    used, seen = edition, {edition.number}
    while used.withdrawn:
        number = edition_named(used.withdrawn.instead)
        named = editions.numbered(number) if number else None
        if named is None or named.number in seen:
            return _instead(used.withdrawn, editions)
        seen.add(named.number)
        used = named
    listed = used.procedures.get(procedure)
    if listed:
        return Way(f"{procedure} issue {listed.issue} in edition {used.number}", f"{used.address}/{listed.page}")
    lacking = f", which does not hold {procedure}" if procedure else ""
    return Way(f"{_edition(used)}{lacking}", f"{used.address}/{INDEX}")


def _edition(edition: Edition) -> str:
    return f"Edition {edition.number}"


def _since(edition: Edition) -> str:
    return f"in force from {edition.in_force}"


def _page(pointer: Pointer, root: str) -> bytes:
    return _bytes(render("pointer.html", pointer=pointer, root=root, list=LIST, style=STYLE))


def _list(editions: Editions) -> bytes:
    stopped = [
        Stopped(f"{number} {listed.title}", editions.withdrawn[number], _instead(editions.withdrawn[number], editions))
        for number, _, listed in editions.procedures()
        if number in editions.withdrawn
    ]
    return _bytes(render("editions.html", rows=list(_rows(editions)), stopped=stopped, style=STYLE, index=INDEX))


def _rows(editions: Editions) -> Iterator[Row]:
    for edition in reversed(editions.editions):
        stopped = None
        if withdrawal := edition.withdrawn:
            stopped = Stopped(_edition(edition), withdrawal, _instead_of_edition(edition, editions, ""))
        spans = editions.spans_of(edition)
        yield Row(edition, spans, _became(edition, spans, editions), stopped)


def _became(edition: Edition, spans: Sequence[Span], editions: Editions) -> str:
    """Return what became of an edition that was not withdrawn, by the days on which it was in force."""
    if not spans:
        return "Never in force"
    if last := spans[-1].until:
        following = last + timedelta(days=1)
        after = editions.on(following) or next(editions.led_through(following))
        return f"Superseded by edition {after.number} from {following} on"
    if edition is editions.current:
        return "The newest"
    return "In force again" if len(spans) > 1 else "In force"


def _bytes(text: str) -> bytes:
    return f"{text.rstrip()}\n".encode()

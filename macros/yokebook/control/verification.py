"""Verifying a target: editions against their manifests, pointers against the list, approvals against their pages."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path

from yokebook.control import approved, as_read, carried, manifest, pointers, published_record
from yokebook.control.as_read import UnreadableError
from yokebook.control.comparison import as_lines, compare_pages
from yokebook.control.editions import FOLDER, SCRIPT, Edition, Editions
from yokebook.control.records import Records
from yokebook.control.target import HOLDER, LOCK, PARTIAL, Target
from yokebook.errors import ProblemError


class Kind(StrEnum):
    """What is not as it was published."""

    MISSING = "missing"
    ADDED = "added"
    CHANGED = "changed"
    UNFINISHED = "unfinished"


@dataclass(frozen=True, order=True)
class Finding:
    """One thing that is not as it was published: its path below the target, and a word on it where one helps."""

    path: str
    kind: Kind
    words: str = ""

    def line(self) -> str:
        """Return it as a line for a terminal."""
        return f"{self.kind + ':':<12}{self.path}" + (f" ({self.words})" if self.words else "")


_FINISH = "a run was stopped: yokebook publish --finish"
_ANEW = "yokebook publish --finish writes it anew from the list of editions"
_NO_MANIFEST = "no edition can be held against it"


def verify(target: Target) -> list[Finding]:
    """Return all that is not as it was published, in order; nothing where all is."""
    try:
        editions = target.editions()
        if not (target.root / SCRIPT).is_file():
            return sorted([Finding(SCRIPT, Kind.MISSING, "the list of editions"), *_editions_alone(target)])
    except ProblemError as error:
        (problem,) = error.problems
        return sorted([Finding(SCRIPT, Kind.CHANGED, problem.wrong), *_editions_alone(target)])
    found = [
        finding for edition in editions.editions for finding in _edition(target, edition.address, edition.manifest)
    ]
    return sorted({*found, *_pointers(target, editions), *_strangers(target, editions)})


def _editions_alone(target: Target) -> Iterator[Finding]:
    """Yield what is wrong with each edition by its own manifest, where no list says what that manifest should be."""
    folder = target.root / FOLDER
    for path in sorted(folder.iterdir()) if folder.is_dir() else ():
        if path.is_dir() and path.name.isdigit():
            yield from _edition(target, f"{FOLDER}/{path.name}", "")


def _edition(target: Target, address: str, digest: str) -> Iterator[Finding]:
    folder, own = target.root / address, f"{address}/{manifest.NAME}"
    if folder.is_symlink() or not folder.is_dir():
        yield Finding(address, Kind.MISSING, "a whole edition")
        return
    try:
        content = (folder / manifest.NAME).read_bytes()
    except OSError:
        yield Finding(own, Kind.MISSING, _NO_MANIFEST)
        return
    if digest and manifest.digest_of(content) != digest:
        yield Finding(own, Kind.CHANGED, _NO_MANIFEST)
        return
    try:
        differences = manifest.differences(folder, content)
    except ValueError as error:
        yield Finding(own, Kind.CHANGED, str(error))
        return
    for kind, paths in (
        (Kind.MISSING, differences.missing),
        (Kind.ADDED, differences.added),
        (Kind.CHANGED, differences.changed),
    ):
        yield from (Finding(f"{address}/{path}", kind) for path in paths)


def _pointers(target: Target, editions: Editions) -> Iterator[Finding]:
    """Yield each pointer that does not follow from the list; one that followed from it before is merely unfinished.

    What it said before a withdrawal was corrected is not known any more.
    """
    is_perhaps_corrected = bool(editions.withdrawn) or any(edition.withdrawn for edition in editions.editions)
    by_whom = "by hand, or a correction of a withdrawal was stopped" if is_perhaps_corrected else "by hand"
    before = [pointers.of_target(earlier) for earlier in _earlier(editions)]
    for name, content in pointers.of_target(editions).items():
        try:
            found = (target.root / name).read_bytes()
        except OSError:
            is_new = any(name not in files for files in before) or not before
            yield Finding(name, Kind.UNFINISHED, _FINISH) if is_new else Finding(name, Kind.MISSING, _ANEW)
            continue
        is_link = (target.root / name).is_symlink()
        if found != content or is_link:
            is_old = not is_link and found in [files.get(name) for files in before]
            changed = Finding(name, Kind.CHANGED, f"{by_whom}; {_ANEW}")
            yield Finding(name, Kind.UNFINISHED, _FINISH) if is_old else changed


def _earlier(editions: Editions) -> Iterator[Editions]:
    """Yield the lists that may have stood before this one: without its newest edition, without each withdrawal."""
    if len(editions.editions) > 1:
        yield replace(editions, editions=editions.editions[:-1])
    for number in editions.withdrawn:
        yield replace(editions, withdrawn={key: kept for key, kept in editions.withdrawn.items() if key != number})
    for edition in editions.editions:
        if edition.withdrawn:
            shown = (replace(each, withdrawn=None) if each is edition else each for each in editions.editions)
            yield replace(editions, editions=tuple(shown))


def _strangers(target: Target, editions: Editions) -> Iterator[Finding]:
    """Yield what lies in the target beside what was published there."""
    known = {SCRIPT, LOCK, HOLDER, FOLDER, pointers.GO, *pointers.of_target(editions)}
    known |= {edition.address for edition in editions.editions}
    left = set(target.left_behind(editions))
    yield from (Finding(name, Kind.UNFINISHED, _FINISH) for name in left)
    for folder in ("", pointers.GO, FOLDER):
        at = target.root / folder
        for path in at.iterdir() if at.is_dir() else ():
            name = path.relative_to(target.root).as_posix()
            if name not in known | left and not name.endswith(PARTIAL):
                yield Finding(name, Kind.ADDED)


def verify_approvals(target: Target, records: Records, folder: Path) -> list[Finding]:
    """Return where an edition differs from what was approved, by the records below `folder`, and where these differ."""
    try:
        editions = target.editions()
    except ProblemError:
        return []
    root = target.root.as_posix()
    found = [
        Finding(problem.file, Kind.CHANGED, problem.wrong)
        for problem in published_record.disagreements(records, editions, root)
    ]
    others = [*published_record.other_withdrawals(records, editions)]
    found += [Finding(records.file(f"{number}.yaml"), Kind.CHANGED, words) for number, words in others]
    if not found and published_record.lacks(records, editions):
        found.append(Finding(records.file("editions.yaml"), Kind.UNFINISHED, _FINISH))
    for edition in editions.editions:
        found += _against_approvals(target, edition, records, folder)
    for moved in carried.moved_records(target, editions, records):
        words = f"issue {moved.issue}: {moved.parts} was changed after edition {moved.edition} was published with it"
        found.append(Finding(records.file(f"{moved.procedure}.yaml"), Kind.CHANGED, words))
    return sorted(set(found))


def _against_approvals(target: Target, edition: Edition, records: Records, folder: Path) -> Iterator[Finding]:
    try:
        pages = as_read.read_edition(target.root / edition.address)
    except (OSError, UnreadableError) as error:
        yield Finding(edition.address, Kind.CHANGED, f"its pages cannot be held against what was approved: {error}")
        return
    published = {page.procedure: page for page in pages.values() if page.procedure}
    for number, listed in sorted(edition.procedures.items()):
        where = f"{edition.address}/{listed.page}"
        issue = records.issue(number, listed.issue)
        before = approved.read(folder, number, issue.number, issue.as_read) if issue else None
        if before is None:
            name = f"{approved.FOLDER}/{number}-{listed.issue}.json"
            yield Finding(
                records.file(name), Kind.CHANGED, f"it is not what was approved as {number} issue {listed.issue}"
            )
        elif number not in published:
            yield Finding(where, Kind.MISSING, f"the words of {number}")
        elif changes := compare_pages(before.page, published[number]):
            moved = "; ".join(line.strip() for line in as_lines(changes)[1:4])
            yield Finding(where, Kind.CHANGED, f"not as {number} issue {listed.issue} was approved: {moved}")

"""The order of work of publishing: made and looked over on the local disk, copied, read back, named, announced.

The one moment from which an edition counts is the replacement of `editions.js`. A stop before it leaves nothing that
anybody is led to; a stop after it is made good from `editions.js` alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from yokebook.control import carried, manifest
from yokebook.control.as_read import read_edition
from yokebook.control.carried import NOTHING, Carried
from yokebook.control.digest import of_file
from yokebook.control.editions import FOLDER, SCRIPT, Edition, Editions, Listed
from yokebook.control.pointers import INDEX
from yokebook.control.standing import EditionMark, Withdrawal
from yokebook.control.target import Target, refused
from yokebook.errors import Problem, ProblemError

Build = Callable[[Path, Path | None], Sequence[Problem]]
"""Makes an edition's pages in an empty folder of the local disk; the second folder is the edition before it, if any."""
Say = Callable[[str], None]
_LONG_WITH_TARGET = 240
_ASSETS = "assets/"
"""Where an edition's looks lie: styles and scripts, the same for each edition."""


@dataclass(frozen=True)
class Plan:
    """What is to be published on top of the list as it is: the edition, its procedures, and which are withdrawn."""

    before: Editions
    mark: EditionMark
    procedures: Mapping[str, Listed]
    withdrawn: Mapping[str, Withdrawal]
    carried: Carried = NOTHING

    def lines(self) -> Iterator[str]:
        """Yield what the edition brings, against the one before it."""
        current = self.before.current
        old = current.procedures if current else {}
        yield f"Edition {self.mark.number}, in force from {self.mark.in_force}"
        for number, listed in sorted(self.procedures.items()):
            was = f"issue {old[number].issue} before" if number in old else "new"
            if number in old and old[number].issue == listed.issue:
                was = "unchanged"
            yield f"  {number}  issue {listed.issue}, {was}: {listed.title}"
        for number in sorted(old.keys() - self.procedures.keys()):
            withdrawal = self.withdrawn.get(number)
            was = f"withdrawn on {withdrawal.on}" if withdrawal else "no longer in it"
            yield f"  {number}  {was}: {old[number].title}"


@dataclass(frozen=True)
class Made:
    """An edition on the local disk, looked over: its folder, its manifest, its entry in the list."""

    folder: Path
    manifest: bytes
    edition: Edition

    def far_too_long(self, root: Path) -> str:
        """Return the longest path within the target where some systems will not open it, "" where all will."""
        paths = (f"{root.resolve()}/{self.edition.address}/{path}" for path in manifest.read(self.manifest))
        longest = max(paths, key=len)
        return longest if len(longest) > _LONG_WITH_TARGET else ""


def make(target: Target, plan: Plan, build: Build, folder: Path) -> Made:
    """Make an edition in an empty folder of the local disk. Raises ProblemError for all that is wrong with it."""
    assert plan.mark.number is not None
    assert plan.mark.in_force is not None
    folder.mkdir(parents=True)
    if problems := build(folder, _before(target, plan.before)):
        raise ProblemError(problems)
    (folder / manifest.TOOLS).write_bytes(manifest.tools())
    (folder / carried.NAME).write_bytes(plan.carried.as_bytes())
    if problems := list(_looked_over(folder, plan)):
        raise ProblemError(problems)
    content = manifest.of_folder(folder)
    (folder / manifest.NAME).write_bytes(content)
    if problems := list(_nothing_new(target, plan, content)):
        raise ProblemError(problems)
    edition = Edition(plan.mark.number, plan.mark.in_force, manifest.digest_of(content), dict(plan.procedures))
    return Made(folder, content, edition)


def _before(target: Target, editions: Editions) -> Path | None:
    """Return the folder of the newest edition, from which the new one tells what changed; first it is looked at."""
    return target.as_published(editions.current) if editions.current else None


def _looked_over(folder: Path, plan: Plan) -> Iterator[Problem]:
    """Yield what keeps a finished edition from being published: names, and pages that it should have and has not."""
    files = sorted(manifest.files_below(folder))
    address = f"{FOLDER}/{plan.mark.folder}"
    for path in files:
        if why := manifest.unfit(path, folder, address):
            allowed = f"{manifest.ALLOWED}; no links"
            yield from refused("E619", path, f"this name cannot be published: {why}", allowed).problems
    pages = {
        INDEX: "the first page",
        **{listed.page: f"the page of {number}" for number, listed in plan.procedures.items()},
    }
    for path, what in sorted(pages.items()):
        if path not in files:
            yield from refused(
                "E620", path, f"{what} was not made", "a page for each procedure, and an index.md"
            ).problems
    yield from _other_pictures(folder)


def _other_pictures(folder: Path) -> Iterator[Problem]:
    """Yield each picture that is not the one with which its page was worked out, and so not the one approved."""
    for page in read_edition(folder).values():
        for path, digest in page.files.items():
            file = folder / path
            if not file.is_file() or of_file(path, file.read_bytes()) != digest:
                wrong = (
                    f"somebody saved this picture, or took it away, while the edition was made; {page.path} shows it"
                )
                allowed = "the picture as it was approved: yokebook check tells whether it is; then publish again"
                yield from refused("E620", path, wrong, allowed).problems


def _nothing_new(target: Target, plan: Plan, content: bytes) -> Iterator[Problem]:
    """Yield that an edition would be the one before it once more: the same pages, records, looks and tools."""
    current = plan.before.current
    if current is None or current.withdrawn or not plan.carried.content:
        return
    folder = target.edition(current.number)
    listed = manifest.read((folder / manifest.NAME).read_bytes())
    if carried.read(folder) == plan.carried and _looks(listed) == _looks(manifest.read(content)):
        wrong = f"nothing changed since edition {current.number}, in force from {current.in_force}"
        allowed = "a page, a value, an approval, a review or a withdrawal that readers do not have yet"
        yield from refused("E623", target.root.as_posix(), wrong, allowed).problems


def _looks(listed: Mapping[str, str]) -> dict[str, str]:
    return {path: digest for path, digest in listed.items() if path == manifest.TOOLS or path.startswith(_ASSETS)}


def put(target: Target, plan: Plan, made: Made, who: str, say: Say) -> Editions:
    """Put a finished edition into the target and announce it; return the list as it is then.

    Raises ProblemError where anything stops it. Whatever that is, readers find whole editions alone.
    """
    with target.locked(who, f"publishing edition {made.edition.number}") as last:
        if target.editions() != plan.before:
            wrong = f"the list of editions moved since this run began; last at work in this folder: {last}"
            raise refused("E612", (target.root / SCRIPT).as_posix(), wrong, "a fresh start: run publish again")
        if target.is_ahead_of(plan.before):
            wrong = f"the list of editions has gone back; last at work in this folder: {last}"
            raise refused("E612", (target.root / SCRIPT).as_posix(), wrong, "editions.js put back from a backup")
        target.clear(plan.before)
        if plan.before.editions:
            target.put_pointers(plan.before)
        target.put_edition(made.edition.number, made.folder, made.manifest, say)
        after = plan.before.with_edition(made.edition, plan.withdrawn)
        announce(target, after, f"edition {made.edition.number} is published")
    return after


def announce(target: Target, after: Editions, done: str) -> None:
    """Replace the list of editions, from which moment it counts, then all that follows from it; the lock is held."""
    target.put(SCRIPT, after.as_script())
    with _unfinished(target, done):
        target.put_pointers(after)


def finish(target: Target, who: str) -> Editions:
    """Do again what follows from the list of editions, after a run that was stopped; return the list."""
    _list_to_finish(target)
    with target.locked(who, "finishing what was published"):
        editions = _list_to_finish(target)
        target.clear(editions)
        target.put_pointers(editions)
    return editions


def _list_to_finish(target: Target) -> Editions:
    editions = target.editions()
    if editions.current is None or target.is_ahead_of(editions):
        wrong = "there is no list of editions here, or it has gone back"
        allowed = "a folder in which an edition was published; or editions.js put back from a backup"
        raise refused("E612", (target.root / SCRIPT).as_posix(), wrong, allowed)
    return editions


@contextmanager
def _unfinished(target: Target, done: str) -> Iterator[None]:
    """Say, where the work stops now, that the list is replaced already, and how to go on."""
    try:
        yield
    except ProblemError as error:
        more = f"; {done}, and what leads to it is finished with: yokebook publish {target.root} --finish"
        raise ProblemError(replace(problem, wrong=problem.wrong + more) for problem in error.problems) from error

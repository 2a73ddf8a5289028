"""A folder in which editions are published: read, locked, and changed one whole file or folder at a time."""

from __future__ import annotations

import errno
import getpass
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import partial
from pathlib import Path
from typing import TypeVar

from yokebook.control import manifest, pointers
from yokebook.control.as_read import NUMBERS, WORDS
from yokebook.control.disk import Disk
from yokebook.control.editions import FOLDER, SCRIPT, DamagedError, Edition, Editions, read_script
from yokebook.errors import Level, Problem, ProblemError

LOCK, HOLDER = "publishing.lock", "publishing.txt"
PARTIAL = ".partial"
PATIENCE_S = 30.0
"""How long a refused operation is tried again: a share refuses while a reader has the file open."""
_PAUSE_S = 0.2
_LOCK_PATIENCE_S = 1.0
"""Long enough for whoever has just taken the lock to write a name beside it."""
_NOBODY_KNOWN = "somebody"
_MAY_PASS = {errno.EACCES, errno.EPERM, errno.EBUSY, errno.EAGAIN, errno.ETXTBSY}
_FULL = {errno.ENOSPC, errno.EDQUOT}

T = TypeVar("T")


def refused(code: str, file: str, wrong: str, allowed: str, suggestion: str = "") -> ProblemError:
    """Return the one problem for which the work on a target stops."""
    return ProblemError([Problem(file, 0, 0, Level.ERROR, code, wrong, allowed=allowed, suggestion=suggestion)])


def this_user() -> str:
    """Return who runs the program, as others are told: the user's name at the machine's."""
    try:
        user = getpass.getuser()
    except (OSError, KeyError):  # an account without a name
        user = "somebody"
    return f"{user}@{socket.gethostname()}"


class Target:
    """The folder of a published reference; `root` is its own folder, never inside the department's content."""

    def __init__(self, root: Path, disk: Disk | None = None) -> None:
        self.root = root
        self.disk = disk or Disk()

    def edition(self, number: int) -> Path:
        """Return the folder of an edition."""
        return self.root / FOLDER / f"{number:04}"

    def editions(self) -> Editions:
        """Return the list of editions, an empty one where nothing has been published yet."""
        try:
            script = self._read(SCRIPT)
            return Editions() if script is None else read_script(script)
        except DamagedError as error:
            allowed = f"{SCRIPT} from a backup of the target; the editions themselves stay as they are"
            raise refused("E612", self._shown(SCRIPT), f"the list of editions is damaged: {error}", allowed) from error

    def as_published(self, edition: Edition) -> Path:
        """Return the folder of an edition whose lists of words and numbers were held against its manifest.

        Raises ProblemError, with the first files, where they are not as they were published.
        """
        folder = self.edition(edition.number)
        try:
            content = (folder / manifest.NAME).read_bytes()
            differences = manifest.differences(folder, content, (NUMBERS, WORDS))
            altered = differences.as_text
            if manifest.digest_of(content) != edition.manifest:
                altered = f"changed: {manifest.NAME}"
        except (OSError, ValueError):
            altered = f"missing, or not to be read: {manifest.NAME if folder.is_dir() else 'the whole folder'}"
        if altered:
            wrong = f"edition {edition.number} is not as it was published, and nothing can be told from it ({altered})"
            allowed = f"the edition put back from a backup; yokebook verify {self.root} names each such file"
            raise refused("E620", folder.as_posix(), wrong, allowed)
        return folder

    def _read(self, name: str) -> bytes | None:
        """Return the bytes of a file, None where it is not there."""

        def read() -> bytes | None:
            try:
                return self.disk.read(self.root / name)
            except FileNotFoundError:
                return None

        return self._do("read", name, read)

    @contextmanager
    def locked(self, who: str, work: str) -> Iterator[str]:
        """Hold the target's lock while something is done in it, and give who was last at work before.

        Whoever comes meanwhile, or comes later with a plan made before, is told who does or did what.
        """
        self._do("make", "", lambda: self.disk.make_folder(self.root))
        lock = self._do("lock", LOCK, lambda: self.disk.lock(self.root / LOCK, _LOCK_PATIENCE_S))
        if lock is None:
            wrong = f"{self._holder()} is at work in this folder"
            raise refused("E611", self._shown(LOCK), wrong, "one after the other: wait, then run it again")
        try:
            before, script = self._holder(), self._read(SCRIPT)
            self._do("write", HOLDER, lambda: self._name(f"{who}, {work}"))
            try:
                yield before
            except BaseException:
                with suppress(OSError, ProblemError):  # who changed nothing here is no longer named
                    if self._read(SCRIPT) == script:
                        self._name(before)
                raise
        finally:
            lock.release()

    def _name(self, holder: str) -> None:
        """Name who is at work; the file of somebody else is removed, since not everybody may write into it."""
        self.disk.remove(self.root / HOLDER)
        if holder != _NOBODY_KNOWN:
            self.disk.write(self.root / HOLDER, f"{holder}\n".encode())

    def _holder(self) -> str:
        with suppress(OSError, UnicodeDecodeError):
            if told := self.disk.read(self.root / HOLDER).decode("utf-8").strip():
                return told
        return _NOBODY_KNOWN

    def put(self, name: str, content: bytes) -> None:
        """Put a file in its place, whole: written beside it, flushed, read back, renamed; nothing where it is there."""
        path = self.root / name
        if self._holds(path, content):
            return
        beside = path.with_name(path.name + PARTIAL)
        self._do("make", name, lambda: self.disk.make_folder(path.parent))
        self._do("write", name, lambda: self.disk.write(beside, content))
        if self._do("read", name, lambda: self.disk.read(beside)) != content:
            raise self._not_as_written(name)
        self._do("replace", name, lambda: self.disk.replace(beside, path))

    def _holds(self, path: Path, content: bytes) -> bool:
        with suppress(OSError):
            return not path.is_symlink() and self.disk.read(path) == content
        return False

    def put_edition(self, number: int, source: Path, content: bytes, say: Callable[[str], None]) -> None:
        """Put an edition in its place: copied beside it, flushed, read back against its manifest, then renamed."""
        place = self.edition(number)
        beside = place.with_name(place.name + PARTIAL)
        digests = manifest.read(content)
        for count, path in enumerate(sorted(digests), start=1):
            self._copy(beside / path, (source / path).read_bytes())
            say(f"Copied {count} of {len(digests)} files.")
        self._copy(beside / manifest.NAME, content)
        read_back = self._do("read", f"{FOLDER}/{beside.name}", lambda: manifest.differences(beside, content))
        if read_back or self._read(f"{FOLDER}/{beside.name}/{manifest.NAME}") != content:
            raise self._not_as_written(f"{FOLDER}/{place.name}")
        self._do("rename", f"{FOLDER}/{place.name}", lambda: self.disk.rename(beside, place))

    def _copy(self, path: Path, content: bytes) -> None:
        name = path.relative_to(self.root).as_posix()
        self._do("make", name, lambda: self.disk.make_folder(path.parent))
        self._do("write", name, lambda: self.disk.write(path, content))

    def put_pointers(self, editions: Editions) -> None:
        """Put what follows from the list of editions in its place."""
        for name, content in pointers.of_target(editions).items():
            self.put(name, content)

    def leads_to(self, editions: Editions) -> bool:
        """Return whether all that follows from a list of editions is in its place."""
        return all(self._holds(self.root / name, content) for name, content in pointers.of_target(editions).items())

    def left_behind(self, editions: Editions) -> list[str]:
        """Return what a run that was stopped left: what stands beside its place, and an edition that no list names."""
        found = [path for name in ("", pointers.GO, FOLDER) for path in self._listed(name)]
        left = [path for path in found if path.name.endswith(PARTIAL)]
        unlisted = self.edition(len(editions.editions) + 1)
        names = sorted(path.relative_to(self.root).as_posix() for path in left)
        return [*names, *([unlisted.relative_to(self.root).as_posix()] if unlisted.exists() else [])]

    def clear(self, editions: Editions) -> None:
        """Remove what a run that was stopped left; an edition loses its name first, so that none is ever seen half."""
        for name in self.left_behind(editions):
            if name.endswith(PARTIAL):
                self._remove(name)
            else:
                self._do("rename", name, partial(self.disk.rename, self.root / name, self.root / (name + PARTIAL)))
                self._remove(name + PARTIAL)

    def _remove(self, name: str) -> None:
        self._do("remove", name, lambda: self.disk.remove(self.root / name))

    def is_ahead_of(self, editions: Editions) -> bool:
        """Return whether a pointer, or an edition's folder, is ahead of a list of editions: the list has gone back."""
        following = len(editions.editions) + 1
        names = [path.name for path in self._listed(FOLDER)]
        if any(name.isdigit() and int(name) > following for name in names):
            return True
        return f"{FOLDER}/{following:04}/".encode() in (self._read(pointers.INDEX) or b"")

    def _listed(self, name: str) -> list[Path]:
        """Return what lies in one of the target's folders, nothing where it is not there."""
        folder = self.root / name
        return self._do("read", name, lambda: list(folder.iterdir()) if folder.is_dir() else [])

    def _do(self, what: str, name: str, action: Callable[[], T]) -> T:
        """Do one thing with the target's files; what a share refuses for the moment is tried again for 30 s."""
        give_up = self.disk.seconds() + PATIENCE_S
        while True:
            try:
                return action()
            except OSError as error:
                if error.errno not in _MAY_PASS or self.disk.seconds() >= give_up:
                    raise self.not_done(what, name, error) from error
            self.disk.wait(_PAUSE_S)

    def not_done(self, what: str, name: str, error: OSError) -> ProblemError:
        """Return the problem of an operation on one of the target's files that the system refused."""
        reason = error.strerror or type(error).__name__
        wrong = f"the folder's disk or share did not let the program {what} this ({reason})"
        if error.errno in _MAY_PASS:
            wrong += f", tried again for {PATIENCE_S:.0f} seconds"
            allowed = "a folder in which you may write, and nobody holding this file open; then run it again"
        elif error.errno in _FULL:
            allowed = "more room on the disk; then run it again"
        else:
            allowed = "a folder in which you may write; then run it again"
        return refused("E613", self._shown(name), wrong, allowed)

    def _not_as_written(self, name: str) -> ProblemError:
        wrong = "what was read back is not what was written: the disk or the share lost something"
        return refused("E613", self._shown(name), wrong, "a disk or share that keeps what it is given")

    def _shown(self, name: str) -> str:
        return (self.root / name).as_posix()

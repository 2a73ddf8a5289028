"""The manifest of an edition: the SHA-256 of each of its files, in order, as the ordinary checksum tools read it.

Beside it lies a file with the versions of the tools that made the edition, which the manifest covers.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from unicodedata import normalize

from yokebook.control.editions import FOLDER

NAME = "MANIFEST.sha256"
TOOLS = "versions.json"
_MADE_BY = ("yokebook", "coolprop", "jinja2", "markdown", "mkdocs", "pint", "pydantic", "pymdown-extensions")
_LINE = re.compile(r"([0-9a-f]{64})  (.+)")
LONGEST = 150
"""The most characters of a path below the target: a share adds its own name, and some systems end at 260."""
ALLOWED = (
    "small letters from a to z, digits, hyphens, underscores, full stops; "
    f"at most {LONGEST} characters from {FOLDER}/ on"
)
"""What the name of a published file is made of, as a report says it."""
_OTHER_SIGN = re.compile("[^a-z0-9._/-]")
"""A sign that an address cannot have as it is, or that not every file share can name."""
_NAMED = 3
"""How many paths of one kind a report names."""
_UNFIT = re.compile(r"\.(?:/|$)|(?:^|/)(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\.|/|$)")
"""What some file shares cannot name: a full stop at the end, names of devices."""


@dataclass(frozen=True)
class Differences:
    """How a folder differs from its manifest: paths that are missing, that were added, whose bytes changed."""

    missing: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.missing or self.added or self.changed)

    @property
    def as_text(self) -> str:
        """Which paths they are, the first of each kind by name.

        >>> Differences(("a.json",), changed=("b.json", "c.json", "d.json", "e.json")).as_text
        'missing: a.json; changed: b.json, c.json, d.json and 1 more'
        """
        kinds = {"missing": self.missing, "added": self.added, "changed": self.changed}
        return "; ".join(f"{kind}: {_first(paths)}" for kind, paths in kinds.items() if paths)


def _first(paths: Sequence[str]) -> str:
    more = f" and {len(paths) - _NAMED} more" if len(paths) > _NAMED else ""
    return ", ".join(paths[:_NAMED]) + more


def tools() -> bytes:
    """Return the versions of what makes an edition; a package that is not installed has no part in it."""
    found = {name: text for name in _MADE_BY if (text := _version(name))}
    return f"{json.dumps(found, indent=1, sort_keys=True)}\n".encode()


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return ""


def of_folder(folder: Path) -> bytes:
    """Return the manifest of what lies below a folder now."""
    digests = {path: digest_of((folder / path).read_bytes()) for path in files_below(folder)}
    return "".join(f"{digests[path]}  {path}\n" for path in sorted(digests)).encode()


def read(content: bytes) -> dict[str, str]:
    """Return the digest of each path that a manifest lists; raise ValueError for a line that is none."""
    digests = {}
    *lines, end = content.decode("utf-8").split("\n")
    for line in [*lines, end] if end else lines:
        matched = _LINE.fullmatch(line)
        if matched is None:
            raise ValueError(f"{NAME} holds a line that is no digest with its path")
        digests[matched[2]] = matched[1]
    return digests


def differences(folder: Path, content: bytes, parts: Sequence[str] = ()) -> Differences:
    """Return how a folder differs from the manifest that was made of it; only within some folders of it where named."""
    listed = {path: digest for path, digest in read(content).items() if _within(path, parts)}
    found = {path for path in files_below(folder) if _within(path, parts)}
    changed = (path for path in sorted(found & listed.keys()) if _digest_if_whole(folder / path) != listed[path])
    return Differences(tuple(sorted(listed.keys() - found)), tuple(sorted(found - listed.keys())), tuple(changed))


def _within(path: str, parts: Sequence[str]) -> bool:
    return not parts or path.partition("/")[0] in parts


def files_below(folder: Path) -> Iterator[str]:
    """Yield each file below a folder, links too, but for its manifest."""
    for path in folder.rglob("*"):
        name = path.relative_to(folder).as_posix()
        if name != NAME and (path.is_symlink() or not path.is_dir()):
            yield name


def unfit(path: str, folder: Path, address: str) -> str:
    """Return why a path below `folder`, which goes to `address` below a target, cannot be published, "" if it can."""
    return "it is a link to another file" if (folder / path).is_symlink() else unfit_name(f"{address}/{path}")


def unfit_name(path: str) -> str:
    """Return why nothing can be published at a path below a target, "" where it can.

    >>> unfit_name("editions/0001/Plug #2.html"), unfit_name("editions/0001/aux.html")
    ('it has capital letters, a space, #', 'some file shares cannot have a file of this name')
    """
    if signs := _OTHER_SIGN.findall(normalize("NFC", path)):  # a letter with its accent is one sign or two
        return f"it has {', '.join(dict.fromkeys(map(_in_words, signs)))}"
    if len(path) > LONGEST:
        return f"it has {len(path)} characters"
    if _UNFIT.search(path):
        return "some file shares cannot have a file of this name"
    return ""


def _in_words(sign: str) -> str:
    """Return how a report names a sign."""
    if sign.isupper():
        return "capital letters"
    if sign == " ":
        return "a space"
    return sign if sign.isprintable() else "a sign that cannot be seen"


def _digest_if_whole(path: Path) -> str:
    """Return the digest of a file; "" for a link, or where the disk cannot read it any more."""
    try:
        return "" if path.is_symlink() else digest_of(path.read_bytes())
    except OSError:
        return ""


def digest_of(content: bytes) -> str:
    """Return the SHA-256 of some bytes."""
    return sha256(content).hexdigest()

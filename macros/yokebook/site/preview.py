"""A preview that builds again when a page or a data file is saved, and keeps the last good pages where that fails."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from yokebook.reference import report
from yokebook.reference.assembling import assembled
from yokebook.reference.layout import CONFIG
from yokebook.reference.whole import Reference
from yokebook.site.build import build


def preview(folder: Path, port: int, say: Callable[[str], None]) -> bool:
    """Serve a department's pages on this machine alone until the program is stopped.

    `say` takes what is to be told. Return False, at once, where the pages have errors to begin with.
    """
    from mkdocs.livereload import LiveReloadServer

    with TemporaryDirectory(prefix="yokebook-") as temporary:
        site = Path(temporary) / "site"

        def renew() -> None:
            _built(assembled(folder), site, say)

        if not _built(assembled(folder), site, say):
            return False
        server = LiveReloadServer(renew, "127.0.0.1", port, str(site))
        for watched in ("content", CONFIG):
            server.watch(str(folder / watched))
        say(f"Open {server.url} in a browser. Saved changes show at once; stop with Ctrl+C.")
        try:
            server.serve()  # type: ignore[no-untyped-call]  # mkdocs leaves it untyped
        except KeyboardInterrupt:
            say("Stopped.")
        finally:
            server.shutdown()
    return True


def _built(reference: Reference, site: Path, say: Callable[[str], None]) -> bool:
    """Build the pages anew, or tell what is wrong and leave the last good ones."""
    if not reference.problems.stops_the_build and (failure := build(reference, site, command="serve")):
        reference.problems.add(failure)
    say(report.as_text(reference.problems, reference.lines_of).rstrip())
    return not reference.problems.stops_the_build

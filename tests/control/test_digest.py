"""The digest: it falls with what a reader reads, and stays through all else."""

from __future__ import annotations

from hashlib import sha256

from yokebook.control.digest import of_page

PAGE = b'---\ntitle: A page\n---\nText {{ change_at(cylinder="oxygen-e") }}\n'
CALLS = [('change_at(cylinder="oxygen-e")', {"caption": "Change at", "rows": [["40 bar"]]})]
FILES = [("yoke.png", b"picture"), ("dial.png", b"other")]


def test_the_digest_is_the_one_that_is_described() -> None:
    """SHA-256 over lines: the version, the page, each call's text and canonical JSON, each file's path and SHA-256."""
    lines = [
        "yokebook-digest 1",
        sha256(PAGE).hexdigest(),
        'change_at(cylinder="oxygen-e")',
        '{"caption":"Change at","rows":[["40 bar"]]}',
        "dial.png " + sha256(b"other").hexdigest(),
        "yoke.png " + sha256(b"picture").hexdigest(),
    ]
    assert sha256("".join(line + "\n" for line in lines).encode()).hexdigest() == of_page(PAGE, CALLS, FILES).whole


def test_a_bom_and_crlf_move_nothing() -> None:
    """An editor on another system does not take an approval away."""
    assert of_page(PAGE, CALLS, FILES) == of_page(b"\xef\xbb\xbf" + PAGE.replace(b"\n", b"\r\n"), CALLS, FILES)


def test_each_part_moves_alone() -> None:
    """The three parts tell which of page, calls and files has moved."""
    before = of_page(PAGE, CALLS, FILES)
    changed = {
        "page": of_page(PAGE + b"more\n", CALLS, FILES),
        "calls": of_page(PAGE, [(CALLS[0][0], {"caption": "Change at", "rows": [["50 bar"]]})], FILES),
        "files": of_page(PAGE, CALLS, [("yoke.png", b"new"), FILES[1]]),
    }
    for part, after in changed.items():
        moved = {name for name in ("page", "calls", "files") if getattr(before, name) != getattr(after, name)}
        assert {part} == moved
        assert before.whole != after.whole


def test_a_drawing_in_text_may_have_other_ends_of_lines() -> None:
    """An SVG is read the same with CRLF and LF (XML 1.0, 2.11); in any other picture each byte counts."""
    svg, crlf = b"<svg>\n</svg>\n", b"<svg>\r\n</svg>\r\n"
    for name in ("yoke.svg", "yoke.SVG"):
        assert of_page(PAGE, CALLS, [(name, svg)]) == of_page(PAGE, CALLS, [(name, crlf)])
    assert of_page(PAGE, CALLS, [("yoke.png", svg)]) != of_page(PAGE, CALLS, [("yoke.png", crlf)])

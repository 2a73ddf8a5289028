"""The content security policy of each page: everything works under it over file://, nothing comes from elsewhere."""

from __future__ import annotations

import re
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from bench import Visit
from demo_site import ROOT
from standing_site import DRAFT

OURS = ROOT / "site_templates"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; base-uri 'none'; form-action 'none'"
)


class Read(HTMLParser):
    """What of a page a policy is about, in the order in which it stands."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))


def pages_of(site: Path) -> list[Path]:
    """Return the pages of the draft."""
    return sorted((site / DRAFT).rglob("*.html"))


def tags_of(page: Path) -> list[tuple[str, dict[str, str | None]]]:
    reader = Read()
    reader.feed(page.read_text(encoding="utf-8"))
    return reader.tags


def test_each_page_forbids_all_that_it_does_not_need(built_site: Path) -> None:
    """The policy is the same on every page and stands before anything that it governs."""
    assert pages_of(built_site)
    for page in pages_of(built_site):
        head = [(tag, attributes) for tag, attributes in tags_of(page) if tag not in ("html", "head")]
        assert [
            ("meta", {"charset": "utf-8"}),
            ("meta", {"http-equiv": "Content-Security-Policy", "content": POLICY}),
        ] == head[:2]


def test_no_pointer_lets_more_in_than_a_page(built_site: Path) -> None:
    """What stands beside the editions forbids all that it does not need as well."""
    pointers = [path for path in built_site.rglob("*.html") if "editions" not in path.parts[len(built_site.parts) :]]
    assert pointers
    for page in pointers:
        policy = next(attributes["content"] for _, attributes in tags_of(page) if "http-equiv" in attributes)
        assert policy
        assert set(policy.split("; ")) <= set(POLICY.split("; ")), page
        assert "default-src 'none'" in policy, page


def test_no_page_holds_what_the_policy_forbids(built_site: Path) -> None:
    """No script, style or handler within the page, no frame, nothing from elsewhere, no address from a root."""
    for page in pages_of(built_site):
        for tag, attributes in tags_of(page):
            assert tag not in ("style", "iframe", "object", "embed", "base", "form"), (page, tag)
            assert tag != "script" or attributes.get("src"), page
            assert not [name for name in attributes if name == "style" or name.startswith("on")], (
                page,
                tag,
                attributes,
            )
            loaded = [
                attributes.get("src"),
                attributes.get("srcset"),
                attributes.get("href") if tag == "link" else None,
            ]
            for address in loaded:
                assert not address or re.match(r"(data:|[^/:]+(/|$))", address), (page, address)
            assert not (attributes.get("href") or "").startswith(("/", "javascript:")), (page, attributes)


def test_no_page_says_what_made_it(built_site: Path) -> None:
    """No word of the host or of its theme, no time of the build."""
    for page in pages_of(built_site):
        text = page.read_text(encoding="utf-8").lower()
        assert 'name="generator"' not in text, page
        assert "mkdocs-material" not in text or "writing" in page.parts, page
        assert "squidfunk" not in text, page


FORBIDDEN = {
    "fetch": r"\bfetch\s*\(",
    "request": r"\bXMLHttpRequest\b|\bEventSource\b|\bWebSocket\b|\bsendBeacon\b",
    "worker": r"\bWorker\b|\bserviceWorker\b|\bimportScripts\b",
    "module": r"""type\s*=\s*["']module|^\s*(import|export)\b|\bimport\s*\(""",
    "text run as script": r"\beval\s*\(|\bnew Function\b|\bset(Timeout|Interval)\s*\(\s*[\"']|\bjavascript:",
    "text made HTML": r"\bdocument\.write\b|\.(inner|outer)HTML\b|\binsertAdjacentHTML\b",
    "font": r"@font-face|@import",
    "address from a root": r"""(href|src)\s*=\s*["']/|url\(\s*["']?/""",
    "file from elsewhere": r"""(src|srcset)\s*=\s*["'](https?:)?//|url\(\s*["']?(https?:)?//""",
    "style from elsewhere": r"""<link[^>]*href\s*=\s*["']https?:""",
}
"""What fails over file:// or under the policy, and what would ask another host."""


@pytest.mark.parametrize("what", FORBIDDEN)
def test_our_own_files_do_without(what: str) -> None:
    """Templates, styles and scripts hold nothing of the kind, outside their comments."""
    looked_at = [path for path in OURS.rglob("*") if path.suffix in (".html", ".css", ".js", ".svg")]
    assert len(looked_at) > 10
    for path in looked_at:
        text = re.sub(r"/\*.*?\*/|\{#.*?#\}", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
        assert not re.search(FORBIDDEN[what], text, re.MULTILINE), path


def test_the_policy_bites(browser: Browser, built_site: Path, tmp_path: Path, open_page: Callable[..., Visit]) -> None:
    """A script and a style put into a page do nothing there: what the tests above see is not their own blindness."""
    text = (built_site / DRAFT / "index.html").read_text(encoding="utf-8")
    planted = '<script>document.title = "planted";</script><p id="p" style="width: 7px">x</p></body>'
    (tmp_path / "planted.html").write_text(text.replace("</body>", planted), encoding="utf-8")
    visit = open_page((tmp_path / "planted.html").as_uri())
    assert "planted" != visit.page.title()
    assert "7px" != visit.page.evaluate("getComputedStyle(document.getElementById('p')).width")
    refused = "\n".join(visit.troubles)
    assert "refused by script-src" in refused
    assert "refused by style-src" in refused

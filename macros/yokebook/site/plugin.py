"""The host's plugin: hands the worked pages to mkdocs and takes its HTML back. The work is done in `reference/`."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import get_toc
from mkdocs.utils.templates import TemplateContext

from yokebook.control.as_read import NUMBERS, WORDS
from yokebook.pages import extensions
from yokebook.pages.addresses import way_to_root
from yokebook.pages.incident import FOLDER as INCIDENTS
from yokebook.reference import report
from yokebook.reference.assembling import assembled
from yokebook.reference.pages_as_read import lists_of_words
from yokebook.reference.whole import Reference
from yokebook.site import search
from yokebook.site.cards import on_sheets
from yokebook.site.navigation import Navigator, as_home_lists
from yokebook.site.page_context import PageContext
from yokebook.site.pdf import PdfLink, links_of
from yokebook.site.shown import Shown, shown_pages
from yokebook.templates import folder as template_folder

_OURS = str(template_folder() / "theme")
_STYLES = ("yokebook", "yokebook-find", "yokebook-changes", "yokebook-print", "yokebook-card")
_SCRIPTS = ("yokebook-folds", "yokebook-find", "yokebook-search", "yokebook-rows")
_UNWANTED = {"404.html", "sitemap.xml"}
"""Pages of the host's that serve a web root alone, and dates that would differ between two builds of the same input."""


class NoOptions(Config):  # type: ignore[no-untyped-call]  # mkdocs does not type its own subclassing
    """The plugin's options: none, all is said in the department's data."""


class YokebookPlugin(BasePlugin[NoOptions]):  # type: ignore[no-untyped-call]  # as above
    """Renders the department's calls into the host's pages."""

    reference: Reference | None = None
    navigator: Navigator
    shown: dict[str, Shown]
    is_preview = False
    has_pdf = False
    """Whether PDFs are made of the pages, once these are finished."""

    def on_startup(self, command: str, **_: Any) -> None:
        """Learn whether the pages are for a preview."""
        self.is_preview = command == "serve"

    def on_config(self, config: MkDocsConfig, **_: Any) -> MkDocsConfig:
        """Work the reference out, unless the build has done so, and give the host our extensions and templates."""
        if self.reference is None:
            self.reference = assembled(Path(config.config_file_path).parent)
        if self.reference.problems.stops_the_build:
            raise PluginError("\n" + report.as_text(self.reference.problems, self.reference.lines_of))
        config.markdown_extensions = list(extensions.EXTENSIONS)
        config.mdx_configs = {name: dict(settings) for name, settings in extensions.SETTINGS.items()}
        config.theme.dirs.insert(0, _OURS)
        config.theme.static_templates -= _UNWANTED
        # Over file:// a link to a folder shows its files, not its page.
        config.use_directory_urls = False
        config.extra_css += [f"assets/{name}.css" for name in _STYLES]
        config.extra_javascript += [f"assets/{name}.js" for name in _SCRIPTS]
        return config

    def on_files(self, files: Files, config: MkDocsConfig, **_: Any) -> Files:
        """Take out what the host no longer renders; put in the pages that no author writes."""
        # Our pages use none of the theme's styles, scripts and images.
        of_theme = {folder for folder in config.theme.dirs if folder not in (_OURS, config.theme.custom_dir)}
        # What no page uses is covered by no approval.
        used = self._reference.used_files | self._reference.pages.keys()
        unused = [file for file in files if file.src_dir == config.docs_dir and file.src_uri not in used]
        unwanted = [file for file in files if file.src_uri in _UNWANTED or file.src_dir in of_theme]
        for file in dict.fromkeys([*unused, *unwanted]):
            files.remove(file)
        self.shown = shown_pages(self._reference)
        for path, shown in self.shown.items():
            if path not in self._reference.pages:
                place = InclusionLevel.NOT_IN_NAV if shown.beside else InclusionLevel.UNDEFINED
                files.append(File.generated(config, path, content=f"# {shown.title}\n", inclusion=place))
        return files

    def on_nav(self, nav: Navigation, config: MkDocsConfig, **_: Any) -> Navigation:
        """Put the sections in order, unless the configuration has done so, and learn each page's neighbours."""
        home = self.shown.get("index.md")
        if config.nav is None and home:
            nav.items = as_home_lists(nav.items, home.html)
        self.navigator = Navigator(nav)
        return nav

    def on_page_context(self, context: TemplateContext, page: Page, **_: Any) -> TemplateContext:
        """Give the template the way to the page and its neighbours, and how the page stands."""
        context["yokebook_navigation"] = self.navigator.around(page)  # type: ignore[typeddict-unknown-key]  # our template's own name
        context["yokebook_page"] = self._context(page)  # type: ignore[typeddict-unknown-key]  # as above
        return context

    def on_page_markdown(self, _text: str, page: Page, **_: Any) -> str:
        """Leave the host no text to render: what Markdown makes of a page is known since it was checked."""
        shown, worked = self.shown[page.file.src_uri], self._reference.pages.get(page.file.src_uri)
        page.meta.update(title=shown.title, summary=worked.page.front.summary if worked else None)
        if worked and worked.withdrawal:
            page.title = shown.title  # whatever mkdocs.yml calls it: nobody is led to it unwarned
        return ""

    def on_page_content(self, _html: str, page: Page, **_: Any) -> str:
        """Give the host a page's finished HTML and its headings."""
        shown = self.shown[page.file.src_uri]
        page.toc = get_toc(shown.headings)  # type: ignore[arg-type]  # the library's own form
        return on_sheets(shown.html, self._context(page), self._reference.copies_of(page.file.src_uri))

    def on_post_build(self, config: MkDocsConfig, **_: Any) -> None:
        """Write the numbers of each page beside the pages, what the search knows; and the words of an edition's pages.

        What moved is told from editions: the words of a draft are read from its pages where they are asked for.
        """
        lists = {NUMBERS: self._reference.lists_of_numbers()}
        if self._reference.edition.number is not None:
            lists[WORDS] = lists_of_words(self._reference)
        for folder, named in lists.items():
            for name, text in named:
                path = Path(config.site_dir) / folder / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text(text, encoding="utf-8", newline="\n")
        index = search.index_of(self.shown, self._reference)
        (Path(config.site_dir) / search.INDEX).write_text(index, encoding="utf-8", newline="\n")

    @property
    def _reference(self) -> Reference:
        assert self.reference is not None
        return self.reference

    def _context(self, page: Page) -> PageContext:
        path = page.file.src_uri
        reference, path = self._reference, self.shown[path].beside or path
        worked = reference.pages.get(path)
        settings = reference.department.settings if reference.department else None
        called = map(reference.called, worked.page.front.machines) if worked else ()
        return PageContext(
            standing=reference.standing_of(path),
            edition=reference.edition,
            root=way_to_root(page.url),
            department=settings.name if settings else "",
            machines=tuple(map(_under_machines, called)),
            is_preview=self.is_preview,
            base_url=(settings.base_url or "") if settings else "",
            review=self._review_behind(path),
            pdfs=self._pdfs_of(page.file.src_uri),
        )

    def _pdfs_of(self, path: str) -> tuple[PdfLink, ...]:
        worked = self._reference.pages.get(path)
        return links_of(path, (worked.page.front.procedure if worked else None) or "") if self.has_pdf else ()

    def _review_behind(self, path: str) -> str:
        """Return the title of the incident that a page's issue answers; its name where its page is gone."""
        standing = self._reference.standing_of(path)
        if standing is None or not standing.incident:
            return ""
        told = self._reference.pages.get(f"{INCIDENTS}/{standing.incident}.md")
        return told.page.front.title if told else standing.incident


def _under_machines(label: str) -> str:
    """Return a machine's label as it stands under the head "Machines": "the theatre machine" is "theatre" there."""
    return label.removeprefix("the ").removesuffix(" machine")

"""The host's plugin: hands the worked pages to mkdocs and takes its HTML back. The work is done in `reference/`."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin
from mkdocs.structure.files import File, Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import get_toc
from mkdocs.utils.templates import TemplateContext

from yokebook.pages import extensions
from yokebook.reference import report
from yokebook.reference.whole import Reference, work_out
from yokebook.site.navigation import Navigator
from yokebook.site.page_context import PageContext, way_to_root
from yokebook.templates import folder as template_folder

NUMBERS = "numbers"
_UNWANTED = {"404.html", "sitemap.xml"}
"""Pages of the host's that serve a web root alone, and dates that would differ between two builds of the same input."""


class NoOptions(Config):  # type: ignore[no-untyped-call]  # mkdocs does not type its own subclassing
    """The plugin's options: none, all is said in the department's data."""


class YokebookPlugin(BasePlugin[NoOptions]):  # type: ignore[no-untyped-call]  # as above
    """Renders the department's calls into the host's pages."""

    reference: Reference | None = None
    navigator: Navigator

    def on_config(self, config: MkDocsConfig, **_: Any) -> MkDocsConfig:
        """Work the reference out, unless the build has done so, and give the host our extensions and templates."""
        if self.reference is None:
            self.reference = work_out(Path(config.config_file_path).parent)
        if self.reference.problems.stops_the_build:
            raise PluginError("\n" + report.as_text(self.reference.problems, self.reference.lines_of))
        config.markdown_extensions = list(extensions.EXTENSIONS)
        config.mdx_configs = {name: dict(settings) for name, settings in extensions.SETTINGS.items()}
        config.theme.dirs.insert(0, str(template_folder() / "theme"))
        config.theme.static_templates -= _UNWANTED
        # Over file:// a link to a folder shows its files, not its page.
        config.use_directory_urls = False
        config.extra_css.append("assets/yokebook.css")
        return config

    def on_files(self, files: Files, config: MkDocsConfig, **_: Any) -> Files:
        """Take out what the host no longer renders; put in the pages that no author writes."""
        for file in [file for file in files if file.src_uri in _UNWANTED]:
            files.remove(file)
        for path, generated in self._reference.generated.items():
            files.append(File.generated(config, path, content=f"# {generated.title}\n"))
        return files

    def on_nav(self, nav: Navigation, **_: Any) -> Navigation:
        """Learn each page's neighbours."""
        self.navigator = Navigator(nav)
        return nav

    def on_page_context(self, context: TemplateContext, page: Page, **_: Any) -> TemplateContext:
        """Give the template the way to the page and its neighbours, and how the page stands."""
        context["yokebook_navigation"] = self.navigator.around(page)  # type: ignore[typeddict-unknown-key]  # our template's own name
        context["yokebook_page"] = self._context(page)  # type: ignore[typeddict-unknown-key]  # as above
        return context

    def on_page_markdown(self, _text: str, page: Page, **_: Any) -> str:
        """Leave the host no text to render: what Markdown makes of a page is known since it was checked."""
        generated = self._reference.generated.get(page.file.src_uri)
        if generated:
            page.meta["title"] = generated.title
        return ""

    def on_page_content(self, _html: str, page: Page, **_: Any) -> str:
        """Give the host a page's finished HTML and its headings."""
        path = page.file.src_uri
        if path in self._reference.generated:
            return self._reference.generated[path].html
        worked = self._reference.pages[path]
        page.toc = get_toc(worked.rendering.headings)  # type: ignore[arg-type]  # the library's own form
        return worked.html

    def on_post_build(self, config: MkDocsConfig, **_: Any) -> None:
        """Write the list of numbers of each page beside the pages."""
        for name, text in self._reference.lists_of_numbers():
            path = Path(config.site_dir) / NUMBERS / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8", newline="\n")

    @property
    def _reference(self) -> Reference:
        assert self.reference is not None
        return self.reference

    def _context(self, page: Page) -> PageContext:
        reference, path = self._reference, page.file.src_uri
        worked = reference.pages.get(path)
        return PageContext(
            standing=reference.standing_of(path),
            edition=reference.edition,
            root=way_to_root(page.url),
            department=reference.department.settings.name if reference.department else "",
            machines=worked.page.front.machines if worked else (),
        )

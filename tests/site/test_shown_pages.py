"""What becomes of a page's HTML on its way to the site: tables in regions, workings on a page of their own."""

from __future__ import annotations

import re

from demo_site import ROOT
from yokebook.reference.whole import work_out
from yokebook.site.shown import shown_pages
from yokebook.site.tables import in_regions
from yokebook.site.unbroken import unbroken
from yokebook.site.workings import Apart, set_apart

TABLE = "<table><thead><tr><th>What</th></tr></thead></table>"
FROM_CALL = (
    '<div class="yb-table" role="region" aria-label="Reserve" tabindex="0">\n<table class="yb-numbers"></table></div>'
)
WORKING = (
    '<details class="yb-working">\n<summary>How these numbers came about</summary>\n'
    "<p>137 &#34;bar&#34;</p>\n</details>"
)


def test_an_author_s_table_stands_in_a_region_named_after_its_heading() -> None:
    """The nearest heading above names it, without its marks; quotes cannot end the name."""
    html = in_regions(f'<h2 id="a">Record</h2>{TABLE}<h3>The <em>"plug"</em> &amp; key</h3>{TABLE}')
    assert ["Table: Record", "Table: The &quot;plug&quot; &amp; key"] == re.findall('aria-label="([^"]*)"', html)
    assert 2 == html.count('role="region"') == html.count('tabindex="0"')


def test_a_table_above_all_headings_has_a_name_too() -> None:
    """A region without a name would be one that cannot be found."""
    assert '<div class="yb-table" role="region" aria-label="Table" tabindex="0"><table>' in in_regions(TABLE)


def test_a_call_s_table_is_left_as_it_is() -> None:
    """It stands in its region already."""
    assert FROM_CALL == in_regions(FROM_CALL)


def test_columns_keep_their_side_without_a_style_in_the_html() -> None:
    """The page's policy lets no style attribute through, so a class says to which side a column goes."""
    html = "<table><tr>" + "".join(f'<td style="text-align: {side};">1</td>' for side in ("left", "right", "center"))
    assert '<td>1</td><td class="yb-right">1</td><td class="yb-centre">1</td>' in in_regions(html + "</tr></table>")


def test_a_table_to_be_filled_in_by_hand_is_told_apart() -> None:
    """A signature needs the width of the sheet; a table that is only read does not."""
    row = "<table><tr><td>Name</td><td>{}</td></tr></table>"
    assert '<table class="yb-form"><tr><td>Name</td><td></td>' in in_regions(row.format(""))
    assert "yb-form" not in in_regions(row.format("A. Marlow"))


def test_what_is_read_as_one_is_kept_on_one_line() -> None:
    """Days, numbers of procedures, numbers with units and machines; the longest name first."""
    html = "<p>theatre-10 and theatre-1: CYL-01, 2026-05-20, at 13.5 L/min or 185 kPa × 100, 5 minutes, x-theatre-1</p>"
    assert ["theatre-10", "theatre-1", "CYL-01", "2026-05-20", "13.5 L/min", "185 kPa × 100"] == re.findall(
        '<span class="yb-whole">([^<]*)</span>', unbroken(html, ["theatre-1", "theatre-10"])
    )


def test_drawings_code_and_attributes_are_left_as_they_are() -> None:
    """A drawing knows no span, code is copied letter by letter, and an attribute is no text."""
    html = (
        '<svg><text>theatre-1, 5 bar</text></svg><code>{{ f(machine="theatre-1") }}</code><pre>theatre-1</pre>'
        '<a href="theatre-1.html" title="a > theatre-1">there</a><!-- theatre-1 -->'
    )
    assert html == unbroken(html, ["theatre-1"])


def test_a_short_value_stands_on_one_line_and_a_long_one_may_break() -> None:
    """A long one would not fit on a narrow screen."""
    long = '<span class="yb-value">at least 40 min, from when the reading has fallen</span>'
    assert '<span class="yb-value yb-whole">at least 290 L</span>' == unbroken(
        '<span class="yb-value">at least 290 L</span>'
    )
    assert long == unbroken(long)


def test_a_working_gives_way_to_a_link_to_it() -> None:
    """The link stands where the working stood; the working is found under the caption of its table."""
    html = f"<h1>Machine</h1><table><caption>At least how long</caption></table>{WORKING}<p>Next</p>"
    apart = set_apart(html, "reference/theatre-1.md", "Machine")
    link = '<p class="yb-to-working"><a href="theatre-1.workings.html#working-1">How these numbers came about</a></p>'
    assert f"<h1>Machine</h1><table><caption>At least how long</caption></table>{link}<p>Next</p>" == apart.html
    assert "<h1>Workings: Machine</h1>" in apart.workings
    assert '<a href="theatre-1.html">Machine</a>' in apart.workings
    assert '<h2 id="working-1">At least how long</h2>\n<p>137 "bar"</p>' in apart.workings


def test_a_working_that_no_table_heads_is_told_by_its_own_words() -> None:
    """The caption of a table whose working has been told does not head the next one."""
    apart = set_apart(f"<table><caption>First</caption></table>{WORKING}{WORKING}", "a.md", "A")
    heads = re.findall(r'<h2 id="(working-\d)">(.*?)</h2>', apart.workings)
    assert [("working-1", "First"), ("working-2", "How these numbers came about")] == heads


def test_a_page_without_numbers_has_no_page_of_workings() -> None:
    """Nothing is made that nothing leads to."""
    assert Apart("<p>Words</p>", "") == set_apart("<p>Words</p>", "a.md", "A")


def test_each_working_of_the_demo_is_on_the_page_that_its_link_leads_to() -> None:
    """No working is lost between the two pages, and none is left behind."""
    pages = shown_pages(work_out(ROOT))
    worked = [path for path in pages if path.endswith(".workings.md")]
    assert worked
    for path in worked:
        page, workings = pages[pages[path].beside], pages[path]
        assert "yb-working" not in page.html.replace("yb-to-working", "")
        linked = re.findall(r"\.workings\.html#(working-\d+)", page.html)
        assert linked == re.findall(r'<h2 id="(working-\d+)">', workings.html)

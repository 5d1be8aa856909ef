"""Sheets and tags as HTML, each a file by itself: no script, nothing fetched, readable in gray.

Every text goes through one place: what no eye can see is taken out (`plaintext.clean`), then the template engine
escapes it. No template switches that off; `tests/paper/` looks through them.
"""

from __future__ import annotations

from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from coldiron.paper import odds
from coldiron.paper.sheet import Sheet
from coldiron.plaintext import one_line

LONGEST = 2_000
"""Characters of one text on paper."""


def harmless(value: object) -> object:
    """Return what may be drawn for a value: texts cleaned, all else as it is."""
    return one_line(value, LONGEST) if type(value) is str else value


@cache
def templates() -> Environment:
    """Return the templates of this room: escaping always on, a name that is not there an error."""
    return Environment(
        loader=PackageLoader("coldiron.paper"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=harmless,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def report(sheet: Sheet) -> str:
    """Return the sheet of a job as one HTML file."""
    area = {"left": odds.LEFT, "top": odds.TOP, "wide": odds.WIDE, "high": odds.HIGH}
    drawing = Markup(sheet.drawing)  # noqa: S704 - `map/svg.py` cleans and escapes each of its texts
    given = {"sheet": sheet, "account": sheet.account, "area": area, "drawing": drawing}
    return templates().get_template("report.html").render(**given)


def tag(sheet: Sheet) -> str:
    """Return the tag that hangs on the machine as one HTML file."""
    return templates().get_template("tag.html").render(sheet=sheet, account=sheet.account)

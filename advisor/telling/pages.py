"""Pages: one Markdown text, with pictures beside it, or as a page that holds all; whatever users wrote is only text."""

from __future__ import annotations

import functools
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from advisor.judging.formats import with_unit
from advisor.telling.files import write_whole
from advisor.telling.harmless import harmless

if TYPE_CHECKING:
    from collections.abc import Sequence

    from advisor.telling.pictures.canvas import Picture

TEMPLATES = Path(__file__).parent / "templates"
_SPECIAL = re.compile(r"([\\`*_\[\]<>|#~])")


class Plain(str):
    """Text that is Markdown already."""


class Page:
    """A Markdown template with what it is filled with; `pictures` are drawn already.

    Where the window is narrow, `scrolled` pictures keep their size and are moved sideways, others shrink.
    """

    def __init__(
        self, template: str, title: str, pictures: Sequence[Picture], *, scrolled: bool = True, **filling: Any
    ) -> None:
        self.template, self.title, self.pictures, self.filling = template, title, pictures, filling
        self.figure = '<figure class="wide">' if scrolled else "<figure>"

    def write(self, paths: tuple[Path, ...]) -> list[Path]:
        """Write it to each path, .md with SVG files beside it or .html in one file; return what was written.

        Raises NotWritten; a file that was there before is replaced whole or not at all.
        """
        written = []
        for path in paths:
            if path.suffix == ".html":
                write_whole(path, self.html())
            else:
                for picture in self.pictures:
                    beside = path.with_name(f"{path.stem}-{picture.name}.svg")
                    write_whole(beside, picture.svg)
                    written.append(beside)
                write_whole(path, self.markdown(path.stem))
            written.append(path)
        return written

    def markdown(self, stem: str) -> str:
        """Return it as Markdown that refers to `stem-name.svg` for each picture."""
        return self._rendered({one.name: f"![{escaped(one.alt)}]({stem}-{one.name}.svg)" for one in self.pictures})

    def html(self) -> str:
        """Return it as one page that needs no network."""
        from markdown_it import MarkdownIt

        text = self._rendered({picture.name: f"picture-{picture.name}-goes-here" for picture in self.pictures})
        body = MarkdownIt("commonmark", {"html": False}).enable("table").render(text)
        body = body.replace("<table>", '<div class="wide" tabindex="0" role="region" aria-label="table"><table>')
        body = body.replace("</table>", "</table></div>").replace("<th>", '<th scope="col">')
        for picture in self.pictures:
            figure = f"{self.figure}{picture.svg}</figure>"
            body = body.replace(f"<p>picture-{picture.name}-goes-here</p>", figure)
        page = environment(html=True).get_template("page.html.j2")
        return page.render(title=harmless(self.title), body=body)

    def _rendered(self, shown: dict[str, str]) -> str:
        pictures = {picture.name: (Plain(shown[picture.name]), picture) for picture in self.pictures}
        text = environment(html=False).get_template(self.template).render(pictures=pictures, **self.filling)
        return re.sub(r"\n{3,}", "\n\n", text).strip() + "\n"


def code(text: str) -> Plain:
    """Return a text to stand between backticks."""
    return Plain(" ".join(harmless(text).replace("`", "'").split()))


@functools.cache
def environment(*, html: bool) -> Environment:
    """Return what templates of Markdown, or of pages, are filled with."""
    env = Environment(
        loader=FileSystemLoader(TEMPLATES),
        undefined=StrictUndefined,
        autoescape=html,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        finalize=None if html else _finalized,
    )
    env.filters["value"] = lambda reading: with_unit(reading.value, reading.unit)
    return env


def _finalized(value: Any) -> Any:
    """Whatever comes from files or rules is text, not Markdown."""
    return value if isinstance(value, Plain) else escaped(str(value))


def escaped(text: str) -> str:
    """Return a text whose letters Markdown takes as they are."""
    return _SPECIAL.sub(r"\\\1", " ".join(harmless(text).split()))

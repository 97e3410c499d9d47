"""HTML in small pieces: whatever is no markup is escaped."""

from __future__ import annotations

import base64
from collections.abc import Iterable, Sequence
from html import escape

from ..plots import Picture

__all__ = ["Html", "figure", "items", "joined", "paragraphs", "section", "table", "tag"]


class Html(str):
    """Text that is markup already."""

    __slots__ = ()


def tag(name: str, *inside: str, **attributes: str) -> Html:
    """An element; text inside and in attributes is escaped, ``Html`` is kept.

    >>> tag("p", "a < b", Html("<br>"), klass="note")
    '<p class="note">a &lt; b<br></p>'
    """
    given = "".join(f' {key.replace("klass", "class")}="{escape(value)}"'
                    for key, value in attributes.items())
    return Html(f"<{name}{given}>{joined(inside, '')}</{name}>")


def joined(parts: Iterable[str], between: str = "\n") -> Html:
    """Parts one after another; what is no markup is escaped."""
    return Html(between.join(each if isinstance(each, Html) else escape(each) for each in parts))


def section(title: str, *inside: str, klass: str = "") -> Html:
    """A part of the page with its heading."""
    named = {"klass": klass} if klass else {}
    return tag("section", joined([tag("h2", title), *inside]), **named)


def paragraphs(sentences: Iterable[str], klass: str = "") -> Html:
    """A paragraph a sentence."""
    return joined(tag("p", each, **({"klass": klass} if klass else {})) for each in sentences)


def items(sentences: Iterable[str]) -> Html:
    """A list."""
    return tag("ul", joined(tag("li", each) for each in sentences))


def table(caption: str, heads: Sequence[str], rows: Iterable[Sequence[str]], words: int = 1
          ) -> Html:
    """A table; the first ``words`` columns are words, the others stand to the right."""
    def line(cells: Sequence[str], name: str, scope: str) -> Html:
        made = []
        for number, cell in enumerate(cells):
            head = name == "th" or number == 0
            more = {"scope": scope if name == "th" else "row"} if head else {}
            if number >= words:
                more["klass"] = "number"
            made.append(tag("th" if head else "td", cell, **more))
        return tag("tr", joined(made, ""))

    body = [line(row, "td", "row") for row in rows]
    said = (tag("caption", caption),) if caption else ()
    return tag("table", *said, tag("thead", line(heads, "th", "col")),
               tag("tbody", joined(body)))


def figure(picture: Picture, caption: str) -> Html:
    """A picture inside the page, with the words that replace it."""
    data = base64.b64encode(picture.svg.encode()).decode("ascii")
    image = f'<img src="data:image/svg+xml;base64,{data}" alt="{escape(picture.words)}">'
    return tag("figure", Html(image), tag("figcaption", caption))

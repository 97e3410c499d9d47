"""Markdown as GitHub shows it: tables, links and the anchors of headings."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

__all__ = ["anchor", "cell", "figure", "link", "page", "table"]

MADE = "<!-- Made by tests/generate_docs.py; change what it is made from, not this page. -->"


def page(title: str, *parts: str) -> str:
    """A whole page: mark, title, then the parts that hold something."""
    return "\n\n".join([MADE, f"# {title}", *(part.strip("\n") for part in parts if part)]) + "\n"


def table(heads: Sequence[str], rows: Iterable[Sequence[object]], right: Sequence[int] = ()) -> str:
    """A table; the columns with the numbers in ``right`` stand to the right."""
    bars = ["---:" if number in right else "---" for number in range(len(heads))]
    lines = [list(heads), bars, *([cell(value) for value in row] for row in rows)]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def cell(value: object) -> str:
    """Text that stays in its cell and is not taken for formatting.

    >>> cell("a|b_c")
    'a\\\\|b_c'
    """
    return str(value).replace("|", "\\|").replace("\n", " ").replace("<", "&lt;")


def figure(value: float) -> str:
    """A number to three figures, with commas between thousands.

    >>> figure(1814.37), figure(0.02205), figure(1e6)
    ('1,810', '0.0221', '1,000,000')
    """
    return f"{float(f'{value:.3g}'):,.10g}"


def link(words: str, page: str = "", heading: str = "") -> str:
    """A link to a heading of a page, of this one where none is named."""
    return f"[{words}]({page}{'#' + anchor(heading) if heading else ''})"


def anchor(heading: str) -> str:
    """What GitHub makes of a heading in addresses.

    >>> anchor("How `a_b` is read: 2 ways")
    'how-a_b-is-read-2-ways'
    """
    return re.sub(r"[^\w\- ]", "", heading.strip().lower()).replace(" ", "-")

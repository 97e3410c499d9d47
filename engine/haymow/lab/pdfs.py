"""A PDF with text as one grid for each page: words put into columns by where they stand."""

from __future__ import annotations

import io
import logging
from itertools import pairwise
from typing import Any

from ..problems import InputError
from .grids import NO_CELL, Cell, Grid, address

__all__ = ["pdf_grids"]

MOST_PAGES = 40
_GAP = 0.9  # of the letter height: a wider gap parts cells


def pdf_grids(name: str, data: bytes) -> list[Grid]:
    """The pages of a PDF. Raises InputError for a scanned, locked or damaged one."""
    import pdfplumber

    for library in ("pdfminer", "pdfplumber"):  # their remarks are no help to a user
        logging.getLogger(library).setLevel(logging.CRITICAL)
    grids = []
    try:
        with pdfplumber.open(io.BytesIO(data)) as document:
            if len(document.pages) > MOST_PAGES:
                raise InputError(f"{name} has {len(document.pages)} pages; up to {MOST_PAGES} were "
                                 "expected.")
            for number, page in enumerate(document.pages, 1):
                words = page.extract_words(x_tolerance=1.5, y_tolerance=2, keep_blank_chars=False)
                grids.append(_grid(f"{name}!page {number}", words))
    except InputError:
        raise
    except Exception as error:  # pdfminer raises what the damaged part happens to cause
        raise InputError(f"{name} is damaged or locked with a password. Ask the lab for CSV or "
                         f"XLSX."
                         ) from error
    if not any(grid.rows for grid in grids):
        raise InputError(f"{name} holds a picture and no text (a scan). Type the results in, or "
                         f"ask "
                         "the lab for CSV or XLSX.")
    return grids


def _grid(where: str, words: list[dict[str, Any]]) -> Grid:
    lines = [_pieces(line) for line in _lines(words)]
    table = [line for line in lines if len(line) > 2]
    columns = _columns(table if len(table) > 2 else [line for line in lines if len(line) > 1])
    rows = []
    for number, line in enumerate(lines):
        cells = [NO_CELL] * max(len(columns), 1)
        for left, right, text in line:
            at = _column_of(left, right, columns)
            old = cells[at]
            cells[at] = Cell(f"{old.text}  {text}" if old.text else text, None,
                             f"{where}!{address(number, at)}",
                             fault="two texts stand too close to part" if old.text else "")
        rows.append(tuple(cells))
    return Grid(where, tuple(rows), fixed=True)


def _lines(words: list[dict[str, Any]]) -> list[list[dict[str, Any]]]:
    """Words that stand at one height, from left to right."""
    lines: list[list[dict[str, Any]]] = []
    for word in sorted(words, key=lambda w: (w["bottom"], w["x0"])):
        height = word["bottom"] - word["top"]
        if lines and abs(lines[-1][-1]["bottom"] - word["bottom"]) < height * 0.4:
            lines[-1].append(word)
        else:
            lines.append([word])
    return [sorted(line, key=lambda w: float(w["x0"])) for line in lines]


def _pieces(line: list[dict[str, Any]]) -> list[tuple[float, float, str]]:
    """Words closer than a letter's height are one cell: (left, right, text)."""
    groups = [[line[0]]]
    for before, word in pairwise(line):
        near = word["x0"] - before["x1"] < _GAP * (word["bottom"] - word["top"])
        if near:
            groups[-1].append(word)
        else:
            groups.append([word])
    return [(g[0]["x0"], g[-1]["x1"], " ".join(w["text"] for w in g)) for g in groups]


def _columns(lines: list[list[tuple[float, float, str]]]) -> list[tuple[float, float]]:
    """Spans on the page in which the cells of the table lines overlap."""
    spans: list[tuple[float, float]] = []
    for left, right, _ in sorted(piece for line in lines for piece in line):
        if spans and left < spans[-1][1]:
            spans[-1] = (spans[-1][0], max(spans[-1][1], right))
        else:
            spans.append((left, right))
    return spans


def _column_of(left: float, right: float, columns: list[tuple[float, float]]) -> int:
    """The column that the cell overlaps, or the nearest one to its left end."""
    if not columns:
        return 0
    overlap = [min(right, b) - max(left, a) for a, b in columns]
    return max(range(len(columns)), key=lambda n: (overlap[n] > 0 and n == _first(overlap),
                                                   overlap[n]))


def _first(overlap: list[float]) -> int:
    return next((n for n, width in enumerate(overlap) if width > 0), 0)

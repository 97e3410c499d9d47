"""Small pieces of worksheet text that several kinds of column share."""

from __future__ import annotations

import re
from functools import cache

from ..evaluate import UNKNOWN

__all__ = ["filled", "first_set", "guarded", "loosened", "rolled", "shown_as"]

FAR = 10000  # beyond any percentage: rows that do not count


def first_set(span: str, count: str, flag: int = 1) -> str:
    """Number of the first flag in a span that is set; 0 if none."""
    return f'IF(COUNT({span})<{count},"",IFERROR(MATCH({flag},{span},0),0))'


def rolled(how: str, values: str, pairs: str) -> str:
    """A roll-up over the rows that match pairs of a range and a criterion."""
    if how == "unknown":
        return f'COUNTIFS({pairs})-COUNTIFS({pairs},{values},"<1E+300")'
    if how == "count":
        return f'COUNTIFS({pairs},{values},"<1E+300")'
    if how == "mean":
        return f'IFERROR(AVERAGEIFS({values},{pairs}),"")'
    if how in ("largest", "least"):
        terms = pairs.split(",")
        tests = [f"({left}={right})" for left, right in zip(terms[::2], terms[1::2], strict=True)]
        if how == "largest":
            return f"SUMPRODUCT(MAX({'*'.join(tests)}*{values}))"
        return f"SUMPRODUCT(MIN({values}+{FAR}*(1-{'*'.join(tests)})))"
    return f"SUMIFS({values},{pairs})" if pairs else f"SUM({values})"


def shown_as(cell: str, form: str) -> str:
    """A cell inside a sentence: a day, so many decimals, or as it is."""
    if not form:
        return cell
    other = f'"{UNKNOWN}"' if form.endswith("?") else '""'
    form = form.removesuffix("?")
    day = f'INDEX(MonthNames_month_name,MONTH({cell}))&" "&DAY({cell})'
    return f'IF(ISNUMBER({cell}),{day if form == "day" else f"FIXED({cell},{form})"},{other})'


def guarded(body: str, bare: list[str]) -> str:
    """Blank in, blank out: the bare cells are counted first.

    >>> guarded("$A1+$B1", ["$A1", "$B1"])
    'IF(COUNT($A1,$B1)<2,"",$A1+$B1)'
    """
    bare = list(dict.fromkeys(bare))
    return f'IF(COUNT({",".join(bare)})<{len(bare)},"",{body})' if bare else body


def filled(template: str, row: int) -> str:
    """The template's formula in one row (a step above the sheet is never taken: row 1)."""
    texts, steps, near = _parts(template)
    if not near:
        return str(row).join(texts)
    rows = [str(max(row + step, 1)) for step in steps]
    return texts[0] + "".join([number + text for number, text in zip(rows, texts[1:], strict=True)])


@cache
def _parts(template: str) -> tuple[list[str], list[int], bool]:
    """A template's text between the row numbers, how many rows away each is, whether any is."""
    pieces = re.split(r"\{r([+-]\d+)?\}", template)
    steps = [int(step or 0) for step in pieces[1::2]]
    return pieces[::2], steps, any(steps)


def loosened(template: str) -> str:
    """The same formula without the dollar signs before columns.

    LibreOffice works out a run of like formulas at once, in threads; where a column rests on one
    further right it then took known cells of the first row as empty, without a word. Written
    this way in every other row, neighbors are no longer alike and no run forms.

    >>> loosened("$A{r}+B$5")
    'A{r}+B$5'
    """
    return re.sub(r"\$([A-Z]+\{r)", r"\1", template)

"""What stands in a cell of results: a number, its qualifier, its unit, or why it is not one."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from .grids import Cell
from .units import unit_of_text
from .words import clean

__all__ = ["NumberStyle", "Value", "half_step", "is_number", "is_result", "number_style",
           "read_value"]

_NOT_THERE = {"na", "n/a", "n.a.", "n.a", "n/r", "nr", "not requested", "not tested",
              "not analyzed", "not available", "not reported", "nt", "-", "--", "---", ".", "null",
              "nan", "*", "\u2013", "\u2014", "not run", "not applicable", "n/t", "pending", "#n/a"}
_NOT_DETECTED = {"nd", "n.d.", "n.d", "not detected", "not determined", "none detected", "n/d"}
_BELOW = {"bdl", "blq", "bql", "<lod", "<loq", "<dl", "<rl", "<mdl", "<mrl", "bld",
          "below detection", "below detection limit", "< lod", "< loq", "< dl", "< rl", "< mdl"}
_TRACE = {"trace", "tr", "tr.", "traces"}
_WORDS = {"NA": _NOT_THERE, "ND": _NOT_DETECTED, "<": _BELOW, "TR": _TRACE}
_SIGN = (r"<=|>=|<|>|\u2264|\u2265|lt\b\.?|gt\b\.?|less than|greater than|below|above|~"
         r"|approx\.?|ca\.")
_SIGNS = {"<=": "<", "\u2264": "<", "lt": "<", "less than": "<", "below": "<", ">=": ">",
          "\u2265": ">", "gt": ">", "greater than": ">", "above": ">"}
_DIGITS = r"[+-]?(?:\d[\d., ]*\d|\d|[.,]\d+)(?:e[+-]?\d+)?"
_THIN = re.compile("(?<=\\d)['\u2019\u00a0\u202f\u2009](?=\\d{3}(?!\\d))")  # parts thousands
_VALUE = re.compile(
    rf"(?P<sign>{_SIGN})?\s*(?P<digits>{_DIGITS})\s*(?P<spread>(?:\u00b1|\+/-|\+-)\s*{_DIGITS})?"
    r"\s*(?P<mark>[*\u2020\u2021^]+|\([a-z]\))?\s*(?P<unit>[a-z%][a-z0-9 /%.-]*)?\s*(?P<late>\*+)?")
_RANGE = re.compile(rf"{_DIGITS}\s*(?:-|to|\u2013)\s*{_DIGITS}")
_DATE = re.compile(r"\d{1,2}[-/ ](?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*"
                   r"|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*[-/ ]\d{1,4}"
                   r"|\d{1,4}[-/]\d{1,2}[-/]\d{1,4}|\d{1,2}\.\d{1,2}\.\d{2,4}")


@dataclass(frozen=True)
class NumberStyle:
    """How a file writes numbers: ``.``, ``,`` or empty (nothing shows it); ``mixed``: both.

    ``point``: a point is the decimal mark where nothing else shows it.
    """

    decimal: str = ""
    mixed: bool = False
    point: bool = False


@dataclass(frozen=True)
class Value:
    """A number with its qualifier and the unit behind it; ``doubt`` says why there is none."""

    number: float | None = None
    qualifier: str = ""
    unit: str = ""
    doubt: str = ""
    do: str = ""


def number_style(texts: Iterable[str], point: bool) -> NumberStyle:
    """The one number format of a file, from all of its results.

    >>> number_style(["8,1", "1.234,5"], False).decimal
    ','
    """
    found = {_evidence(clean(_THIN.sub("", text))) for text in texts} - {""}
    if len(found) > 1:
        return NumberStyle(mixed=True, point=point)
    return NumberStyle(found.pop() if found else "", point=point)


def read_value(cell: Cell, style: NumberStyle) -> Value:
    """Read a cell of results. Nothing is changed silently: what is doubtful carries no number."""
    if cell.fault:
        return Value(doubt=cell.fault, do="Correct it in the report, or type the value in by hand.")
    if cell.typed_date is not None:
        return Value(doubt=f"the cell holds the date {cell.typed_date}; a result such as 8-10 may "
                     "have been turned into it", do="Type the result as the lab printed it.")
    if isinstance(cell.value, float) and not isinstance(cell.value, bool):
        return Value(round(cell.value * 100, 10), unit="%") if cell.percent else Value(cell.value)
    return _read_text(clean(_THIN.sub("", cell.text)), style)


def is_number(cell: Cell) -> bool:
    """Whether a number stands here, in whatever format."""
    typed = isinstance(cell.value, float) and not isinstance(cell.value, bool)
    return typed or bool(_VALUE.fullmatch(clean(_THIN.sub("", cell.text))[:60]))


def is_result(cell: Cell) -> bool:
    """Whether something stands here that a lab prints as a result: a number or a word for none."""
    words = clean(cell.text)
    return bool(cell.fault) or is_number(cell) or any(
        words in group for group in _WORDS.values())


def half_step(raw: str, value: float | None = None) -> float:
    """Half of the last printed digit of a number: how far it may be rounded.

    >>> half_step("8.10")
    0.005
    """
    match = re.search(r"(\d+)(?:[.,](\d+))?(?:e([+-]?\d+))?", raw.casefold())
    if not match:
        return 0.0
    decimals = len(match[2] or "")
    as_decimal = float(f"{match[1]}.{match[2] or 0}")
    if value is not None and not match[3] and abs(as_decimal - abs(value)) > 1e-6 * abs(value):
        decimals = 0  # the mark parts thousands
    return 0.5 * float(10.0 ** (int(match[3] or 0) - decimals))


def _read_text(text: str, style: NumberStyle) -> Value:
    for qualifier, words in _WORDS.items():
        if text in words:
            return Value(qualifier=qualifier)
    if text.startswith("#"):
        return Value(doubt=f"the cell holds the error {text.upper()}", do="Type the value in by "
                                                                          "hand.")
    if _DATE.fullmatch(text):
        return Value(doubt=f"'{text}' is a date; a spreadsheet may have made it from a result such "
                     "as 8-10", do="Type the result as the lab printed it.")
    match = _VALUE.fullmatch(text[:60])
    if not match or len(text) > 60:
        what = "is a range" if _RANGE.fullmatch(text) else "is not a number"
        return Value(doubt=f"'{text}' {what}", do="Type one number, such as 9.4 or <0.01.")
    return _matched(match, style)


def _matched(match: re.Match[str], style: NumberStyle) -> Value:
    number, doubt = _number(match["digits"], style)
    if doubt:
        return Value(doubt=doubt, do="Write it without thousands marks, with a decimal point.")
    unit = unit_of_text(match["unit"]) if match["unit"] else ""
    if match["unit"] and not unit:
        return Value(doubt=f"'{match.string}' ends in words that are not a known unit",
                     do="Type the number, and its unit in the header.")
    sign = (match["sign"] or "").strip(".")
    mark = "+/-" if match["spread"] else (match["mark"] or match["late"] or "")
    return Value(number, _SIGNS.get(sign, sign) or mark, unit)


def _number(digits: str, style: NumberStyle) -> tuple[float, str]:
    """(number, "") or (nan, why it is not certain)."""
    nan = float("nan")
    body, _, power = digits.partition("e")
    if " " in body:
        return nan, f"'{digits}' holds two numbers or a broken one"
    if _ambiguous(body) and not style.decimal and not (style.point and "." in body
                                                       and not style.mixed):
        return nan, f"'{digits}' may be {re.sub('[.,]', '', body)} or {body.replace(',', '.')}"
    decimal = _evidence(body) or style.decimal or "."
    if style.decimal and decimal != style.decimal:
        return nan, f"'{digits}' has another decimal mark than the rest of this file"
    groups = "," if decimal == "." else "."
    whole = body.split(decimal)[0]
    if body.count(decimal) > 1 or groups in body[len(whole):] or not _grouped(whole, groups):
        return nan, f"'{digits}' is not a number in one format"
    number = body.replace(groups, "").replace(decimal, ".")
    return float(f"{number}e{power or 0}"), ""


def _grouped(whole: str, mark: str) -> bool:
    return mark not in whole or bool(
        re.fullmatch(rf"[+-]?[1-9]\d{{0,2}}(?:{re.escape(mark)}\d{{3}})+", whole))


def _ambiguous(body: str) -> bool:
    """Whether a mark before three digits may part thousands or decimals."""
    return bool(re.fullmatch(r"[+-]?[1-9]\d{0,2}[.,]\d{3}", body))


def _evidence(text: str) -> str:
    """The decimal mark that ``text`` can only have, if it shows one."""
    body = re.sub(r"^[^\d.,+-]*|[^\d.,]*$", "", text)
    if not re.fullmatch(r"[+-]?[\d.,]*\d", body) or _ambiguous(body):
        return ""
    if re.fullmatch(r"[+-]?\d{1,3}(?:\.\d{3}){2,}", body):
        return ","
    if re.fullmatch(r"[+-]?\d{1,3}(?:,\d{3}){2,}", body):
        return "."
    last = max(body.rfind("."), body.rfind(","))
    return body[last] if last >= 0 and body.count(body[last]) == 1 else ""

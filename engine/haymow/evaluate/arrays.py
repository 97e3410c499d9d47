"""Small functions over arrays and names that both readers of the tables use."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..problems import InputError
from ..ranch import EPOCH, day_number
from ..tables import Book, Column, Key, Link, Pull, Table
from ..units import unit_of

__all__ = ["UNKNOWN", "Array", "Step", "as_number", "as_text", "blank", "conversions", "first_set",
           "taken", "target_of"]

Array = NDArray[Any]
Step = int | None  # a member of the stepped dimension, from 0
UNKNOWN = "unknown"  # what stands for a missing number where the sentence asks for a word


def conversions(name: str) -> list[tuple[str, int]]:
    """The named cells (and their powers) between the workbook's unit of ``name`` and the engine's.

    >>> conversions("price_usd_per_tonne")
    [('tonne_per_load_unit', -1)]
    """
    unit = unit_of(name)
    pairs = (("kg_per_weight_unit", unit.weight), ("tonne_per_load_unit", unit.load),
             ("ha_per_area_unit", unit.area), ("m_per_length_unit", unit.length))
    return [(factor, power) for factor, power in pairs if power]


def target_of(book: Book, link: Column) -> Table:
    """The table whose rows a link's numbers are."""
    if isinstance(link, Link | Pull) and link.to:
        return book.tables[link.to]
    if isinstance(link, Key):
        return book.lists[link.dimension]
    raise TypeError(f"{link.name} is no link: it names no table")


def first_set(flags: Array, flag: int = 1) -> Array:
    """Number of the first flag that is set along the first axis; 0 if none; unknown if one is."""
    number: Array = np.where((flags == flag).any(0), (flags == flag).argmax(0) + 1, 0)
    return np.asarray(np.where(np.isnan(flags).any(0), np.nan, number))


def taken(values: Array, rows: Array) -> Array:
    """``values`` at these row numbers (from 1); unknown where the row is unknown or 0."""
    missing = np.isnan(rows) | (rows < 1)
    picked = values[np.where(missing, 1, rows).astype(int) - 1]
    return np.asarray(np.where(missing, None if values.dtype == object else np.nan, picked))


def as_text(value: Any, form: str) -> str:
    """The same text the worksheet gives: a date as "Nov 3" (``day``), or so many decimals."""
    if value is None or value != value:
        return UNKNOWN if form.endswith("?") else ""
    form = form.removesuffix("?")
    if form == "day":
        day = EPOCH + dt.timedelta(int(value))
        return f"{day:%b} {day.day}"
    if form:
        places = int(form)
        rounded = np.floor(abs(value) * 10**places + 0.5) / 10**places  # halves away from zero
        return f"{rounded * np.sign(value) + 0.0:,.{places}f}"  # + 0.0: never minus zero
    return str(value)


def as_number(typed: Any, where: str, name: str) -> float:
    """A typed number or date as a number; InputError for anything else."""
    if isinstance(typed, dt.date):
        return day_number(typed)
    if isinstance(typed, bool) or not isinstance(typed, int | float | np.number):
        raise InputError(f"{where}: {name} is '{typed}'; expected a number.")
    return float(typed)


def blank(values: Array) -> Array:
    """Where a column of numbers or words is blank."""
    if values.dtype == object:
        return np.array([v is None for v in values.flat]).reshape(values.shape)
    return np.asarray(np.isnan(values))

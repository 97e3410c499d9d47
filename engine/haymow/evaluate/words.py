"""Kinds of column that say something: the words a sheet shows."""

from __future__ import annotations

import re
from typing import Any

import numpy as np

from ..tables import Asks, Names, Say, Table
from .arrays import Array, Step, as_text, blank

Values = Any  # haymow.evaluate.Values, which calls these
__all__ = ["asks", "names", "say"]


def say(values: Values, table: Table, column: Say, step: Step, member: int | None) -> Array:
    """The sentence with the number in column ``by``."""
    numbers = values.at(table, table.at[column.by], step, values.book.named_member(table, column))
    words = np.empty(numbers.shape, object)
    silent = np.zeros(numbers.shape, bool)
    if column.used:
        silent = blank(values.at(table, table.at[column.used], step))
    for i, number in np.ndenumerate(numbers):
        if silent[i]:
            words[i] = None
        elif np.isnan(number):
            words[i] = column.unknown or None
        else:
            words[i] = _filled(values, table, column.sentences[int(number)], step, i) or None
    return words


def _filled(values: Values, table: Table, sentence: str, step: Step, i: tuple[int, ...]) -> str:
    def shown(match: re.Match[str]) -> str:
        return as_text(values.at(table, table.at[match[1]], step)[i], match[2])
    return re.sub(r"\{(\w+):?([^}]*)\}", shown, sentence)


def asks(values: Values, table: Table, column: Asks, step: Step, member: int | None) -> Array:
    """What a used row still needs."""
    used = [~blank(values.at(table, table.at[name], step)) for name in column.used.split()]
    unknown = [(blank(values.at(table, table.at[name], step)), words)
               for name, words in column.needs]
    said = np.empty(used[0].shape, object)
    for i in np.ndindex(said.shape):
        if any(each[i] for each in used):
            said[i] = "".join(words for missing, words in unknown if missing[i]) or None
    return said


def names(values: Values, table: Table, column: Names, step: Step, member: int | None) -> Array:
    """The members of a block whose flag is 1."""
    source = table.at[column.of]
    flags = values.block(table, source, step)
    words = values.book.named(column, source)
    known = ~blank(values.at(table, table.at[column.used], step))
    said = np.empty(known.shape, object)
    for i in np.ndindex(known.shape):
        named = [word + column.after for k, word in words if flags[k][i] == column.flag]
        said[i] = "".join(named) or None if known[i] else None
    return said

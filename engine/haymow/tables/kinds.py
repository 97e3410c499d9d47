"""The kinds of column: pure data. `evaluate` gives the array form, `workbook.formulas` the text.

A column belongs to a table; a block column stands once per member of a dimension (`over`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

__all__ = [
    "Asks", "Calc", "Column", "Edge", "Entry", "Into", "Key", "Last", "Link", "Names", "Nearest",
    "Prev",    "Pull", "Roll", "Running", "Say", "Shown", "Tally", "Which",
]


@dataclass(frozen=True, kw_only=True)
class Column:
    """What every kind has: a name, the dimension of a block, and whether it stands on the sheet.

    ``quantity`` names the glossary line where it is not the column's own name; ``label`` is for
    words and row numbers, which are no quantities. ``front`` columns are read by people; the
    others are working, behind a closed outline, as are a block's members not in ``open``.
    ``measure`` says what a block's members are: content, daily (in the workbook's unit), share,
    chance, or nothing.
    """

    name: str
    over: str = ""
    inline: bool = False
    quantity: str = ""
    label: str = ""
    front: bool = False
    open: tuple[str, ...] = ()
    measure: str = ""


@dataclass(frozen=True, kw_only=True)
class Key(Column):
    """Constant: a row's number in a dimension (``row``: of the table), or fixed attributes.

    A block's ``data`` holds a tuple for each member; blank cells are "" or None.
    """

    dimension: str = ""
    data: tuple[Any, ...] = ()

    @property
    def gaps(self) -> bool:
        """Whether some of its cells are blank."""
        return any(value in ("", None) for each in (self.data if self.over else (self.data,))
                   for value in each)


@dataclass(frozen=True, kw_only=True)
class Entry(Column):
    """What the user types, in the workbook's units: number, text, date or a word of a list.

    ``choices`` names the column (``Forages.forage``) whose words may be typed; ``only`` limits a
    block's entry to some members; ``must`` marks what an answer needs; ``longest`` is of a text.
    """

    what: str = "number"
    choices: str = ""
    only: tuple[str, ...] = ()
    must: bool = False
    hint: str = ""
    longest: int = 80


@dataclass(frozen=True, kw_only=True)
class Into(Column):
    """A typed column in the engine's unit."""

    of: str


@dataclass(frozen=True, kw_only=True)
class Shown(Column):
    """A column of the engine in the workbook's unit."""

    of: str


@dataclass(frozen=True, kw_only=True)
class Calc(Column):
    """The equation of that name, or ``by``; a block member has ``name_member`` where there is one.

    Parameters in ``may_be_blank`` do not blank the result.
    """

    by: str = ""
    may_be_blank: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Link(Column):
    """Row number in another table: by a typed name, or by the number in each of its dimensions.

    An empty name gives ``blank``: unknown, the link in that column, or the row of ``blank_name``.
    """

    to: str
    by_name: str = ""
    key: str = ""
    blank: str = ""
    blank_name: str = ""
    on: tuple[str | int, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Pull(Column):
    """Value through a link; ``member`` names a block's member, or the column with its number.

    ``to`` says which table it is a row of, where the value is itself a row number; ``into`` which
    table ``via`` numbers, where that is no link.
    """

    via: str
    of: str
    member: str = ""
    to: str = ""
    into: str = ""


@dataclass(frozen=True, kw_only=True)
class Prev(Column):
    """Another column's value one step back along a dimension; ``first`` where there is none."""

    of: str
    along: str
    first: str | float
    member: str = ""


@dataclass(frozen=True, kw_only=True)
class Running(Column):
    """Sum so far along a dimension."""

    of: str
    along: str


@dataclass(frozen=True, kw_only=True)
class Last(Column):
    """A column's value at the end of a dimension, in every row."""

    of: str
    along: str


@dataclass(frozen=True, kw_only=True)
class Edge(Column):
    """Number of the first or last row, from a linked one to its dimension's end, flagged 1.

    ``least``: the smallest value of those rows.
    """

    via: str
    of: str
    member: str = ""
    which: str = "first"


@dataclass(frozen=True, kw_only=True)
class Which(Column):
    """Number of the first member of a block whose flag is 1 (or ``flag``); 0 if none."""

    of: str
    flag: int = 1


@dataclass(frozen=True, kw_only=True)
class Nearest(Column):
    """Row of this table, of the same first key, nearest before or after where ``of`` is known.

    The row itself counts; 0 if there is none. Never a block: one look for all its members.
    """

    of: str
    side: str


@dataclass(frozen=True, kw_only=True)
class Roll(Column):
    """Sum, largest, mean, ratio or count of another table's rows of the same keys, or linked here.

    ``unknown`` counts the rows without a value. ``shared`` names further columns that must be
    equal in both tables. The largest and the least
    are taken over columns that are never blank. ``upto`` names a dimension of both tables in which
    the rows up to this row's count, not only those beside it: a running sum or count of unknowns
    that rests on no cell of its own column. A ``ratio`` is the sum over that of the column
    ``per``, which is known in the same rows: a mean by weights.
    """

    table: str
    of: str
    how: str = "sum"
    per: str = ""
    linked_by: str = ""
    shared: tuple[str, ...] = ()
    upto: str = ""

    def __post_init__(self) -> None:
        if self.upto and (self.linked_by or self.shared or self.how not in ("sum", "unknown")):
            raise ValueError(f"{self.name}: only a sum or a count of unknowns over shared keys can"
                             " run up to a row")


@dataclass(frozen=True, kw_only=True)
class Say(Column):
    """Words: the sentence with the number in column ``by`` (from 0), {column:format} filled in.

    Rows whose ``used`` is blank say nothing at all. ``member`` names one of a block ``by``.
    {column:2?} says "unknown" where there is no number.
    """

    by: str
    sentences: tuple[str, ...]
    unknown: str = "not known"
    used: str = ""
    member: str = ""


@dataclass(frozen=True, kw_only=True)
class Asks(Column):
    """Words on what a used row still needs: a sentence for each listed column that is unknown.

    A row is in use where text stands in one of the columns that ``used`` names.
    """

    used: str
    needs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class Names(Column):
    """Words: the short names of a block's members whose flag is 1; blank where a key is blank.

    ``only`` limits it to some members; another ``flag`` may be asked for; ``after`` stands behind
    each name.
    """

    of: str
    used: str
    only: tuple[str, ...] = ()
    flag: int = 1
    after: str = " "


@dataclass(frozen=True, kw_only=True)
class Tally(Column):
    """For each member of the table's dimension: how many rows of ``columns`` have words or > 0."""

    columns: tuple[tuple[str, str], ...]

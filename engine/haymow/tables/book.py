"""Tables, dimensions and settings of one workbook, and how a parameter finds its column."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from .kinds import Column, Entry, Key, Names, Say

__all__ = ["STEPPED", "Book", "Place", "Setting", "Table"]

STEPPED = "line"  # the one dimension whose members are worked out one after another


@dataclass(frozen=True, kw_only=True)
class Setting:
    """A named number: typed by the user, fixed, or worked out from other settings.

    ``part`` is the heading under which it is asked.
    """

    name: str
    value: float | str | None = None
    label: str
    unit: str = ""
    meaning: str = ""
    source: str = ""
    typed: bool = True
    by: str = ""
    low: float = float("-inf")
    high: float = float("inf")
    what: str = "number"
    part: str = ""


@dataclass(frozen=True)
class Place:
    """Where a parameter stands: in a table's column (a block's member), or a setting."""

    table: Table | None
    column: Column | None
    member: Any = None


@dataclass
class Table:
    """A key made of dimensions, and columns; ``sheet`` and ``top`` (first data row) say where.

    ``sortable``: a user may sort it, so its rows are found by number, never by position.
    """

    name: str
    dimensions: tuple[str, ...]
    columns: tuple[Column, ...]
    sheet: str = ""
    top: int = 7
    sortable: bool = False
    title: str = ""
    purpose: str = ""
    fixed: Mapping[int, Mapping[str, Any]] = field(default_factory=dict)
    at: dict[str, Column] = field(init=False)

    def __post_init__(self) -> None:
        self.sheet = self.sheet or self.name
        self.at = {column.name: column for column in self.columns}
        if len(self.at) != len(self.columns):
            raise ValueError(f"{self.name}: a column stands twice")

    @property
    def entries(self) -> list[Entry]:
        """The columns a user types into."""
        return [column for column in self.columns if isinstance(column, Entry)]

    @property
    def number_key(self) -> str:
        """The constant column that identifies a row."""
        return next(c.name for c in self.columns if isinstance(c, Key)
                    and c.dimension == ("row" if len(self.dimensions) > 1 else self.dimensions[0]))


@dataclass
class Book:
    """All tables, the members of each dimension, the settings, and the unit system."""

    tables: Mapping[str, Table]
    dimensions: Mapping[str, tuple[Any, ...]]
    settings: Mapping[str, Setting]
    attributes: Mapping[str, str]  # dimension -> the table that holds its members' attributes
    us: bool = True
    slices: Mapping[str, tuple[str, int]] = field(default_factory=dict)

    def start(self, over: str, parent: str) -> int:
        """Where a dimension begins in another that it is a part of; 0 for itself."""
        if over == parent:
            return 0
        whole, start = self.slices[over]
        if whole != parent:
            raise KeyError(f"{over} is no part of {parent}")
        return start

    def size(self, dimension: str) -> int:
        """How many members a dimension has."""
        return len(self.dimensions[dimension])

    def rows(self, table: Table) -> int:
        """How many rows a table has."""
        count = 1
        for dimension in table.dimensions:
            count *= self.size(dimension)
        return count

    def shape(self, table: Table) -> tuple[int, ...]:
        """The sizes of a table's dimensions."""
        return tuple(self.size(d) for d in table.dimensions)

    def stride(self, table: Table, along: str) -> int:
        """How many rows apart neighbors along a dimension stand."""
        count = 1
        for dimension in table.dimensions[table.dimensions.index(along) + 1:]:
            count *= self.size(dimension)
        return count

    def words(self, column: Column) -> list[str]:
        """The short names of a block's members."""
        names = self.lists[column.over].at
        short = names.get("nutrient") or names[column.over]
        whole = self.lists[column.over].dimensions[0]
        start = self.start(column.over, whole)
        data = short.data  # type: ignore[attr-defined]
        return [str(data[start + k]) for k in range(self.size(column.over))]

    def named(self, column: Names, source: Column) -> list[tuple[int, str]]:
        """Numbers (from 0) and short names of the members that a column of names may name."""
        members = self.dimensions[source.over]
        return [(k, word) for k, word in enumerate(self.words(source))
                if not column.only or members[k] in column.only]

    def named_member(self, table: Table, column: Say) -> int | None:
        """Number (from 0) of the member whose number chooses the sentence; None without one."""
        if not column.member:
            return None
        return self.dimensions[table.at[column.by].over].index(column.member)

    def members(self, column: Column) -> Iterator[int | None]:
        """The member numbers (from 0) of a block; one None for a plain column."""
        yield from range(self.size(column.over)) if column.over else (None,)

    @cached_property
    def lists(self) -> dict[str, Table]:
        """A dimension's own attribute table."""
        return {d: self.tables[name] for d, name in self.attributes.items()}

    def find(self, table: Table, column: Column, name: str, member: int | None = None) -> Place:
        """Where a parameter comes from: own column, block member, member's attribute, setting."""
        if name in table.at:
            return Place(table, table.at[name], member if table.at[name].over else None)
        block, _, last = name.rpartition("_")
        if block in table.at and last in self.dimensions.get(table.at[block].over, ()):
            return Place(table, table.at[block], self.dimensions[table.at[block].over].index(last))
        for dimension in (column.over, *table.dimensions):
            if dimension in self.lists and name in self.lists[dimension].at:
                return Place(self.lists[dimension], self.lists[dimension].at[name], dimension)
        if name in self.settings:
            return Place(None, None, name)
        raise KeyError(f"{table.name}.{column.name} needs {name}, which is no column, attribute or"
                       " setting")

    def equation_name(self, column: Column, member: int | None, known: Mapping[str, Any]) -> str:
        """`need_cp` for member cp of block `need` if there is such an equation, else `need`."""
        name = getattr(column, "by", "") or column.name
        if column.over and member is not None:
            own = f"{name}_{self.dimensions[column.over][member]}"
            if own in known:
                return own
        return name

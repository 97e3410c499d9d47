"""Tables over arrays: one axis per dimension, worked out on demand; the stepped one by slices."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import numpy as np

from .. import steps
from ..dialect import EQUATIONS, parameters
from ..ranch import Ranch, day_number
from ..tables import (
    STEPPED,
    Asks,
    Book,
    Calc,
    Column,
    Edge,
    Entry,
    Into,
    Key,
    Last,
    Link,
    Names,
    Nearest,
    Prev,
    Pull,
    Roll,
    Running,
    Say,
    Shown,
    Table,
    Tally,
    Which,
)
from . import words
from .arrays import Array, Step, as_number, blank, conversions, first_set, taken, target_of

__all__ = ["Values", "steps"]


class Values:
    """All values of a book for one ranch; `at` works out what is asked for, a circle raises."""

    def __init__(self, book: Book, ranch: Ranch) -> None:
        self.book, self.ranch = book, ranch
        self._known: dict[tuple[str, str, Step, int | None], Array] = {}
        self._busy: set[tuple[str, str, Step, int | None]] = set()
        self._settings: dict[str, float] = {}

    def at(self, table: Table, column: Column, step: Step = None, member: int | None = None
           ) -> Array:
        """Array of a column (a block's member) over the table's other dimensions, at one step."""
        step = step if STEPPED in table.dimensions else None
        key = (table.name, column.name, step, member)
        if key not in self._known:
            if key in self._busy:
                raise ValueError(f"circle: {key}")
            self._busy.add(key)
            value = _WAYS[type(column)](self, table, column, step, member)
            self._known[key] = np.broadcast_to(value, self._shape(table))
            self._busy.discard(key)
        return self._known[key]

    def whole(self, table: Table, column: Column, member: int | None = None) -> Array:
        """The same with all steps, in row order of the sheet."""
        if STEPPED not in table.dimensions:
            return self.at(table, column, None, member).reshape(-1)
        steps = [self.at(table, column, s, member) for s in range(self.book.size(STEPPED))]
        return np.stack(steps, axis=table.dimensions.index(STEPPED)).reshape(-1)

    def column(self, table: str, name: str, member: str = "") -> Array:
        """A column by names, in row order: ``column("Balance", "over", "cp")``."""
        found = self.book.tables[table]
        column = found.at[name]
        number = self.book.dimensions[column.over].index(member) if member else None
        return self.whole(found, column, number)

    def setting(self, name: str) -> float:
        """A setting's number: typed by the user, else the default, else worked out."""
        if name not in self._settings:
            self._settings[name] = self._setting(name)
        return self._settings[name]

    def _setting(self, name: str) -> float:
        line = self.book.settings[name]
        if line.by:
            function = EQUATIONS[line.by].function
            return float(function(*(self.setting(p) for p in parameters(function))))
        typed = self.ranch.settings.get(name) if line.typed else None
        value = line.value if typed is None else typed
        if isinstance(value, dt.date):
            return day_number(value)
        return float("nan") if value is None or isinstance(value, str) else float(value)

    def _axes(self, table: Table) -> list[str]:
        return [d for d in table.dimensions if d != STEPPED]

    def _shape(self, table: Table) -> tuple[int, ...]:
        return tuple(self.book.size(d) for d in self._axes(table))

    def number(self, table: Table, dimension: str, step: Step) -> Array:
        """The row's number in a dimension, from 1."""
        if dimension == STEPPED:
            return np.asarray((step or 0) + 1.0)
        axes = self._axes(table)
        shape = [1] * len(axes)
        shape[axes.index(dimension)] = -1
        return np.arange(1.0, self.book.size(dimension) + 1).reshape(shape)

    def term(self, table: Table, name: str | float, step: Step) -> Array:
        """A column of this table by name, a setting, or a plain number."""
        if not isinstance(name, str):
            return np.asarray(float(name))
        if name in table.at:
            return self.at(table, table.at[name], step)
        return np.asarray(self.setting(name))

    def block(self, table: Table, source: Column, step: Step = None) -> Array:
        """All members of a block at one step, or in all rows: member first."""
        members = range(self.book.size(source.over))
        return np.stack([self.at(table, source, step, k) for k in members])

    def _key(self, table: Table, column: Key, step: Step, member: int | None) -> Array:
        if column.dimension == "row":
            count = np.arange(1.0, self.book.rows(table) + 1).reshape(self.book.shape(table))
            return self._sliced(table, count, step)
        if not column.data:
            return self.number(table, column.dimension, step)
        data = column.data[member or 0] if column.over else column.data
        words = any(isinstance(value, str) and value != "" for value in data)
        blank_cell, kind = (None, object) if words else (np.nan, float)
        return np.array([blank_cell if v == "" else v for v in data], kind)

    def _sliced(self, table: Table, values: Array, step: Step) -> Array:
        return values if step is None else np.take(values, step, table.dimensions.index(STEPPED))

    def _entry(self, table: Table, column: Entry, step: Step, member: int | None) -> Array:
        name = column.name
        if column.over and member is not None:
            name = f"{name}.{self.book.dimensions[column.over][member]}"
        words = column.what in ("text", "choice")
        blank_cell, kind = (None, object) if words else (np.nan, float)
        values = np.full(self.book.rows(table), blank_cell, kind)
        cells_by_row = {**self.ranch.entries.get(table.name, {}), **table.fixed}
        for row, cells in cells_by_row.items():
            typed = cells.get(name)
            if typed is not None and typed != "":
                where = f"{table.name} row {row}"
                values[row - 1] = typed if words else as_number(typed, where, name)
        return self._sliced(table, values.reshape(self.book.shape(table)), step)

    def _into(self, table: Table, column: Into, step: Step, member: int | None) -> Array:
        return self._converted(self.at(table, table.at[column.of], step, member), column.name, 1)

    def _shown(self, table: Table, column: Shown, step: Step, member: int | None) -> Array:
        return self._converted(self.at(table, table.at[column.of], step, member), column.of, -1)

    def _converted(self, value: Array, name: str, sign: int) -> Array:
        """The sheet multiplies or divides by a named cell; so does this, to the last digit."""
        for factor, power in conversions(name):
            number = self.setting(factor)
            for _ in range(abs(power)):
                value = value * number if power * sign > 0 else value / number
        return value

    def _calc(self, table: Table, column: Calc, step: Step, member: int | None) -> Array:
        function = EQUATIONS[self.book.equation_name(column, member, EQUATIONS)].function
        given: dict[str, Array] = {}
        known: Array = np.asarray(True)
        for name in parameters(function):
            given[name] = value = self._parameter(table, column, name, step, member)
            if name not in column.may_be_blank:
                known = known & ~np.isnan(value)
        with np.errstate(all="ignore"):
            return np.where(known, function(**given), np.nan)

    def _parameter(self, table: Table, column: Calc, name: str, step: Step, member: int | None
                   ) -> Array:
        place = self.book.find(table, column, name, member)
        if place.table is None or place.column is None:
            return np.asarray(self.setting(place.member))
        if place.table is table:
            return self.at(table, place.column, step, place.member)
        attribute = self.at(place.table, place.column)
        if place.member == column.over and member is not None:
            whole = place.table.dimensions[0]
            return np.asarray(attribute[member + self.book.start(column.over, whole)])
        rows = self.number(table, place.member, step).astype(int) - 1
        return np.asarray(attribute[rows])

    def _link(self, table: Table, column: Link, step: Step, member: int | None) -> Array:
        target = self.book.tables[column.to]
        if column.by_name:
            return self._link_by_name(table, column, step, target)
        row: Array = np.asarray(0.0)
        for dimension, name in zip(target.dimensions, column.on, strict=True):
            number = self.term(table, name, step)
            row = row * self.book.size(dimension) + number - 1
        return row + 1

    def _link_by_name(self, table: Table, column: Link, step: Step, target: Table) -> Array:
        rows: dict[str, float] = {}
        for row, name in enumerate(self.whole(target, target.at[column.key]), 1):
            if name is not None:
                rows.setdefault(name.casefold(), float(row))
        names = self.at(table, table.at[column.by_name], step)
        found = [np.nan if n is None else rows.get(n.casefold(), np.nan) for n in names.flat]
        blank: Array = np.asarray(rows.get(column.blank_name.casefold(), np.nan))
        if column.blank:
            blank = self.term(table, column.blank, step)
        empty = np.array([n is None for n in names.flat]).reshape(names.shape)
        return np.where(empty, blank, np.array(found, float).reshape(names.shape))

    def _pull(self, table: Table, column: Pull, step: Step, member: int | None) -> Array:
        link = table.at[column.via]
        target = self.book.tables[column.into] if column.into else target_of(self.book, link)
        source = target.at[column.of]
        if STEPPED in target.dimensions:
            return self._pull_step(table, column, step, member)
        rows = self.at(table, link, step, member if link.over else None)
        if source.over and column.member:
            return self._pull_member(table, column, step, rows, target, source)
        return taken(self.at(target, source, None, self._its(column, source, member)).reshape(-1),
                     rows)

    def _its(self, column: Column, source: Column, member: int | None) -> int | None:
        """A member's number in the block it is pulled from."""
        if member is None or not source.over:
            return None
        return member + self.book.start(column.over, source.over)

    def _pull_member(self, table: Table, column: Pull, step: Step, rows: Array, target: Table,
                     source: Column) -> Array:
        members = self.book.dimensions[source.over]
        if column.member in members:
            return taken(self.whole(target, source, members.index(column.member)), rows)
        block = np.stack([self.whole(target, source, k) for k in range(len(members))])
        number = self.term(table, column.member, step)
        return taken(block.reshape(-1), (number - 1) * block.shape[1] + rows)

    def _pull_step(self, table: Table, column: Pull, step: Step, member: int | None) -> Array:
        """From a stepped table: that step's slice only, so that earlier steps never ask later."""
        link = table.at[column.via]
        assert isinstance(link, Link)
        target = self.book.tables[link.to]
        source = target.at[column.of]
        number = dict(zip(target.dimensions, link.on, strict=True))
        name = number[STEPPED]
        at = step if name == STEPPED + "_no" else int(float(self.term(table, name, step))) - 1
        row: Array = np.asarray(0.0)
        for dimension in self._axes(target):
            row = row * self.book.size(dimension) + self.term(table, number[dimension], step) - 1
        if column.member in self.book.dimensions.get(source.over, ()):
            named = self.book.dimensions[source.over].index(column.member)
            return taken(self.at(target, source, at, named).reshape(-1), row + 1)
        if column.over or not source.over:
            its = self._its(column, source, member)
            return taken(self.at(target, source, at, its).reshape(-1), row + 1)
        block = self.block(target, source, at).reshape(self.book.size(source.over), -1)
        which = self.term(table, column.member, step)
        return taken(block.reshape(-1), (which - 1) * block.shape[1] + row + 1)

    def _prev(self, table: Table, column: Prev, step: Step, member: int | None) -> Array:
        source = table.at[column.of]
        first = self.term(table, column.first, step)
        if column.along != STEPPED:
            axis = self._axes(table).index(column.along)
            moved = np.roll(self.at(table, source, step, member), 1, axis)
            return np.where(self.number(table, column.along, step) == 1, first, moved)
        if not column.member:
            return first if step == 0 else self.at(table, source, (step or 0) - 1, member)
        number = self.term(table, column.member, step)
        if step == 0:
            return np.where(np.isnan(number), np.nan, first)
        block = self.block(table, source, (step or 0) - 1)
        safe = np.where(np.isnan(number), 1, number).astype(int) - 1
        picked = np.take_along_axis(block, safe[None], 0)[0]
        return np.where(np.isnan(number), np.nan, picked)

    def _running(self, table: Table, column: Running, step: Step, member: int | None) -> Array:
        axis = self._axes(table).index(column.along)
        return np.cumsum(self.at(table, table.at[column.of], step), axis=axis)

    def _last(self, table: Table, column: Last, step: Step, member: int | None) -> Array:
        axis = self._axes(table).index(column.along)
        return np.take(self.at(table, table.at[column.of], step), [-1], axis=axis)

    def _edge(self, table: Table, column: Edge, step: Step, member: int | None) -> Array:
        target = target_of(self.book, table.at[column.via])
        source, count = target.at[column.of], self.book.size(target.dimensions[-1])
        rows = self.term(table, column.via, step)
        block = self.block(target, source).reshape(-1)
        start = (self.term(table, column.member, step) - 1) * self.book.rows(target) + rows
        flags = np.stack([taken(block, start + k) for k in range(count)])
        if column.which == "least":
            return np.asarray(flags.min(0))
        if column.which == "first":
            return first_set(flags)
        last = count + 1 - first_set(flags[::-1])
        return np.where(last > count, 0, last)

    def _which(self, table: Table, column: Which, step: Step, member: int | None) -> Array:
        return first_set(self.block(table, table.at[column.of], step), column.flag)

    def _nearest(self, table: Table, column: Nearest, step: Step, member: int | None) -> Array:
        known = ~np.isnan(self.at(table, table.at[column.of]))
        rows = np.arange(1.0, self.book.rows(table) + 1).reshape(known.shape)
        if column.side == "before":
            return np.maximum.accumulate(np.where(known, rows, 0.0), axis=-1)
        later = np.where(known, rows, np.inf)[..., ::-1]
        found = np.minimum.accumulate(later, axis=-1)[..., ::-1]
        return np.where(np.isinf(found), 0.0, found)

    def _roll(self, table: Table, column: Roll, step: Step, member: int | None) -> Array:
        source = self.book.tables[column.table]
        if column.linked_by or column.shared:
            return self._roll_matched(table, column, source, member)
        steps: list[Step] = [step]
        if STEPPED in source.dimensions and STEPPED not in table.dimensions:
            steps = list(range(self.book.size(STEPPED)))
        axes = tuple(i for i, d in enumerate(self._axes(source)) if d not in table.dimensions)
        each = [self.at(source, source.at[column.of], s, member) for s in steps]
        if column.how == "largest":
            return np.asarray(np.maximum.reduce([v.max(axes) for v in each]))
        if column.how == "least":
            return np.asarray(np.minimum.reduce([v.min(axes) for v in each]))
        total: Array = np.asarray(0.0)
        for value in each:
            counted = np.isnan(value) if column.how == "unknown" else np.nan_to_num(value)
            total = total + counted.sum(axes)
        return total if not column.upto else np.cumsum(total, self._axes(table).index(column.upto))

    def _roll_matched(self, table: Table, column: Roll, source: Table, member: int | None) -> Array:
        value = self.whole(source, source.at[column.of], member)
        hit = ~np.isnan(value)[None]
        pairs = [(column.linked_by, table.number_key)] if column.linked_by else []
        for theirs, ours in [*pairs, *((name, name) for name in column.shared)]:
            wanted = self.whole(table, table.at[ours])[:, None]
            hit = hit & (self.whole(source, source.at[theirs])[None] == wanted)
        known = np.all([~np.isnan(self.whole(table, table.at[n])) for n in column.shared], axis=0)
        count = np.where(known, hit.sum(1).astype(float), np.nan)
        if column.how == "count":
            return count.reshape(self.book.shape(table))
        total = np.where(known, np.where(hit, value, 0).sum(1), np.nan)
        if column.how == "mean":
            total = np.where(count > 0, total / np.maximum(count, 1), np.nan)
        if column.how == "ratio":
            per = self.whole(source, source.at[column.per], member)
            parts = np.where(hit, per, 0).sum(1)
            total = np.where((count > 0) & (parts != 0), total / np.where(parts == 0, 1, parts),
                             np.nan)
        return total.reshape(self.book.shape(table))

    def _tally(self, table: Table, column: Tally, step: Step, member: int | None) -> Array:
        counts = []
        for source, name in column.columns:
            found = self.column(source, name)
            said = ~blank(found) if found.dtype == object else np.nan_to_num(found) > 0
            counts.append(float(said.sum()))
        return np.array(counts)


_WAYS: dict[type[Column], Callable[..., Array]] = {
    Key: Values._key, Entry: Values._entry, Into: Values._into, Shown: Values._shown,
    Calc: Values._calc, Link: Values._link, Pull: Values._pull, Prev: Values._prev,
    Running: Values._running, Last: Values._last, Edge: Values._edge, Which: Values._which,
    Nearest: Values._nearest, Roll: Values._roll, Say: words.say, Asks: words.asks,
    Names: words.names,
    Tally: Values._tally,
}

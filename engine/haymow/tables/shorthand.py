"""Shorthand for the lists of columns: keys, links to a group and a month, runs of one kind."""

from __future__ import annotations

from typing import Any

from ..units import edge_name
from .kinds import Calc, Column, Entry, Into, Key, Link, Pull, Shown

__all__ = [
    "calcs", "group_link", "group_name", "keys", "month_name", "pulls", "row_key", "shown", "typed",
]


def keys(*dimensions: str) -> list[Column]:
    """The constant row number in each dimension."""
    first = len(dimensions) == 1
    return [Key(name=f"{d}_no", dimension=d, label="No." if first else f"{d} no.", front=first)
            for d in dimensions]


def row_key() -> Column:
    """The constant row number of a table with several dimensions."""
    return Key(name="row_no", dimension="row", label="No.", front=True)


def group_link() -> Column:
    """Where the group stands on Herd."""
    return Link(name="herd_row", to="Herd", on=("group_no",), label="Row on Herd")


def group_name() -> Column:
    """The group's name, looked up by number."""
    return Pull(name="group", via="herd_row", of="group", label="Group", front=True)


def month_name() -> Column:
    """The month's first day, shown as a month."""
    return Pull(name="month", via="month_no", of="first_day", label="Month", front=True)


def calcs(names: str, **same: Any) -> list[Column]:
    """Calculated columns that differ only in their names."""
    return [Calc(name=name, **same) for name in names.split()]


def pulls(via: str, names: str, **same: Any) -> list[Column]:
    """Columns of the same name through a link."""
    return [Pull(name=name, via=via, of=name, **same) for name in names.split()]


def typed(names: str, **same: Any) -> list[Column]:
    """For each quantity an entry in the workbook's unit and the same in the engine's unit."""
    found: list[Column] = []
    for name in names.split():
        found += [Entry(name=edge_name(name), quantity=name, front=True, **same),
                  Into(name=name, of=edge_name(name))]
    return found


def shown(names: str) -> list[Column]:
    """For each quantity of the engine a column in the workbook's unit."""
    return [Shown(name=edge_name(name), of=name, quantity=name, front=True)
            for name in names.split()]

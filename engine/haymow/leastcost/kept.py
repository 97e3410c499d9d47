"""Names as users write them, and which feeding lines stay when the others are chosen anew."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..problems import InputError
from ..ranch import Cell, Ranch
from ..tables.small import MODES
from .program import Array
from .wishes import Wishes

__all__ = ["cleared", "folded", "named", "to_keep", "with_fewer_lines"]


def cleared(ranch: Ranch, keep: tuple[str, ...], groups: Array | None = None) -> Ranch:
    """The ranch with only the feeding lines to keep, moved to the front of their group.

    ``groups`` (numbers from 0) are those whose lines are cleared; all if not given.
    """
    lines, kept = ranch.sizes["line"], {folded(name) for name in keep}
    found: dict[int, dict[str, Cell]] = {}
    moved: dict[int, int] = {}
    for row, cells in sorted(ranch.entries.get("Plan", {}).items()):
        group = (row - 1) // lines
        if groups is not None and group not in groups:
            found[row] = dict(cells)
        elif folded(cells.get("product")) in kept:
            moved[group] = moved.get(group, 0) + 1
            found[group * lines + moved[group]] = dict(cells)
    return replace(ranch, entries={**ranch.entries, "Plan": found})


def to_keep(ranch: Ranch, wishes: Wishes) -> tuple[str, ...]:
    """The products whose lines stay: those of the wish, else what is put out already."""
    if wishes.keep is not None:
        return wishes.keep
    if wishes.minerals:
        return ()
    out = [str(cells.get("product") or "") for cells in ranch.entries.get("Plan", {}).values()
           if cells.get("mode") == MODES[2]]
    return tuple(dict.fromkeys(out))


def with_fewer_lines(ranch: Ranch) -> Ranch:
    """The same with no more lines a group than are in use, which is quicker."""
    lines, rows = ranch.sizes["line"], ranch.entries["Plan"]
    fewer = max([1, *((row - 1) % lines + 1 for row in rows)])
    plan = {(row - 1) // lines * fewer + (row - 1) % lines + 1: cells
            for row, cells in rows.items()}
    return replace(ranch, entries={**ranch.entries, "Plan": plan},
                   sizes={**ranch.sizes, "line": fewer})


def named(words: Sequence[str], known: Sequence[str], what: str) -> list[int]:
    """The numbers of names among the known ones; InputError for one that is not there."""
    at = {folded(name): number for number, name in reversed(list(enumerate(known)))}
    for word in words:
        if folded(word) not in at:
            shown = ", ".join(name for name in known if name)
            raise InputError(f"'{word}' is not on {what}; expected one of: {shown}.")
    return [at[folded(word)] for word in words]


def folded(name: Cell) -> str:
    """A name as it is compared: case and spaces do not count."""
    return " ".join(str(name or "").split()).casefold()

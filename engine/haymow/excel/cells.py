"""What a function gets from cells and hands back to them: answers, blanks, or one sentence.

A blank gives a blank. An error in a cell, the sentence of another function, a word or a number
that cannot be meant give text that begins with ``ERR:``, never a number.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .. import equations
from ..dialect import EQUATIONS, parameters
from ..problems import InputError
from ..quantities import Quantity, checked_value, glossary
from ..ranch import day_number
from ..units import parse

__all__ = ["MARK", "Block", "equations", "in_cells", "worked_out"]

Block = list[list[Any]]  # rows of cells
Array = NDArray[Any]
Read = tuple[Array, Array]  # values (None: blank), and sentences (None: nothing wrong)

MARK = "ERR: "
FIRST_ERROR, LAST_ERROR = -2146827000, -2146826000  # numbers Excel has for newer kinds of errors


def in_cells(name: str, *blocks: Block) -> Block:
    """The equation of the quantity ``name`` over blocks of cells, one a parameter.

    One cell, one row or one column goes with each row and column of the others.
    """
    function = EQUATIONS[name].function
    given = dict(zip(parameters(function), blocks, strict=True))
    label = glossary()[name].label

    def work(values: Mapping[str, Array]) -> Array:
        numbers = {key: value.astype(float) for key, value in values.items()}
        with np.errstate(all="ignore"):
            answers = np.broadcast_to(function(**numbers), len(values[next(iter(values))]))
        said = f"{MARK}{label} cannot be worked out from these values."
        return np.where(np.isfinite(answers), answers.astype(object), said)

    return worked_out(given, work)


def worked_out(given: Mapping[str, Block | None], work: Callable[[Mapping[str, Array]], Array],
               words: tuple[str, ...] = (), optional: tuple[str, ...] = ()) -> Block:
    """Cells in, cells out: ``work`` is called once with the values of the cells that are complete.

    Parameters
    ----------
    given : mapping
        Quantity -> block of cells; None for an argument that was left out.
    work : callable
        Gets quantity -> array, as many values as there are complete cells, and gives as many
        answers: numbers, or text for the cell. None stands for a blank of an optional quantity.
    words, optional : tuple
        The quantities that are words, and those that may be blank.
    """
    blocks = {name: _block(block) for name, block in given.items()}
    shapes = [block.shape for block in blocks.values()]
    try:
        shape = np.broadcast_shapes(*shapes)
    except ValueError:
        sizes = ", ".join(dict.fromkeys(f"{rows} x {columns}" for rows, columns in shapes))
        return [[f"{MARK}The ranges have {sizes} cells; expected the same number of rows and"
                 " columns, or one cell."]]
    read = {name: _read(name, block, name in words) for name, block in blocks.items()}
    values = {name: np.broadcast_to(found[0], shape).reshape(-1) for name, found in read.items()}
    answers: Array = np.full(shape, None).reshape(-1)
    said: Array = np.full(shape, None).reshape(-1)
    blank: Array = np.zeros(shape, bool).reshape(-1)
    for name, (_, sentences) in read.items():
        told = np.broadcast_to(sentences, shape).reshape(-1)
        said = np.where(said == None, told, said)  # noqa: E711  compares each cell
        if name not in optional:
            blank |= values[name] == None  # noqa: E711
    complete = ~blank & (said == None)  # noqa: E711
    if complete.any():
        answers[complete] = work({name: value[complete] for name, value in values.items()})
    answers = np.where(said == None, answers, said)  # noqa: E711
    rows: Block = answers.reshape(shape).tolist()
    return rows


def _block(block: Any) -> Array:
    """A rectangle of cells; one cell where Excel hands over no rectangle."""
    rows = block if isinstance(block, list | tuple) else [[block]]
    found = np.empty((len(rows), len(rows[0])), object)
    for number, row in enumerate(rows):
        found[number] = row
    return found


def _read(name: str, block: Array, word: bool) -> Read:
    """Values and sentences of one argument's cells."""
    line = None if word else glossary()[name]
    values: list[Any] = [None] * block.size
    said: list[str | None] = [None] * block.size
    for place, cell in enumerate(block.flat):
        if cell is None or (isinstance(cell, str) and not cell.strip()):
            continue
        if line is not None and type(cell) is float and line.low <= cell <= line.high:
            values[place] = cell
            continue
        try:
            values[place] = _word(name, cell) if line is None else _number(line, cell)
        except InputError as error:
            text = str(error)
            said[place] = text if text.startswith(MARK) else MARK + text
    return _shaped(values, block), _shaped(said, block)


def _shaped(cells: list[Any], block: Array) -> Array:
    shaped = np.empty(block.size, object)
    shaped[:] = cells
    return shaped.reshape(block.shape)


def _number(line: Quantity, cell: Any) -> float:
    """A cell's number in the engine's unit; InputError for whatever is none or not plausible."""
    value = cell if type(cell) is float else _other(line, cell)
    if line.unit.si == "date" and not line.low <= value <= line.high:
        raise InputError(f"{line.label} is {value:g}; expected a date from 2000 to 2099.")
    return checked_value(line.name, value)


def _other(line: Quantity, cell: Any) -> float:
    """The number of a cell that is not simply one."""
    if isinstance(cell, bool):
        raise InputError(f"{line.label} is {str(cell).upper()}; expected a number.")
    if _is_error(cell):
        raise _error(line.label, cell)
    if isinstance(cell, int | Decimal | np.number):
        return float(cell)
    if isinstance(cell, dt.date):
        if line.unit.si == "date":
            return day_number(cell)
        raise InputError(f"{line.label} is the date {cell:%Y-%m-%d}; expected a number.")
    if line.unit.si == "date":
        raise InputError(f"{line.label} is '{cell}'; expected a date.")
    return parse(line.name, cell)


def _word(name: str, cell: Any) -> str:
    """A cell's text."""
    label = name.replace("_", " ").capitalize()
    if _is_error(cell):
        raise _error(label, cell)
    if isinstance(cell, str):
        return cell
    raise InputError(f"{label} is {cell}; expected a word.")


def _is_error(cell: Any) -> bool:
    if isinstance(cell, str):
        return cell.startswith(("#", MARK.strip()))
    return type(cell) is int and FIRST_ERROR < cell < LAST_ERROR


def _error(label: str, cell: Any) -> InputError:
    """An error is passed on; what another of our functions said, word by word."""
    if isinstance(cell, str) and cell.startswith(MARK.strip()):
        return InputError(cell)
    return InputError(f"{label} is {cell if isinstance(cell, str) else 'an error'}.")

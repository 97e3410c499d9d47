"""A linear program put together block by block: columns and rows as arrays of numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import sparse

__all__ = ["Array", "Program"]

Array = NDArray[Any]


@dataclass
class Program:
    """Minimize cost @ x, with limits of columns and of rows; whole columns hold whole numbers."""

    _low: list[Array] = field(default_factory=list)
    _high: list[Array] = field(default_factory=list)
    _cost: list[Array] = field(default_factory=list)
    _whole: list[Array] = field(default_factory=list)
    _values: list[Array] = field(default_factory=list)
    _at: list[tuple[Array, Array]] = field(default_factory=list)
    _least: list[Array] = field(default_factory=list)
    _most: list[Array] = field(default_factory=list)
    columns: int = 0
    rows: int = 0

    def add_columns(self, shape: tuple[int, ...], low: ArrayLike = 0.0, high: ArrayLike = np.inf,
                    cost: ArrayLike = 0.0, whole: bool = False) -> Array:
        """New columns; their numbers, in that shape."""
        count = int(np.prod(shape))
        for kept, given in ((self._low, low), (self._high, high), (self._cost, cost),
                            (self._whole, float(whole))):
            kept.append(np.broadcast_to(np.asarray(given, float), shape).reshape(-1))
        numbers = np.arange(self.columns, self.columns + count).reshape(shape)
        self.columns += count
        return numbers

    def add_rows(self, shape: tuple[int, ...], parts: Sequence[tuple[ArrayLike, Array]],
                 least: ArrayLike = -np.inf, most: ArrayLike = np.inf) -> Array:
        """New rows: least <= sum of coefficient * column <= most; their numbers.

        Coefficients and columns have the rows' shape, or further axes to sum over.
        """
        count = int(np.prod(shape))
        numbers = np.arange(self.rows, self.rows + count).reshape(shape)
        for coefficient, columns in parts:
            full = np.broadcast_shapes(np.shape(coefficient), columns.shape,
                                       shape + (1,) * (max(columns.ndim, np.ndim(coefficient))
                                                       - len(shape)))
            at = numbers.reshape(shape + (1,) * (len(full) - len(shape)))
            values = np.broadcast_to(np.asarray(coefficient, float), full).reshape(-1)
            used = values != 0
            self._values.append(values[used])
            self._at.append((np.broadcast_to(at, full).reshape(-1)[used],
                             np.broadcast_to(columns, full).reshape(-1)[used]))
        for kept, given in ((self._least, least), (self._most, most)):
            kept.append(np.broadcast_to(np.asarray(given, float), shape).reshape(-1))
        self.rows += count
        return numbers

    @property
    def low(self) -> Array:
        """Lowest value of each column."""
        return np.concatenate(self._low)

    @property
    def high(self) -> Array:
        """Highest value of each column."""
        return np.concatenate(self._high)

    @property
    def cost(self) -> Array:
        """Cost of one unit of each column."""
        return np.concatenate(self._cost)

    @property
    def whole(self) -> Array:
        """1 where a column holds whole numbers only."""
        return np.concatenate(self._whole)

    @property
    def least(self) -> Array:
        """Lowest sum of each row."""
        return np.concatenate(self._least)

    @property
    def most(self) -> Array:
        """Highest sum of each row."""
        return np.concatenate(self._most)

    def matrix(self) -> Any:
        """All coefficients, sparse: rows x columns."""
        rows = np.concatenate([at[0] for at in self._at])
        columns = np.concatenate([at[1] for at in self._at])
        values = np.concatenate(self._values)
        return sparse.csr_array((values, (rows, columns)), shape=(self.rows, self.columns))

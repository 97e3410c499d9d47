"""Equations traced into worksheet text."""

from __future__ import annotations

from typing import Any

import numpy as np

from ..dialect import ADD, CALLS, COMPARE, POWER, SIGNS, Node

__all__ = ["check_soft", "printed"]

ATOM = 4


def printed(node: Any) -> str:
    """The worksheet text of a traced formula.

    >>> x = Node("cell", "$A1")
    >>> printed(-x**2)
    '(-1)*$A1^2'
    """
    return _printed(node)[0]


def _printed(node: Any) -> tuple[str, int]:
    """Text of ``node`` and how tightly it binds."""
    if isinstance(node, str):
        return node, ATOM
    if not isinstance(node, Node):
        return _number(float(node))
    if isinstance(node.what, str) and node.what == "cell":
        return node.parts[0], ATOM
    if isinstance(node.what, str) or node.what in CALLS:
        name = node.what if isinstance(node.what, str) else CALLS[node.what]
        return f"{name}({','.join(printed(part) for part in node.parts)})", ATOM
    sign, level = SIGNS[node.what]
    # a^b^c and chained comparisons mean something else in a worksheet: always parenthesized
    floors = level + (level in (POWER, COMPARE)), level + 1
    texts = [text if has >= floor else f"({text})"
             for (text, has), floor in zip(map(_printed, node.parts), floors, strict=True)]
    return texts[0] + sign + texts[1], level


def _number(value: float) -> tuple[str, int]:
    if not np.isfinite(value):
        raise TypeError(f"{value} cannot stand in a formula")
    return repr(value).removesuffix(".0").upper(), ATOM if value >= 0 else ADD


def check_soft(node: Any, soft: list[Any], whole: bool = True) -> None:
    """Refuse a may-be-blank cell inside arithmetic: it may be a whole branch, or be tested."""
    if any(node is cell for cell in soft) and not whole:
        raise TypeError(f"{node.parts[0]} may be blank: give it a branch or a column of its own")
    if isinstance(node, Node) and node.what != "cell":
        branch = isinstance(node.what, str) and node.what in ("IF", "CHOOSE")
        for place, part in enumerate(node.parts):
            tested = isinstance(node.what, str) and node.what == "ISNUMBER"
            check_soft(part, soft, tested or (whole and branch and place > 0))

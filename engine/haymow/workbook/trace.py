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


def check_soft(node: Any, soft: list[Any]) -> bool:
    """Whether ``node`` may be blank; refuse that inside arithmetic.

    What may be blank, typed or by a rule, may be tested or be a whole branch. Behind a test that
    it is a number it is known.
    """
    if not isinstance(node, Node):
        return isinstance(node, str) and node == '""'
    what = node.what if isinstance(node.what, str) else ""
    if what == "cell":
        return any(node is cell for cell in soft)
    blank = [check_soft(part, soft) for part in node.parts]
    if what == "ISNUMBER":
        return False
    first = 1 if what in ("IF", "CHOOSE") else len(blank)
    for part, may_be in zip(node.parts[:first], blank, strict=False):
        if may_be:
            raise TypeError(f"{printed(part)} may be blank: give it a branch or a column of its"
                            " own")
    test = node.parts[0]
    known = what == "IF" and isinstance(test, Node) and test.what == "ISNUMBER" \
        and test.parts[0] is node.parts[1]  # the value that was tested
    return any(blank[first + known:])

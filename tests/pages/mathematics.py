"""A traced equation as mathematics, in the part of LaTeX that GitHub shows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

import numpy as np

from haymow.dialect import Equation, Node, parameters
from haymow.units import edge_name

from .signs import (
    CONDITION,
    PRODUCT,
    SUM,
    WIDTH,
    Text,
    factors,
    line_of,
    part_of,
    terms,
    text_of,
)

__all__ = ["formula", "names_in"]

ROOM = 40  # characters that a line has at least, however long the name before it
REPEATED = 24  # characters from which on a part that stands twice gets a letter
LETTERS = "abcdfghijkmnqrstuvwxyz"  # e is a number; l, o and p are taken for others
SPELLED = {
    "adf": "ADF", "adicp": "ADICP", "c": "(°C)", "ca": "Ca", "cp": "CP", "ddm": "DDM", "de": "DE",
    "dm": "DM", "f": "(°F)", "iu": "IU", "ivtd": "IVTD", "kno3": "KNO3", "l": "(L)",
    "me": "ME", "mp": "MP", "ndf": "NDF", "ndfd": "NDFD", "ndfd48": "NDFD48", "ndicp": "NDICP",
    "neg": "NEg", "nem": "NEm", "nfc": "NFC", "no3n": "NO3-N", "nsc": "NSC", "p": "P",
    "rdp": "RDP", "rfq": "RFQ", "rfv": "RFV", "rup": "RUP", "se": "Se", "tdn": "TDN",
}


def formula(equation: Equation) -> list[str]:
    """The equation as ``result = ...``, then what the letters in it stand for."""
    names = names_in(equation)
    node = equation.function(**{name: Node("cell", names[name])
                                for name in parameters(equation.function)})
    node, letters = _with_letters(node)
    return [_line(rf"\text{{{names[equation.name]}}}", len(names[equation.name]), node),
            *(_line(letter, 1, part) for letter, part in letters)]


def names_in(equation: Equation) -> dict[str, str]:
    """Each quantity in words without its unit, or with it where two would be called the same.

    >>> from haymow.calc import handbook
    >>> names_in(next(e for e in handbook() if e.name == "value_pct_dm"))["dm_pct_as_fed"]
    'DM'
    """
    full = list(dict.fromkeys([equation.name, *parameters(equation.function)]))
    short = [_words(edge_name(name)) for name in full]
    return {name: brief if short.count(brief) == 1 else _words(name)
            for name, brief in zip(full, short, strict=True)}


def _words(name: str) -> str:
    return " ".join(SPELLED.get(word, word) for word in name.split("_"))


def _line(given: str, length: int, node: Any) -> str:
    return f"{given} = {_fitted(node, max(WIDTH - length - 3, ROOM))}"


# --- long parts that stand twice
def _with_letters(node: Any) -> tuple[Any, list[tuple[str, Any]]]:
    """The formula with a letter for each long part that it holds more than once, largest first."""
    found: list[tuple[str, Any]] = []
    while len(found) < len(LETTERS):
        whole = [node, *(part for _, part in found)]
        inner = [part for each in whole for part in _inside(each)]
        count = Counter(text_of(part).latex for part in inner)
        twice = [part for part in inner if count[text_of(part).latex] > 1
                 and text_of(part).width >= REPEATED and not _said_apart(part)]
        if not twice:
            break
        part = max(twice, key=lambda p: text_of(p).width)
        letter, key = LETTERS[len(found)], text_of(part).latex
        node = _replaced(node, key, letter)
        found = [(name, _replaced(old, key, letter)) for name, old in found] + [(letter, part)]
    return node, found


def _said_apart(node: Node) -> bool:
    """Parts that only make sense where they stand: names, tests, months."""
    return isinstance(node.what, str) or text_of(node).binds == CONDITION


def _inside(node: Any) -> Iterator[Node]:
    if isinstance(node, Node) and node.what != "cell":
        yield node
        for part in line_of(node) or node.parts:
            yield from _inside(part)


def _replaced(node: Any, key: str, letter: str) -> Any:
    if not isinstance(node, Node) or node.what == "cell":
        return node
    if text_of(node).latex == key:
        return Node("letter", letter)
    return Node(node.what, *(_replaced(part, key, letter) for part in node.parts))


# --- lines that fit
def _fitted(node: Any, room: int) -> str:
    """The text of ``node``; a sum or product too long for a line goes over several."""
    text = text_of(node)
    if text.width <= room:
        return text.latex
    if isinstance(node, Node) and node.what in ("IF", "CHOOSE"):
        return text_of(node, lambda part: _fitted(part, WIDTH - 25)).latex
    parts = list(_pieces(node))
    if len(parts) < 2:
        return text.latex
    lines, length = [""], 0
    for number, (sign, piece) in enumerate(parts):
        if number and length + piece.width > room:
            lines.append(r"\quad ")
            length = 2
        lines[-1] += (f" {sign} " if number else sign.strip("+").removeprefix(r"\cdot"))
        lines[-1] += piece.latex
        length += piece.width + 3
    return r"\begin{aligned}[t] & " + " \\\\\n& ".join(lines) + r" \end{aligned}"


def _pieces(node: Any) -> Iterator[tuple[str, Text]]:
    """What is added up or multiplied, each with its sign; a last divisor is a factor."""
    if line_of(node) or not isinstance(node, Node):
        return
    if node.what is np.divide and text_of(node.parts[0]).binds == PRODUCT:
        yield from _pieces(node.parts[0])
        yield r"\cdot", text_of(Node(np.divide, 1.0, node.parts[1]))
    elif text_of(node).binds == SUM:
        for sign, part in terms(node):
            yield sign, part_of(part, SUM)
    elif text_of(node).binds == PRODUCT:
        for part in factors(node):
            yield r"\cdot", part_of(part, SUM)

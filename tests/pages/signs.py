"""One operation of a traced equation as LaTeX: its sign, its parentheses, how wide it is."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import numpy as np

from haymow.dialect import Node

__all__ = ["CONDITION", "PRODUCT", "SUM", "WIDTH", "Text", "factors", "line_of", "part_of",
           "terms", "text_of"]

WIDTH = 72  # characters of a line that still fits a page
CONDITION, SUM, PRODUCT, POWER, ATOM = range(5)
COMPARE: dict[Any, str] = {
    np.less: "<", np.greater: ">", np.less_equal: r"\le", np.greater_equal: r"\ge",
    np.equal: "=", np.not_equal: r"\ne", np.bitwise_and: r"\text{ and }",
    np.bitwise_or: r"\text{ or }",
}
CALLS: dict[Any, str] = {
    np.exp: r"\exp", np.log: r"\ln", np.minimum: r"\min", np.maximum: r"\max",
    np.remainder: r"\mathrm{remainder}", "MONTH": r"\mathrm{month}", "YEAR": r"\mathrm{year}",
    "NORMSDIST": r"\Phi",
}
AROUND: dict[Any, tuple[str, str]] = {
    np.sqrt: (r"\sqrt{", "}"), np.absolute: (r"\left|", r"\right|"),
    np.floor: (r"\left\lfloor ", r" \right\rfloor"),
}


class Text(NamedTuple):
    """LaTeX, how tightly it binds, and about how many characters wide it is."""

    latex: str
    binds: int
    width: int


def text_of(node: Any, value: Callable[[Any], str] | None = None) -> Text:
    """The text of a node; ``value`` prints the values of a choice, where lines must be broken."""
    if isinstance(node, str):
        return _words("not known" if node == '""' else node)
    if not isinstance(node, Node):
        return _number(float(node))
    if line_of(node):
        return _line_text(line_of(node))
    if node.what in ("IF", "CHOOSE"):
        return _braced(choices(node), value or (lambda part: text_of(part).latex))
    return WAYS[node.what](node)


def part_of(node: Any, around: int) -> Text:
    """A part, in parentheses where it binds no tighter than what it stands in."""
    text = text_of(node)
    return text if text.binds > around else _parenthesized(text)


def terms(node: Any) -> list[tuple[str, Any]]:
    """What is added up, each with its sign; a zero is left out."""
    found = [("+", node)]
    if line_of(node):
        return found
    if isinstance(node, Node) and node.what in (np.add, np.subtract):
        left, right = node.parts
        behind = terms(right) if node.what is np.add else [("-", right)]
        found = [(sign, part) for sign, part in [*terms(left), *behind] if not _is(part, 0)]
    elif isinstance(node, Node) and node.what is np.multiply and _is(node.parts[0], -1):
        found = [("-", node.parts[1])]
    elif not isinstance(node, (Node, str)) and float(node) < 0:
        found = [("-", -float(node))]
    return found or [("+", 0.0)]


def factors(node: Any) -> list[Any]:
    """What is multiplied; a one is left out."""
    if isinstance(node, Node) and node.what is np.multiply and not _is(node.parts[0], -1):
        found = [part for side in node.parts for part in factors(side) if not _is(part, 1)]
        return found or [1.0]
    return [node]


def choices(node: Any, held: str = "") -> list[tuple[Any, str]]:
    """The values of a choice with their conditions, of which the first that holds counts."""
    if isinstance(node, Node) and node.what == "CHOOSE":
        number, *values = node.parts
        which = text_of(number).latex
        return [(value, rf"\text{{if }}{held}{which} = {n}") for n, value in enumerate(values, 1)]
    if not (isinstance(node, Node) and node.what == "IF"):
        return [(node, r"\text{if }" + held.removesuffix(AND) if held else OTHERWISE)]
    condition, value, rest = node.parts
    return [*choices(value, held + text_of(condition).latex + AND), *choices(rest, held)]


def line_of(node: Any) -> list[Any]:
    """Of a line through points: x, then x and y of each point; else nothing."""
    points: list[tuple[Any, Any, Any]] = []
    here = node
    while (step := _step(here)) is not None:
        here, *point = step
        points.insert(0, (point[0], point[1], point[2]))
    if not points:
        return []
    x, (start, width), _ = points[0]
    found = [x, start, here]
    for x_here, (start, width), rise in points:
        if text_of(x_here).latex != text_of(x).latex:
            return []
        found += [start + width, _raised(found[-1], rise)]
    return found


AND, OTHERWISE = r" \text{ and } ", r"\text{otherwise}"


def _step(node: Any) -> tuple[Any, Any, tuple[float, float], Any] | None:
    """The last piece of a line, ``before + held((x - start) / width, 0, 1) * rise``."""
    match node:
        case Node(what=np.add, parts=(before, Node(what=np.multiply, parts=(held, rise)))):
            match held:
                case Node(what=np.minimum, parts=(
                    Node(what=np.maximum, parts=(
                        Node(what=np.divide, parts=(
                            Node(what=np.subtract, parts=(x, start)), width)), 0.0)), 1.0)):
                    return before, x, (float(start), float(width)), rise
    return None


def _raised(y: Any, rise: Any) -> Any:
    """The y of the next point."""
    if isinstance(rise, Node) and rise.what is np.subtract:
        return rise.parts[0]
    return y + rise


def _line_text(line: list[Any]) -> Text:
    x, points = text_of(line[0]), list(zip(line[1::2], line[2::2], strict=True))
    last = len(points) - 1
    rows = []
    for number, (at, y) in enumerate(points):
        more = {0: r"\text{ and below}", last: r"\text{ and above}"}.get(number, "")
        rows.append((y, rf"\text{{at }}{x.latex} = {text_of(at).latex}{more}"))
    return _braced(rows, lambda part: text_of(part).latex, x.width)


def _braced(rows: Sequence[tuple[Any, str]], value: Callable[[Any], str], wide: int = 10) -> Text:
    kept = list(rows)
    while len(kept) > 1 and kept[-1][1] == OTHERWISE \
            and text_of(kept[-2][0]).latex == text_of(kept[-1][0]).latex:
        del kept[-2]  # it says the same
    if len(kept) == 1:
        return text_of(kept[0][0])
    body = " \\\\\n".join(f"{value(part)} & {when}" for part, when in kept)
    return Text(rf"\begin{{cases}} {body} \end{{cases}}", ATOM,
                max(text_of(part).width for part, _ in rows) + wide + 12)


def _words(words: str) -> Text:
    return Text(rf"\text{{{words}}}", ATOM, len(words))


def _number(value: float) -> Text:
    if value == math.e:
        return Text("e", ATOM, 1)
    digits, _, power = f"{abs(value):.12g}".partition("e")
    latex = rf"{digits} \cdot 10^{{{int(power)}}}" if power else digits
    if value < 0:
        return Text("-" + latex, SUM, len(digits) + 1)
    return Text(latex, PRODUCT if power else ATOM, len(digits) + 3 * bool(power))


def _parenthesized(text: Text) -> Text:
    return Text(rf"\left({text.latex}\right)", ATOM, text.width + 2)


def _sum(node: Node) -> Text:
    latex, width, found = "", 0, terms(node)
    if found == [("+", found[0][1])] and not _is(found[0][1], 0):
        return text_of(found[0][1])
    for number, (sign, part) in enumerate(found):
        text = part_of(part, SUM) if number or sign == "-" else text_of(part)
        latex += (f" {sign} " if number else sign.strip("+")) + text.latex
        width += text.width + 3
    return Text(latex, SUM, width - 3)


def _product(node: Node) -> Text:
    if _is(node.parts[0], -1):
        text = part_of(node.parts[1], SUM)
        return Text("-" + text.latex, SUM, text.width + 1)
    found = factors(node)
    if len(found) == 1:
        return text_of(found[0])
    texts = [part_of(part, SUM) for part in found]
    return Text(r" \cdot ".join(t.latex for t in texts), PRODUCT,
                sum(t.width + 3 for t in texts) - 3)


def _fraction(node: Node) -> Text:
    above, below = node.parts
    while isinstance(above, Node) and above.what is np.divide:  # one bar instead of two
        above, below = above.parts[0], Node(np.multiply, above.parts[1], below)
    top, bottom = text_of(above), text_of(below)
    return Text(rf"\frac{{{top.latex}}}{{{bottom.latex}}}", ATOM, max(top.width, bottom.width))


def _power(node: Node) -> Text:
    base, power = map(text_of, node.parts)
    if base.binds < ATOM or getattr(node.parts[0], "what", None) is np.divide:
        base = _parenthesized(base)
    return Text(f"{base.latex}^{{{power.latex}}}", POWER, base.width + power.width)


def _comparison(node: Node) -> Text:
    joined = node.what in (np.bitwise_and, np.bitwise_or)
    left, right = (text_of(part) if joined and not _is_joined(part) else part_of(part, CONDITION)
                   for part in node.parts)
    return Text(f"{left.latex} {COMPARE[node.what]} {right.latex}", CONDITION,
                left.width + right.width + 4)


def _is_joined(node: Any) -> bool:
    return isinstance(node, Node) and node.what in (np.bitwise_and, np.bitwise_or)


def _call(node: Node) -> Text:
    inner = node.parts[0]
    if node.what is np.minimum and isinstance(inner, Node) and inner.what is np.maximum:
        return _held(inner.parts[0], inner.parts[1], node.parts[1])
    texts = [text_of(part) for part in node.parts]
    return Text(rf"{CALLS[node.what]}\left({', '.join(t.latex for t in texts)}\right)", ATOM,
                sum(t.width + 2 for t in texts) + 5)


def _held(node: Any, low: Any, high: Any) -> Text:
    """A value held between two limits."""
    value, least, most = text_of(node), text_of(low), text_of(high)
    return Text(rf"\left[{value.latex}\right]_{{{least.latex}}}^{{{most.latex}}}", ATOM,
                value.width + 2 + max(least.width, most.width))


def _around(node: Node) -> Text:
    before, after = AROUND[node.what]
    text = text_of(node.parts[0])
    return Text(before + text.latex + after, ATOM, text.width + 2)


def _not(node: Node) -> Text:
    text = part_of(node.parts[0], CONDITION)
    return Text(rf"\text{{not }}{text.latex}", CONDITION, text.width + 4)


def _known(node: Node) -> Text:
    text = text_of(node.parts[0])
    return Text(rf"{text.latex}\text{{ is known}}", CONDITION, text.width + 9)


def _date(node: Node) -> Text:
    """The first day of a month: ``DATE(YEAR(day), MONTH(day) + later, 1)``."""
    year, month, _ = node.parts
    later, day = part_of(month.parts[1], SUM), text_of(year.parts[0])
    return Text(rf"\mathrm{{first\ day\ of\ month}}\left({day.latex} + {later.latex}"
                r"\text{ months}\right)", ATOM, day.width + later.width + 30)


def _is(node: Any, number: float) -> bool:
    return not isinstance(node, (Node, str)) and float(node) == number


WAYS: dict[Any, Callable[[Node], Text]] = {
    "cell": lambda node: _words(node.parts[0]),
    "letter": lambda node: Text(node.parts[0], ATOM, 1),
    np.add: _sum, np.subtract: _sum, np.multiply: _product, np.divide: _fraction,
    np.power: _power, np.invert: _not, "ISNUMBER": _known, "DATE": _date,
    **dict.fromkeys(COMPARE, _comparison), **dict.fromkeys(CALLS, _call),
    **dict.fromkeys(AROUND, _around),
}

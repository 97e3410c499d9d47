"""A traced equation as mathematics, in the part of LaTeX that GitHub shows."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any, NamedTuple

import numpy as np
from haymow.dialect import Equation, Node, parameters
from haymow.units import edge_name

__all__ = ["formula", "names_in"]

WIDTH = 72  # characters of a line that still fits beside a page's margin
CONDITION, SUM, PRODUCT, POWER, ATOM = range(5)
SPELLED = {
    "adf": "ADF", "adicp": "ADICP", "ca": "Ca", "cp": "CP", "ddm": "DDM", "de": "DE", "dm": "DM",
    "iu": "IU", "ivtd": "IVTD", "kno3": "KNO3", "me": "ME", "meq": "meq", "mp": "MP", "ndf": "NDF",
    "ndfd": "NDFD", "ndfd48": "NDFD48", "ndicp": "NDICP", "neg": "NEg", "nem": "NEm", "nfc": "NFC",
    "no3n": "NO3-N", "nsc": "NSC", "p": "P", "rdp": "RDP", "rfq": "RFQ", "rfv": "RFV",
    "rup": "RUP", "tdn": "TDN",
}
COMPARE = {
    np.less: "<", np.greater: ">", np.less_equal: r"\le", np.greater_equal: r"\ge",
    np.equal: "=", np.not_equal: r"\ne", np.bitwise_and: r"\text{ and }",
    np.bitwise_or: r"\text{ or }",
}
FUNCTIONS = {np.exp: r"\exp", np.log: r"\ln", np.minimum: r"\min", np.maximum: r"\max",
             np.remainder: r"\mathrm{remainder}", "MONTH": r"\mathrm{month}",
             "YEAR": r"\mathrm{year}"}
AROUND = {np.sqrt: (r"\sqrt{", "}"), np.absolute: (r"\left|", r"\right|"),
          np.floor: (r"\left\lfloor ", r" \right\rfloor")}


class Text(NamedTuple):
    """LaTeX, how tightly it binds, and about how many characters wide it is."""

    latex: str
    binds: int
    width: int


def formula(equation: Equation) -> str:
    """The equation as ``result = ...``, broken over lines where it is long."""
    names = names_in(equation)
    node = equation.function(**{name: Node("cell", names[name])
                                for name in parameters(equation.function)})
    given = rf"\text{{{names[equation.name]}}} = "
    room = WIDTH - len(names[equation.name]) - 3
    return given + _fitted(node, max(room, 40))


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


def _fitted(node: Any, room: int) -> str:
    """The text of ``node``; a sum or product too long for a line goes over several."""
    text = _text(node)
    if text.width <= room or text.binds not in (SUM, PRODUCT):
        return text.latex
    parts = _terms(node) if text.binds == SUM else _factors(node)
    lines, length = [""], 0
    for number, (sign, part) in enumerate(parts):
        piece = _part(part, text.binds)
        if number and length + piece.width > room:
            lines.append(r"\quad ")
            length = 2
        lines[-1] += (sign if number or sign.strip() == "-" else "") + piece.latex
        length += piece.width + 3
    if len(lines) == 1:
        return lines[0]
    return r"\begin{aligned}[t] & " + " \\\\\n& ".join(lines) + r" \end{aligned}"


def _part(node: Any, around: int) -> Text:
    """A term or factor, in parentheses where it binds less than what it stands in."""
    text = _text(node)
    return text if text.binds > around else _parenthesized(text)


def _text(node: Any) -> Text:
    if isinstance(node, str):
        return _plain("not known" if node == '""' else node)
    if not isinstance(node, Node):
        return _number(float(node))
    for kind, way in WAYS:
        if kind == node.what or (isinstance(kind, tuple) and node.what in kind):
            return way(node)
    raise TypeError(f"no mathematics for {node.what}")


def _plain(words: str) -> Text:
    return Text(rf"\text{{{words}}}", ATOM, len(words))


def _number(value: float) -> Text:
    digits, _, power = f"{value:.12g}".partition("e")
    latex = rf"{digits} \cdot 10^{{{int(power)}}}" if power else digits
    binds = PRODUCT if power else ATOM
    return Text(latex, SUM if value < 0 else binds, len(digits) + 3 * bool(power))


def _parenthesized(text: Text) -> Text:
    return Text(rf"\left({text.latex}\right)", ATOM, text.width + 2)


def _terms(node: Any) -> list[tuple[str, Any]]:
    """What is added up, each with its sign."""
    if isinstance(node, Node) and node.what in (np.add, np.subtract):
        right = _terms(node.parts[1])
        if node.what is np.subtract:
            right = [(" - ", node.parts[1])]
        return _terms(node.parts[0]) + right
    if isinstance(node, Node) and node.what is np.multiply and _is(node.parts[0], -1.0):
        return [(" - ", node.parts[1])]
    if not isinstance(node, (Node, str)) and float(node) < 0:
        return [(" - ", -float(node))]
    return [(" + ", node)]


def _sum(node: Node) -> Text:
    latex, width = "", 0
    for number, (sign, part) in enumerate(_terms(node)):
        text = _part(part, SUM)
        latex += (sign if number else sign.strip(" +")) + text.latex
        width += text.width + 3
    return Text(latex, SUM, width - 3)


def _factors(node: Any) -> list[tuple[str, Any]]:
    """What is multiplied."""
    if isinstance(node, Node) and node.what is np.multiply and not _is(node.parts[0], -1.0):
        if _is(node.parts[1], 1.0):
            return _factors(node.parts[0])
        return _factors(node.parts[0]) + _factors(node.parts[1])
    return [(r" \cdot ", node)]


def _product(node: Node) -> Text:
    if _is(node.parts[0], -1.0):
        text = _part(node.parts[1], SUM)
        return Text("-" + text.latex, SUM, text.width + 1)
    factors = _factors(node)
    if len(factors) == 1:
        return _text(factors[0][1])
    texts = [_part(factor, SUM) for _, factor in factors]
    return Text(r" \cdot ".join(t.latex for t in texts), PRODUCT,
                sum(t.width + 3 for t in texts) - 3)


def _fraction(node: Node) -> Text:
    top, bottom = map(_text, node.parts)
    return Text(rf"\frac{{{top.latex}}}{{{bottom.latex}}}", ATOM, max(top.width, bottom.width))


def _power(node: Node) -> Text:
    base, power = map(_text, node.parts)
    if base.binds < ATOM or isinstance(node.parts[0], Node) and node.parts[0].what is np.divide:
        base = _parenthesized(base)
    return Text(f"{base.latex}^{{{power.latex}}}", POWER, base.width + power.width)


def _comparison(node: Node) -> Text:
    sign = COMPARE[node.what]
    if node.what in (np.bitwise_and, np.bitwise_or):
        texts = [_parenthesized(t) if _joined(p) else t
                 for p, t in zip(node.parts, map(_text, node.parts), strict=True)]
    else:
        texts = [_part(part, CONDITION) for part in node.parts]
    return Text(f"{texts[0].latex} {sign} {texts[1].latex}", CONDITION,
                texts[0].width + texts[1].width + 4)


def _joined(node: Any) -> bool:
    return isinstance(node, Node) and node.what in (np.bitwise_and, np.bitwise_or)


def _call(node: Node) -> Text:
    if node.what is np.minimum and _of(node.parts[0], np.maximum):
        return _held(node)
    texts = [_text(part) for part in node.parts]
    return Text(rf"{FUNCTIONS[node.what]}\left({', '.join(t.latex for t in texts)}\right)", ATOM,
                sum(t.width + 2 for t in texts) + 5)


def _held(node: Node) -> Text:
    """A value held between two limits."""
    inner, high = node.parts
    value, low, top = _text(inner.parts[0]), _text(inner.parts[1]), _text(high)
    return Text(rf"\left[{value.latex}\right]_{{{low.latex}}}^{{{top.latex}}}", ATOM,
                value.width + 2 + max(low.width, top.width))


def _around(node: Node) -> Text:
    before, after = AROUND[node.what]
    text = _text(node.parts[0])
    return Text(before + text.latex + after, ATOM, text.width + 2)


def _not(node: Node) -> Text:
    text = _text(node.parts[0])
    return Text(rf"\text{{not }}\left({text.latex}\right)", CONDITION, text.width + 6)


def _known(node: Node) -> Text:
    text = _text(node.parts[0])
    return Text(rf"{text.latex} \text{{ is known}}", CONDITION, text.width + 9)


def _date(node: Node) -> Text:
    """The first day of a month: ``DATE(YEAR(day), MONTH(day) + later, 1)``."""
    year, month, _ = node.parts
    day, later = _text(year.parts[0]), _text(month.parts[1])
    return Text(rf"\text{{first day of the month }}{later.latex}\text{{ after that of }}"
                rf"{day.latex}", PRODUCT, day.width + later.width + 40)


def _cases(node: Node) -> Text:
    rows: list[tuple[Any, str]] = []
    rest: Any = node
    while _of(rest, "IF"):
        condition, value, rest = rest.parts
        rows.append((value, rf"\text{{if }}{_text(condition).latex}"))
    return _braced([*rows, (rest, r"\text{otherwise}")])


def _choice(node: Node) -> Text:
    number, *values = node.parts
    which = _text(number).latex
    return _braced([(value, rf"\text{{if }}{which} = {place}")
                    for place, value in enumerate(values, 1)])


def _braced(rows: Sequence[tuple[Any, str]]) -> Text:
    lines = [f"{_fitted(value, WIDTH - 20)} & {when}" for value, when in rows]
    body = " \\\\\n".join(lines)
    return Text(rf"\begin{{cases}} {body} \end{{cases}}", ATOM,
                max(_text(value).width for value, _ in rows) + 20)


def _is(node: Any, number: float) -> bool:
    return not isinstance(node, (Node, str)) and float(node) == number


def _of(node: Any, what: Any) -> bool:
    return isinstance(node, Node) and (node.what is what or
                                       isinstance(what, str) and node.what == what)


def _keys(table: Iterable[Any]) -> tuple[Any, ...]:
    return tuple(table)


WAYS: tuple[tuple[Any, Callable[[Node], Text]], ...] = (
    ("cell", lambda node: _plain(node.parts[0])),
    ((np.add, np.subtract), _sum), (np.multiply, _product), (np.divide, _fraction),
    (np.power, _power), (_keys(COMPARE), _comparison), (_keys(FUNCTIONS), _call),
    (_keys(AROUND), _around), (np.invert, _not), ("ISNUMBER", _known), ("IF", _cases),
    ("CHOOSE", _choice), ("DATE", _date),
)

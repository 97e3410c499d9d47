"""A header's text taken apart: which analyte or field, in which unit, basis and method."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations

from .units import NAMES, PATTERN, convert
from .words import FIELDS, analytes, clean, plain, suggestion, synonyms

__all__ = ["AS_FED", "DM", "DM90", "Heading", "basis_of_text", "read_heading"]

DM, AS_FED, DM90 = "DM", "as fed", "90% DM"
_BASES = {
    DM90: r"90 ?% ?(?:dm|dry matter|dry)(?: basis)?|air[- ]dr(?:y|ied)(?: basis)?",
    DM: r"100 ?% ?(?:dm|dry matter|dry)(?: basis)?|dry[- ]matter(?:[- ]basis)?"
        r"|dry(?: weight)?[- ]basis|dm[- ]basis|dmb|moisture[- ]free(?: basis)?|dm|dry weight|dw|mf"
        r"|on dry",
    AS_FED: r"as[- ]?(?:fed|received|rec'?d|sampled|is|submitted)(?:[- ]basis)?|a[fr]"
            r"|(?:wet|fresh)(?: weight)?[- ]basis|fresh weight",
}
_WEAK = {"wet": AS_FED, "fresh": AS_FED, "dry": DM, "as": AS_FED, "ad": DM90, "d.m.": DM}
_METHOD = (r"nirs?|wet[- ]chem(?:istry)?|wc|icp(?:[- ]?(?:oes|ms|aes))?|calc(?:ulated)?|dumas"
           r"|kjeldahl|combustion|[13] ?x|est(?:imated)?|nrc(?: ?\d{4})?"
           r"|\(? ?n ?[x*\u00d7] ?6\.25 ?\)?")
_MATTERS_NOT = {"a", "amylase", "and", "basis", "by", "of", "sulfite", "test", "the", "total",
                "with"}
_PHRASE = re.compile(
    "|".join([f"(?P<b{n}>(?<![a-z0-9])(?:{p})(?![a-z0-9]))" for n, p in enumerate(_BASES.values())]
             + [PATTERN, f"(?P<m>(?<![a-z0-9])(?:{_METHOD})(?![a-z0-9]))"]))


@dataclass(frozen=True)
class Heading:
    """What a text says where a header stands.

    ``kind``: analyte, ask (a name that does not tell what was measured), field, basis, unit,
    method, suggested, unknown, or empty. ``alone`` is the (basis, unit) of a text that holds
    nothing else, such as "Dry Matter" above a column of results.
    """

    text: str
    kind: str = ""
    key: str = ""
    unit: str = ""
    basis: str = ""
    method: str = ""
    sure: str = ""
    alone: tuple[str, str] | None = None
    own_basis: bool = False

    def filled(self, other: Heading) -> Heading:
        """Itself with what it lacks taken from another one (a unit row, a band above)."""
        basis, unit = other.alone or (other.basis, other.unit)
        method = self.method or (other.method if other.kind != "analyte" else "")
        return replace(self, unit=self.unit or unit, basis=self.basis or basis, method=method)


@dataclass(frozen=True)
class _Phrase:
    kind: str  # basis, unit, method
    says: str
    start: int
    end: int


@cache
def read_heading(text: str) -> Heading:
    """Take a header apart.

    >>> found = read_heading("Crude Protein (CP), % DM")
    >>> found.key, found.unit, found.basis
    ('cp', '%', 'DM')
    """
    words = re.sub(r"\b(?:pct|percent|per cent)\b", "%", clean(text)).strip('" :*')
    if not plain(words) and "%" not in words:
        return Heading(text)
    phrases = _phrases(words)
    found = _as_analyte(text, words, phrases)
    field = FIELDS.get(plain(words))
    alone = _alone(words, phrases)
    if found and found.key == "dm" and alone and alone[1] not in ("", "%") and words[0] not in "d(":
        found = None  # "g/kg DM" is a unit, "DM g/kg" is not
    if found and not (field and plain(found.text) != plain(words)):
        return replace(found, text=text, alone=alone)
    if field:
        return Heading(text, "field", field, sure="exact")
    beside = plain(_without(words, phrases))
    if FIELDS.get(beside) == "value":  # "Result, % DM" heads a column of results
        unit, basis = _said(phrases)
        return Heading(text, "field", "value", unit, basis, sure="exact", own_basis=bool(basis))
    if alone:
        return Heading(text, "basis" if alone[0] else "unit", unit=alone[1], basis=alone[0],
                       sure="exact", alone=alone)
    if re.fullmatch(_METHOD, words):
        return Heading(text, "method", method=words)
    guess = _word_known(text) or suggestion(_without(words, phrases))
    sure = "suggested" if guess else "unknown"
    unit, basis = _said(phrases)
    return Heading(text, sure, guess, unit, basis, sure=sure)


def _word_known(text: str) -> str:
    """The one analyte whose name is a word of a longer header ("NDF_K", "ME wet mean")."""
    words = [word for word in re.split("[^A-Za-z0-9]+", text) if len(word) > 2 or word.isupper()]
    keys = {synonyms()[plain(w)][0] for w in words if len(w) > 1 and plain(w) in synonyms()}
    keys -= {"dm"}  # more often a basis
    return next(iter(keys)) if len(keys) == 1 else ""


def basis_of_text(text: str) -> str:
    """The basis that ``text`` is, and nothing besides; empty if it is none."""
    alone = read_heading(text).alone
    return alone[0] if alone else ""


def _said(phrases: list[_Phrase]) -> tuple[str, str]:
    """(unit, basis) that the phrases say first."""
    unit, basis = (next((p.says for p in phrases if p.kind == kind), "")
                   for kind in ("unit", "basis"))
    return unit, basis


def _phrases(words: str) -> list[_Phrase]:
    found = []
    for match in _PHRASE.finditer(words):
        group = match.lastgroup or ""
        kind = {"b": "basis", "u": "unit", "m": "method"}[group[0]]
        says = match.group().strip("() ")
        if kind != "method":
            says = (tuple(_BASES) if kind == "basis" else NAMES)[int(group[1:])]
        found.append(_Phrase(kind, says, match.start(), match.end()))
    return found[:6]


def _as_analyte(text: str, words: str, phrases: list[_Phrase]) -> Heading | None:
    """The reading with the longest known name when units, basis and method are taken away.

    Only if no whole text is known, brackets and what follows a comma are left aside.
    """
    splits = [list(away) for n in range(len(phrases) + 1) for away in combinations(phrases, n)]
    tries = [(_whole, away) for away in splits] + [(_outer, away) for away in reversed(splits)]
    for name_of, away in tries:
        name = name_of(_without(words, away))
        if name and (found := _heading(name, text, [p for p in phrases if p not in away], away)):
            return found
    return None


def _heading(name: tuple[str, str, str], text: str, keep: list[_Phrase],
             away: list[_Phrase]) -> Heading | None:
    key, method, spelled = name
    said = {p.kind: p.says for p in away}
    unit = said.get("unit", "%" if any(p.kind == "unit" for p in keep) else "")
    analyte = analytes()[key]
    if unit and convert(1.0, unit, analyte.unit) is None and not (
            unit.startswith("% of") or unit == "%"):
        return Heading(spelled, "analyte", key, unit, sure="unknown")  # an impossible unit: asked
    if unit.startswith("% of ") and unit not in (analyte.unit, f"% of {analyte.part_of.upper()}"):
        return None
    exact = plain(spelled) in (key, plain(analyte.label))
    return Heading(spelled, "ask" if analyte.ask else "analyte", key, unit, said.get("basis", ""),
                   said.get("method", method), "exact" if exact else "synonym",
                   own_basis="basis" in said)


def _without(words: str, away: list[_Phrase]) -> str:
    for phrase in sorted(away, key=lambda p: -p.start):
        words = words[:phrase.start] + " " + words[phrase.end:]
    return words


def _whole(words: str) -> tuple[str, str, str] | None:
    known = synonyms().get(plain(words))
    return (*known, words) if known else None


def _outer(words: str) -> tuple[str, str, str] | None:
    """A name beside which brackets or a comma repeat it or say nothing that matters."""
    known = synonyms()
    outer = re.sub(r"[(\[].*?[)\]]", " ", words)
    for spelled in (outer, outer.split(",")[0]):
        key, method = known.get(plain(spelled), ("", ""))
        beside = [*re.findall(r"[(\[](.*?)[)\]]", words), outer.removeprefix(spelled)]
        if key and all(known.get(plain(t), ("",))[0] == key or _matters_not(t) for t in beside):
            return key, method, spelled
    return None


def _matters_not(text: str) -> bool:
    return set(re.findall(r"[a-z0-9]+", text)) <= _MATTERS_NOT


def _alone(words: str, phrases: list[_Phrase]) -> tuple[str, str] | None:
    words = words.strip("()[], ")
    if words in _WEAK:
        return _WEAK[words], ""
    said = {p.kind: p.says for p in phrases if p.kind != "method"}
    if said and not plain(_without(words, [p for p in _phrases(words) if p.kind != "method"])):
        return said.get("basis", ""), said.get("unit", "")
    return None

"""Defaults of an area from one TOML file: curves, prices, contacts, cautions, settings."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from ..lab import analytes
from ..problems import InputError
from ..ranch import Cell, Ranch, sizes_for
from ..tables import Book, Entry, Setting
from ..tables.local import LOCAL_ROWS, LONGEST
from ..tables.make import make
from ..tables.season import BUILT_IN, CURVED, OWN_CURVES
from ..tables.small import ANALYTES, MONTHS
from ..units import KG_PER_LB
from .doubts import nearest
from .places import entry_names, label_and_unit
from .sheets import limits

__all__ = ["with_defaults"]

MOST_BYTES = 200_000
PARTS = ("area", "source", "settings", "curve", "product", "contact", "caution")
PRODUCT = {"name": "product", "for": "purpose", "basis": "basis", "price": "price",
           "freight": "freight", "priced_on": "priced_on", "loss_pct": "loss_pct",
           "most_pct_bw": "most_pct_bw", "why_limited": "cap_words", "grass_given_up": "given_up",
           "label_intake": "label_intake", "npn_pct_of_cp": "npn_pct_of_cp",
           "table_feed": "stand_in"}
TAGGED = tuple(a for a in ANALYTES if a != "no3n")
Row = dict[str, Cell]
Said = Mapping[str, Any]


def with_defaults(ranch: Ranch, path: Path) -> Ranch:
    """The ranch with the defaults of an area; each also stands on Local defaults, with its source.

    Raises InputError, with line and key, for what the file should not say.
    """
    file = _File(path.name, _text(path))
    return _Defaults(file, ranch).ranch()


def _text(path: Path) -> str:
    if not path.is_file():
        raise InputError(f"There is no file {path}; check its name and folder.")
    if path.stat().st_size > MOST_BYTES:
        raise InputError(f"{path.name} has {path.stat().st_size / 1000:,.0f} kB; a file of defaults"
                         f" of up to {MOST_BYTES / 1000:.0f} kB was expected.")
    try:
        return path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        raise InputError(f"{path.name} is not UTF-8 text; save it as UTF-8.") from error


class _File:
    """A parsed file that knows in which line a key stands."""

    def __init__(self, name: str, text: str) -> None:
        self.name, self.lines = name, text.split("\n")
        try:
            self.said: Said = tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            raise InputError(f"{name} is not TOML that can be read: {error}.") from error

    def wrong(self, part: str, number: int, key: str, what: str) -> InputError:
        """One sentence with file, line and key."""
        name = f"{part} {number + 1}" if part and number >= 0 else part
        of = ", ".join(each for each in (name, key) if each)
        return InputError(f"{self.name}, line {self._line(part, number, key)}, {of}: {what}")

    def _line(self, part: str, number: int, key: str) -> int:
        """The line of a key in the part's table of that number; of its heading without one."""
        start = 0
        if part:
            marks = [n for n, line in enumerate(self.lines)
                     if re.match(rf"\s*\[+\s*{re.escape(part)}\s*\]+", line)]
            start = marks[min(max(number, 0), len(marks) - 1)] if marks else 0
        for n in range(start, len(self.lines)):
            if n > start and self.lines[n].lstrip().startswith("[") and part:
                break
            if key and re.match(rf"""\s*["']?{re.escape(key)}["']?\s*[=.]""", self.lines[n]):
                return n + 1
        return start + 1


@dataclass
class _Defaults:
    """One file being taken over into a ranch."""

    file: _File
    start: Ranch
    entries: dict[str, dict[int, Row]] = field(default_factory=dict)
    settings: dict[str, Cell] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.book: Book = make(self.start)
        self.source = ""

    def ranch(self) -> Ranch:
        """Take over part after part."""
        said = self.file.said
        for key in said:
            self._known("", -1, key, PARTS)
        self.source = self._words("", -1, said, "source")
        area = self._words("", -1, said, "area", LONGEST // 2)
        self.source = f"{self.source} ({area})"
        self._settings()
        for number, each in self._each("curve"):
            self._curve(number, each)
        for number, each in self._each("product"):
            self._product(number, each)
        for number, each in self._each("contact"):
            self._contact(number, each)
        for number, each in self._each("caution"):
            self._keys("caution", number, each, ("text", "source"))
            self._told("caution", each, "caution", number,
                       local_words=self._words("caution", number, each, "text"))
        entries = {**self.start.entries, **self.entries}
        sizes = sizes_for(entries)["product"]
        return replace(self.start, entries=entries,
                       settings={**self.start.settings, **self.settings},
                       sizes={**self.start.sizes,
                              "product": max(sizes, self.start.sizes.get("product", 0))})

    # --- reading
    def _each(self, part: str) -> list[tuple[int, Said]]:
        found = self.file.said.get(part, [])
        if not isinstance(found, list) or not all(isinstance(each, dict) for each in found):
            raise self.file.wrong(part, -1, "", f"expected tables headed [[{part}]].")
        return list(enumerate(found))

    def _known(self, part: str, number: int, key: str, names: tuple[str, ...]) -> None:
        if key not in names:
            near = nearest(key, list(names))
            raise self.file.wrong(part, number, key, "is not a key of this file"
                                  + (f"; did you mean {near}?" if near else
                                     f"; expected one of {', '.join(names)}."))

    def _keys(self, part: str, number: int, said: Said, names: tuple[str, ...]) -> None:
        for key in said:
            self._known(part, number, key, names)

    def _words(self, part: str, number: int, said: Said, key: str, longest: int = LONGEST) -> str:
        value = said.get(key)
        if not isinstance(value, str) or not value.strip():
            raise self.file.wrong(part, number, key, "is missing; expected words in quotation"
                                  " marks." if value is None else f"is {value!r}; expected words in"
                                  " quotation marks.")
        if len(value) > longest:
            raise self.file.wrong(part, number, key, f"has {len(value)} characters; expected at"
                                  f" most {longest}.")
        return " ".join(value.split())

    def _number(self, part: str, number: int, key: str, value: Any,
                span: tuple[float, float, str]) -> float:
        low, high, unit = span
        if isinstance(value, bool) or not isinstance(value, int | float) \
                or not low <= value <= high:
            raise self.file.wrong(part, number, key, f"is {value!r}; expected a number from"
                                  f" {low:g} to {high:g} {unit}".rstrip() + ".")
        return float(value)

    def _told(self, kind: str, said: Said, part: str, number: int, **cells: Cell) -> str:
        """A row on Local defaults; its source, marked as local."""
        rows = self.entries.setdefault("Local", {})
        if len(rows) == LOCAL_ROWS:
            raise self.file.wrong(part, number, "", f"is one too many; a workbook takes"
                                  f" {LOCAL_ROWS} defaults.")
        source = self._words(part, number, said, "source") if "source" in said else self.source
        rows[len(rows) + 1] = {"local_kind": kind, "local_source": source,
                               **{name: cell for name, cell in cells.items() if cell is not None}}
        return f"local: {source}"[:LONGEST]

    # --- the parts
    def _settings(self) -> None:
        said = self.file.said.get("settings", {})
        if not isinstance(said, dict):
            raise self.file.wrong("settings", -1, "", "expected a table headed [settings].")
        lines = {line.name: line for line in self.book.settings.values()
                 if line.typed and line.what == "number"}
        for key, value in said.items():
            self._known("settings", -1, key, tuple(lines))
            each = value if isinstance(value, dict) else {"value": value}
            self._keys("settings", -1, each, ("value", "unit", "source"))
            factor = self._factor(key, each, lines[key])
            line = lines[key]
            number = self._number("settings", -1, key, each.get("value"),
                                  (line.low / factor, line.high / factor,
                                   each.get("unit", line.unit))) * factor
            self.settings[key] = number
            self._told("setting", each, "settings", -1, local_item=line.label, local_value=number,
                       local_unit=line.unit)

    def _factor(self, key: str, said: Said, line: Setting) -> float:
        """From the unit of the file to that of the workbook; it must be said where two are in use.
        """
        units = [make(replace(self.start, us=us)).settings[key].unit for us in (True, False)]
        if units[0] == units[1]:
            if "unit" in said and said["unit"] != line.unit:
                raise self.file.wrong("settings", -1, key, f"is in '{said['unit']}'; expected"
                                      f" {line.unit}.")
            return 1.0
        if said.get("unit") not in units:
            raise self.file.wrong("settings", -1, key, f"needs its unit; expected {{ value = ...,"
                                  f' unit = "{units[0]}" }} or "{units[1]}".')
        power = -1 if "/lb" in units[0] else 1
        metric = KG_PER_LB**power if said["unit"] == units[0] else 1.0
        return metric / KG_PER_LB**power if self.start.us else metric

    def _curve(self, number: int, said: Said) -> None:
        self._keys("curve", number, said, ("name", "source", *CURVED))
        if number == OWN_CURVES:
            raise self.file.wrong("curve", number, "", f"is one too many; a workbook takes"
                                  f" {OWN_CURVES} curves of an area.")
        name = self._words("curve", number, said, "name", 60)
        if name.casefold() in {each.casefold() for each in BUILT_IN}:
            raise self.file.wrong("curve", number, "name", f"is '{name}', which is a table curve;"
                                  " give it another name.")
        row: Row = {"curve": name,
                    "curve_source": self._told("curve", said, "curve", number, local_item=name)}
        for nutrient in CURVED:
            if nutrient in said:
                row |= self._months(number, nutrient, said[nutrient])
        if len(row) == 2:
            raise self.file.wrong("curve", number, "", "holds no cp, tdn or p; expected 12 numbers"
                                  " of one of them, January to December.")
        self.entries.setdefault("Curves", {})[len(BUILT_IN) + 1 + number] = row

    def _months(self, number: int, nutrient: str, values: Any) -> Row:
        if not isinstance(values, list) or len(values) != len(MONTHS):
            raise self.file.wrong("curve", number, nutrient, "expected 12 numbers in % of dry"
                                  " matter, January to December, in brackets.")
        of = analytes()[nutrient]
        return {f"curve_{nutrient}.{month}": self._number(
            "curve", number, nutrient, value, (of.low, of.high, f"% of DM in {month}"))
            for month, value in zip(MONTHS, values, strict=True)}

    def _product(self, number: int, said: Said) -> None:
        self._keys("product", number, said, (*PRODUCT, "per", "source", *TAGGED))
        name = self._words("product", number, said, "name", 60)
        us = self._us(number, said)
        row: Row = {}
        columns = self.book.tables["Supplements"].at
        for key, column in PRODUCT.items():
            if key in said:
                entry = columns[column]
                assert isinstance(entry, Entry)
                row[column] = self._cell(number, key, said[key], entry, us)
        row |= self._tag(number, said)
        self._named(number, name, said)
        row["price_source"] = self._told(
            "price", said, "product", number, local_item=name, local_value=row.get("price"),
            local_unit="$/ton" if self.start.us else "$/tonne", local_on=row.get("priced_on"))
        self.entries.setdefault("Supplements", {})[number + 2] = row

    def _named(self, number: int, name: str, said: Said) -> None:
        others = [str(row["product"]).casefold()
                  for row in self.entries.get("Supplements", {}).values()]
        if name.casefold() in [*others, "none"]:
            raise self.file.wrong("product", number, "name", f"is '{name}', which stands there"
                                  " already; give it another name.")
        if "price" in said and not isinstance(said.get("priced_on"), dt.date):
            raise self.file.wrong("product", number, "priced_on", "is missing; a price needs its"
                                  " day, such as 2026-09-01.")

    def _us(self, number: int, said: Said) -> bool:
        """Whether the product's numbers are in pounds and tons."""
        measured = {"price", "freight", "label_intake"} & set(said)
        if measured and said.get("per") not in ("ton", "tonne"):
            raise self.file.wrong("product", number, "per", 'is missing; expected per = "ton" (lb'
                                  ' and tons of 2,000 lb) or "tonne" (kg and tonnes).')
        return bool(said.get("per", "ton") == "ton")

    def _cell(self, number: int, key: str, value: Any, column: Entry, us: bool) -> Cell:
        if column.what == "date":
            if not isinstance(value, dt.date) or isinstance(value, dt.datetime):
                raise self.file.wrong("product", number, key, f"is {value!r}; expected a day"
                                      " without quotation marks, such as 2026-09-01.")
            return value
        if column.what == "choice":
            return self._choice(number, key, value, column)
        if column.what == "text":
            return self._words("product", number, {key: value}, key, 60)
        given = self._number("product", number, key, value, limits(us, column))
        here, there = (limits(which, column)[1] for which in (self.start.us, us))
        return float(f"{given * here / there:.10g}")  # the limits differ as the units do

    def _choice(self, number: int, key: str, value: Any, column: Entry) -> str:
        table, _, name = column.choices.partition(".")
        words = [str(word) for word in self.book.tables[table].at[name].data]  # type: ignore[attr-defined]
        if value not in words:
            near = nearest(str(value), words)
            told = f"did you mean '{near}'?" if near \
                else f"expected one of {', '.join(words[:12])}."
            raise self.file.wrong("product", number, key, f"is {value!r}, which is not in the"
                                  f" list; {told}")
        return str(value)

    def _tag(self, number: int, said: Said) -> Row:
        """What the tag says; energy and vitamins by weight stand in two units and are left to it.
        """
        found: Row = {}
        columns = [book.tables["Supplements"].at["reported"]
                   for book in (self.book, make(replace(self.start, us=not self.start.us)))]
        other = make(replace(self.start, us=not self.start.us))
        for member, name in entry_names(self.book, columns[0]):
            key = name.partition(".")[2]
            if key not in said:
                continue
            unit = label_and_unit(self.book, columns[0], member)[1]
            if unit != label_and_unit(other, columns[1], member)[1]:
                raise self.file.wrong("product", number, key, f"is in {unit} or in another unit;"
                                      " type it on Supplements.")
            low, high = _span(key)
            found[name] = self._number("product", number, key, said[key], (low, high, unit))
        if found and "basis" not in said:
            raise self.file.wrong("product", number, "basis", 'is missing; expected "as fed" or'
                                  ' "dry matter".')
        return found

    def _contact(self, number: int, said: Said) -> None:
        self._keys("contact", number, said, ("who", "name", "phone", "web", "note", "source"))
        words = [self._words("contact", number, said, "name")]
        words += [self._words("contact", number, said, key) for key in ("phone", "web", "note")
                  if key in said]
        told = ", ".join(words)
        if len(told) > LONGEST:
            raise self.file.wrong("contact", number, "note", "makes it too long; expected at most"
                                  f" {LONGEST} characters in all.")
        self._told("contact", said, "contact", number, local_words=told,
                   local_item=self._words("contact", number, said, "who", 60))


def _span(key: str) -> tuple[float, float]:
    """What a tag may say of an analyte: minerals and urea go far beyond any forage."""
    known = analytes().get(key)
    if known is not None and known.unit == "%":
        return 0.0, 300.0 if key == "cp" else 100.0
    return 0.0, 1_000_000.0

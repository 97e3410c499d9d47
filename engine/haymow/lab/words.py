"""The words of lab reports: analytes with their synonyms, and the names of the other fields."""

from __future__ import annotations

import csv
import re
import unicodedata
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

__all__ = ["FIELDS", "Analyte", "analytes", "clean", "plain", "suggestion", "synonyms"]


@dataclass(frozen=True)
class Analyte:
    """One line of analytes.csv: what can be measured, its usual unit and its hard limits.

    ``scales`` is ``dm`` (differs by basis), ``as fed`` (dry matter, moisture) or ``none``.
    ``part_of`` names what a bare % may refer to instead of the dry matter. ``low`` and ``high``
    are the hard limits, ``usual_low`` and ``usual_high`` the range that tells units apart. ``ask``
    says why the name alone does not tell what was measured.
    """

    key: str
    label: str
    unit: str
    scales: str
    part_of: str
    low: float
    high: float
    usual_low: float
    usual_high: float
    zero_ok: bool
    ask: str


_FIELD_WORDS = {
    "sample_id": "Sample ID|Sample|ID|Sample No|Sample Number|Reference|Sample Code|Samples|"
                 "Client Sample ID|Your ID",
    "lab_no": "Lab No|Lab Number|Laboratory No|Lab ID|Log No|Accession|Accession No|Lab Ref|"
              "Lab Sample ID|Laboratory Number|Lab Sample No",
    "description": "Description|Desc|Desc 1|Desc 2|Feed name|Client sample|Sample name|Field|"
                   "Sample description|Name|Lot|Crop name|Feed item|Species",
    "feed_type": "Feed type|Product type|Forage type|Material|Kind|Feed code|Product|Feed|"
                 "Sample type|Type",
    "sampled_on": "Sampled|Date sampled|Sampled on|Sample date|Sampling date|Collected|"
                  "Date collected",
    "received_on": "Received|Rec'd|Date received|Received on|Date rec'd|Arrival date",
    "reported_on": "Reported|Completed|Printed|Processed|Date reported|Report date|Reported on|"
                   "Date completed|Date printed|Date processed|Issued",
    "lab": "Lab|Laboratory|Lab name|Tested by|Analyzed by",
    "method": "Method|Package|Test method|Statement ID|Procedure|Method code|Analysis method",
    "unit": "Unit|Units|Unit of measure|UOM",
    "basis": "Basis|Reporting basis|Result basis",
    "analyte": "Analyte|Component|Test|Parameter|Constituent|Nutrient|Determination|Analysis|"
               "Components|Tests|Test name|Item|Measurement|Nutrients",
    "value": "Value|Result|Results|Amount|Reading|Test result|Reported value|Final result",
    "qualifier": "Qualifier|Flag|Q|Flags|Result qualifier|Sign",
    "limit": "Reporting limit|RL|MDL|Detection limit|LOD|LOQ|Limit|Method detection limit|"
             "Quantitation limit|Minimum reporting limit|MRL",
    "date": "Date",
    "skip": "Client|Customer|Account|Farm|Address|Phone|County|State|Page|Email|Submitted by|"
            "Comment|Comments|Note|Notes|Remarks|Country|Invoice|Price|Copy to|Report No|Account "
    "No",
    "reference": "Mean|Average|Avg|SD|Std dev|Min|Max|Minimum|Maximum|Count|Median|Typical|Normal|"
                 "Normal range|Typical range|Target|Goal|Adequate|Low|High|Range|Previous|Guide|"
                 "Table value|Reference range|Expected|Total|CV|Average of kind|Usual range",
}


def clean(text: str) -> str:
    """Text for matching: one form of each character, lower case, single blanks."""
    text = unicodedata.normalize("NFKC", text).replace("_", " ").casefold()
    text = text.replace("\u03bc", "u").replace("\u2212", "-").replace("#", " no ")
    return " ".join(text.split())


def plain(text: str) -> str:
    """Letters and digits only; hours of digestion lose their unit.

    >>> plain("NDFD 48 hr.")
    'ndfd48'
    """
    text = re.sub(r"(\d+)\s*-?\s*(?:hours?|hrs?|h)\b", r"\1", clean(text))
    return re.sub(r"[^a-z0-9]", "", text)


FIELDS: dict[str, str] = {
    plain(word): field for field, words in _FIELD_WORDS.items() for word in words.split("|")
}


@cache
def analytes() -> dict[str, Analyte]:
    """Every analyte of analytes.csv by its key."""
    return {row["key"]: _analyte(row) for row in _rows()}


@cache
def synonyms() -> dict[str, tuple[str, str]]:
    """Plain spelling -> (key, method); a method stands in the table after ``=``."""
    found: dict[str, tuple[str, str]] = {}
    for row in _rows():
        for word in row["synonyms"].split("|"):
            name, _, method = word.partition("=")
            found.setdefault(plain(name), (row["key"], method))
    return found


@cache
def suggestion(text: str) -> str:
    """The analyte whose name is nearest to ``text``, or nothing. Never used without being asked."""
    from rapidfuzz import fuzz, process

    name = plain(text)
    if len(name) < 4:  # one letter off in a short name is another element
        return ""
    choices = [word for word in synonyms() if len(word) > 3]
    best = process.extractOne(name, choices, scorer=fuzz.ratio, score_cutoff=78)
    return synonyms()[best[0]][0] if best else ""


@cache
def _rows() -> tuple[dict[str, str], ...]:
    text = files("haymow").joinpath("data/analytes.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


def _analyte(row: dict[str, str]) -> Analyte:
    low, high, usual_low, usual_high = (
        float(row[name] or "nan") for name in ("low", "high", "usual_low", "usual_high"))
    return Analyte(row["key"], row["label"], row["unit"], row["scales"], row["part_of"],
                   low, high, usual_low, usual_high, row["zero_ok"] == "yes", row["ask"])

"""What a report says, in plain words, sample by sample; two reports of one lot side by side."""

from __future__ import annotations

from typing import Any

from .book import Table
from .kinds import Calc, Column, Entry, Link, Names, Pull, Roll, Say
from .shorthand import calcs, keys, pulls

__all__ = ["LINES", "MEMBERS", "cards", "kept_entry", "lab_words", "sample_labs", "two_reports"]

MEMBERS = {"pair": (1, 2, 3)}
LINES = tuple(f"card_{n}" for n in range(1, 9))
BLOCK: dict[str, Any] = {"over": "nutrient", "measure": "content"}
COMPARED = ("cp", "tdn", "ca", "p")
CP_WORDS = (
    "short for any cow: the rumen itself needs 7", "enough for a dry cow, short in the last two"
    " months before calving", "enough for a dry cow, short with milk",
    "enough for a cow with 20 lb (9 kg) of milk")
TDN_WORDS = (
    "low for any cow", "enough for a dry cow in the middle of gestation",
    "enough for a dry cow up to calving", "enough for a cow with 20 lb (9 kg) of milk")


# --- columns of Samples and Forages
def kept_entry() -> Entry:
    """Why a value that looks wrong is kept."""
    return Entry(name="kept_because", what="text", label="Kept because", front=True,
                 hint="Why a value that looks wrong is right all the same; it is printed.")


def sample_labs() -> list[Column]:
    """Which laboratory, and whether the lot has been with another one as well."""
    return [
        Link(name="lab_row", to="Samples", by_name="lab", key="lab",
             label="First sample of that laboratory"),
        Pull(name="lab_mean", via="forage_row", of="lab_mean",
             label="Laboratories of the lot, mean"),
        Calc(name="lab_other"),
    ]


def lab_words() -> list[Column]:
    """Columns of Forages: a warning where two laboratories have tested one lot."""
    return [
        Say(name="lab_words", by="labs_no", label="Laboratories", front=True, unknown="",
            sentences=("", "more than one: they differ by up to 2 points of CP, 4 of NDF; stay"
                           " with one")),
        Roll(name="lab_mean", table="Samples", of="lab_row", how="mean", linked_by="forage_row",
             label="Laboratories, mean"),
        Roll(name="labs_other", table="Samples", of="lab_other", linked_by="forage_row",
             label="Samples off that mean"),
        Calc(name="labs_no"),
    ]


# --- the card
def cards() -> Table:
    """One row a sample, at most eight lines of plain words."""
    return Table("Cards", ("sample",), (
        *keys("sample"),
        _line(1, "what_no", "What it is", (
            "{sample_id}: {forage}, {how}, {sample_spots:0} {piece}, {sampled_on:day}",
            "{sample_id}: {forage}, {how}, {sample_spots:0} {piece}, day not told",
            "{sample_id}: {forage}, {sampled_on:day}", "{sample_id}: {forage}, day not told")),
        _line(2, "dm_no", "Dry matter", (
            "Dry matter {card_dm:0} %",
            "Dry matter {card_dm:0} %: baled hay this wet may heat and mold; watch the stack")),
        _line(3, "cp_no", "Protein", tuple(f"CP {{card_cp:1}} %: {w}" for w in CP_WORDS)),
        _line(4, "energy_by_no", "Energy", (
            "TDN {card_tdn:0} % as printed, {card_adf_tdn:0} % by the ADF line: {tdn_enough}",
            "TDN {card_tdn:0} % as printed: {tdn_enough}",
            "TDN {card_tdn:0} % by the ADF line of {kind}: {tdn_enough}")),
        _line(5, "ndf_no", "Fiber", (
            "NDF {card_ndf:0} %: a cow is full at about {full_at_pct_bw:1} % of her weight a"
            " day",)),
        _line(6, "minerals_no", "Minerals", (
            "Ca {card_ca:2} %, P {card_p:2} %: judged with the whole diet, on Minerals",)),
        _line(7, "nitrate_line_no", "Nitrate", ("", "Nitrate: {nitrate_words}")),
        Say(name="card_8", by="doubt_no", label="To look at", front=True, used="sample_id",
            unknown="", sentences=("{asked}{kept}", "{asked}{kept}Another laboratory than the"
                                   " other samples of this lot.")),
        Link(name="sample_row", to="Samples", on=("sample_no",), label="Row on Samples"),
        *[Pull(name=name, via="sample_row", of=of, label=label) for name, of, label in (
            ("sample_id", "sample_id", "Sample"), ("forage", "forage", "Forage"),
            ("asked", "note", "What it misses"), ("kept_because", "kept_because", "Reason"))],
        Say(name="kept", by="kept_no", label="Kept", unknown="", used="kept_because",
            sentences=("Kept although it looks wrong: {kept_because}. ",)),
        Calc(name="kept_no"),
        *pulls("sample_row", "sampled_on sample_spots to_dm lab_other"),
        *[Pull(name=f"card_{member}", via="sample_row", of="dry_matter", member=member,
               label=f"{label} of the report") for member, label in (
            ("cp", "CP"), ("tdn", "TDN"), ("ndf", "NDF"), ("ca", "Ca"), ("p", "P"))],
        Pull(name="card_dm", via="sample_row", of="dm_known_pct_as_fed",
             label="Dry matter of the report"),
        Pull(name="card_printed_tdn", via="sample_row", of="tdn_from_report_pct_dm",
             label="TDN as printed"),
        Pull(name="card_adf_tdn", via="sample_row", of="tdn_from_adf_pct_dm",
             label="TDN by the ADF line"),
        Pull(name="how_row", via="sample_row", of="how_row", to="SampleKinds",
             label="Row of the kind of sample"),
        *[Pull(name=name, via="how_row", of=name, label=label) for name, label in (
            ("how", "Kind of sample"), ("piece", "What it is counted in"), ("timed", "When"))],
        Link(name="measures_row", to="Measures", on=("sample_no",), label="Row on Measures"),
        *[Pull(name=name, via="measures_row", of=name, label=label) for name, label in (
            ("nitrate_words", "Nitrate in words"), ("kind", "Kind of forage"),
            ("nitrate_no", "Nitrate outcome"))],
        Calc(name="what_no", may_be_blank=("sampled_on", "how_row")),
        *calcs("dm_no cp_no"),
        Say(name="tdn_enough", by="tdn_level_no", label="Enough TDN for whom", unknown="",
            sentences=TDN_WORDS),
        Calc(name="tdn_level_no"), Calc(name="energy_by_no", may_be_blank=(
            "card_printed_tdn", "card_adf_tdn")),
        *calcs("ndf_no full_at_pct_bw minerals_no"),
        Calc(name="nitrate_line_no"), Calc(name="doubt_no", may_be_blank=("lab_other",)),
    ), sheet="What reports say", purpose="Plain words for each report. The plan itself works with"
                                         " the numbers on Samples.")


def _line(number: int, by: str, label: str, sentences: tuple[str, ...]) -> Say:
    return Say(name=f"card_{number}", by=by, label=label, front=True, used="sample_id",
               unknown="", sentences=sentences)


# --- two reports of one lot
def two_reports() -> Table:
    """Two samples of one lot side by side, and whether they differ more than is ordinary."""
    either = ("first", "second")
    return Table("TwoReports", ("pair",), (
        *keys("pair"),
        *[Entry(name=name, what="choice", choices="Samples.sample_id", label=f"{name.capitalize()}"
                " sample", front=True, hint="A sample of the same lot, by its number.")
          for name in either],
        Say(name="compared_words", by="compared_no", label="What the two say", front=True,
            unknown="", sentences=(
                "ordinary difference", "another equation for TDN; the rest is ordinary",
                "more than ordinary: {beyond_words}", "another equation for TDN; more than"
                " ordinary: {beyond_words}", "not of one forage")),
        Calc(name="apart", label="Second less first", front=True, open=COMPARED, **BLOCK),
        Calc(name="ordinary", label="Ordinary, either way", front=True, open=COMPARED, **BLOCK),
        *[Link(name=f"{name}_row", to="Samples", by_name=name, key="sample_id",
               label=f"Row of the {name}") for name in either],
        *[Pull(name=f"{name}_{what}", via=f"{name}_row", of=of, label=f"{label}, {name}")
          for name in either for what, of, label in (
            ("forage_no", "forage_no", "No. of the forage"), ("lab_row", "lab_row", "Laboratory"),
            ("weight", "weight_used", "Weight"),
            ("by_adf", "tdn_from_adf_pct_dm", "TDN by the ADF line"))],
        *[Pull(name=f"{name}_{what}", via=f"{name}_row", of=of, label=f"{label}, {name}",
               over="nutrient") for name in either for what, of, label in (
            ("content", "dry_matter", "In dry matter"), ("variance", "sample_variance",
                                                         "Variance, weighed"))],
        Link(name="sampling_row", to="Sampling", on=("first_forage_no",),
             label="Row on Sampling plan"),
        Pull(name="test_sd", via="sampling_row", of="test_sd", label="Spread between tests",
             over="nutrient"),
        *calcs("labs_apart"), Calc(name="labs_differ", may_be_blank=("labs_apart",)),
        Calc(name="ordinary_lab_variance", label="Variance between laboratories", over="nutrient"),
        *calcs("equation_gap equation_other"),
        Calc(name="equation_no", may_be_blank=("equation_other",)),
        Calc(name="beyond", label="Beyond", over="nutrient"),
        Calc(name="beyond_used", label="Beyond, known", over="nutrient",
             may_be_blank=("beyond",)),
        Names(name="beyond_words", of="beyond_used", used="first_row", only=COMPARED,
              label="More than ordinary"),
        *calcs("beyond_any compared_no"),
    ), sheet="Two reports", purpose="Two samples of one lot: does the laboratory use another"
                                    " equation, is the difference ordinary, or is it not?")

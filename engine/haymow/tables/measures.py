"""Measures: what a sample says beside the basic numbers, and the class tables behind it."""

from __future__ import annotations

from .book import Table
from .kinds import Calc, Column, Key, Link, Pull, Say, Which
from .shorthand import calcs, keys, pulls
from .small import rows_of, word_list

__all__ = ["ATTRIBUTES", "MEMBERS", "class_tables", "measures"]

FAMILIES = ("legume", "grass", "other")
MARKETS = tuple(dict.fromkeys(row["scheme"] for row in rows_of("hay_classes")))
SCHEMES = tuple(dict.fromkeys(row["scheme"] for row in rows_of("nitrate_classes")))
GAP = 5  # rows between two tables on Lists
ALL_OF_IT = 100.0


def _ranked(data: str, order: tuple[str, ...], level: str, **where: str) -> list[dict[str, str]]:
    """The classes scheme by scheme, highest level first: the first one reached is the class."""
    rows = [row for row in rows_of(data) if all(row[key] == word for key, word in where.items())]
    return sorted(rows, key=lambda row: (order.index(row["scheme"]), -float(row[level])))


BY_RFV = _ranked("hay_classes", MARKETS, "class_from", measure="RFV")
BY_CP = _ranked("hay_classes", MARKETS, "class_from", measure="CP % of DM")
NITRATES = _ranked("nitrate_classes", SCHEMES, "from_no3n_ppm_dm")
MEMBERS = {  # what heads a class's column
    "rfv_step": tuple(f"{row['scheme']} {row['class']}" for row in BY_RFV),
    "cp_step": tuple(f"{row['scheme']} {row['class']}" for row in BY_CP),
    "nitrate_step": tuple(f"{row['scheme']} {row['from_no3n_ppm_dm']}" for row in NITRATES),
}
ATTRIBUTES = {"rfv_step": "RfvClasses", "cp_step": "CpClasses", "nitrate_step": "NitrateClasses"}
SHARES = (("most_in_diet_pct", "Most of the diet, not pregnant, %", "most_pct_of_diet"),
          ("most_in_diet_pregnant_pct", "Most of the diet, pregnant, %",
           "most_pct_of_diet_pregnant"))


def measures() -> Table:
    """One row a sample, in the order of their numbers."""
    return Table("Measures", ("sample",), (
        *keys("sample"),
        Pull(name="sample_id", via="sample_row", of="sample_id", label="Sample", front=True),
        Pull(name="forage", via="sample_row", of="forage", label="Forage", front=True),
        Say(name="nitrate_words", by="nitrate_no", label="Nitrate", front=True, sentences=(
            "", "no class: ask the laboratory for its form (NO3-N, NO3 or KNO3)",
            "no class: say on Samples on which basis it is reported",
            "no class: choose a scheme of the list on Start",
            "{no3n_ppm_dm:0} ppm NO3-N: {nitrate_class}")),
        *[Pull(name=name, via="nitrate_class_no", of=name, into="NitrateClasses", front=True)
          for name, _, _ in SHARES],
        Calc(name="dilution_parts", front=True),
        Calc(name="pregnant_dilution_parts", front=True),
        Pull(name="no3n_ppm_dm", via="sample_row", of="no3n_ppm_dm", front=True),
        *calcs("nitrate_ppm_dm kno3_ppm_dm", front=True),
        Pull(name="tdn_known", via="sample_row", of="tdn_known", front=True),
        Say(name="tdn_by", by="tdn_by_no", label="Where that TDN comes from", front=True,
            unknown="", sentences=(
                "", "as the report prints it",
                "from ADF, line of {kind}: {tdn_at_no_adf_pct:2} - {tdn_per_adf:3} x ADF")),
        Pull(name="tdn_from_report_pct_dm", via="sample_row", of="tdn_from_report_pct_dm",
             front=True),
        Pull(name="tdn_from_adf_pct_dm", via="sample_row", of="tdn_from_adf_pct_dm", front=True),
        Calc(name="summative_tdn_pct_dm", front=True,
             may_be_blank=("summative_legume_pct_dm", "summative_grass_pct_dm")),
        Pull(name="rfv_class", via="rfv_class_no", of="rfv_class", into="RfvClasses", front=True,
             label="Market class by RFV"),
        Pull(name="cp_class", via="cp_class_no", of="cp_class", into="CpClasses", front=True,
             label="Market class by CP"),
        Calc(name="rfv", front=True),
        Calc(name="rfq", by="sample_rfq", front=True),
        *calcs("bound_cp_pct_of_cp adjusted_cp_pct_dm nfc_pct_dm nfc_with_ndicp_pct_dm",
               front=True),
        Calc(name="ivtd_pct_dm", by="ivtd_48_pct_dm", front=True),
        Pull(name="ivdmd_pct_dm", via="sample_row", of="dry_matter", member="ivdmd", front=True),
        *_working(),
    ), purpose="What a sample says beside the basic numbers. RFV and RFQ are for trade: the plan"
               " does not use them. Nitrate can kill: ask your veterinarian or local extension.")


def _working() -> list[Column]:
    """From the sample's values to the numbers of its classes."""
    return [
        Link(name="sample_row", to="Samples", on=("sample_no",), label="Row on Samples"),
        *[Pull(name=name, via="sample_row", of="dry_matter", member=member, label=label)
          for name, member, label in (("sample_cp", "cp", "CP as tested"),
                                      ("sample_ndf", "ndf", "NDF as tested"))],
        Calc(name="cp_pct_dm", by="above_zero_cp"), Calc(name="ndf_pct_dm", by="above_zero_ndf"),
        *[Pull(name=name, via="sample_row", of="dry_matter", member=member) for name, member in (
            ("adf_pct_dm", "adf"), ("fat_pct_dm", "fat"), ("ash_pct_dm", "ash"),
            ("adicp_pct_dm", "adicp"), ("ndicp_pct_dm", "ndicp"),
            ("ndfd48_pct_of_ndf", "ndfd48"))],
        Pull(name="forage_row", via="sample_row", of="forage_row", to="Forages",
             label="Row on Forages"),
        Pull(name="kind", via="forage_row", of="kind", label="Kind"),
        Link(name="kind_row", to="Kinds", by_name="kind", key="kind", label="Row of the kind"),
        *pulls("kind_row", "tdn_at_no_adf_pct tdn_per_adf"),
        *[Pull(name=name, via="kind_row", of=name, label=name.capitalize())
          for name in ("family", "market")],
        Link(name="family_no", to="Families", by_name="family", key="family", label="Family no."),
        Link(name="market_no", to="Markets", by_name="market", key="market", label="Market no."),
        Calc(name="tdn_by_no", may_be_blank=("tdn_from_report_pct_dm",)),
        *calcs("fiber_to_nfc_pct_dm usual_fiber_to_nfc_pct_dm"),
        Calc(name="fiber_used_pct_dm",
             may_be_blank=("fiber_to_nfc_pct_dm", "usual_fiber_to_nfc_pct_dm")),
        *calcs("nfc_digested_pct_dm summative_legume_pct_dm summative_grass_pct_dm"
               " sample_rfq_legume_pct_bw sample_rfq_grass_pct_bw"),
        Calc(name="rfq_intake_used_pct_bw",
             may_be_blank=("sample_rfq_legume_pct_bw", "sample_rfq_grass_pct_bw")),
        Calc(name="rfv_reached", over="rfv_step", label="RFV reaches"),
        Which(name="first_rfv_reached", of="rfv_reached", label="First class reached by RFV"),
        Calc(name="rfv_class_no"),
        Calc(name="cp_reached", over="cp_step", label="CP reaches"),
        Which(name="first_cp_reached", of="cp_reached", label="First class reached by CP"),
        Calc(name="cp_class_no"),
        Calc(name="nitrate_reached", over="nitrate_step", label="Nitrate reaches"),
        Which(name="first_nitrate_reached", of="nitrate_reached",
              label="First class reached by nitrate"),
        Calc(name="nitrate_class_no"),
        Pull(name="nitrate_class", via="nitrate_class_no", of="nitrate_class",
             into="NitrateClasses", label="Nitrate class"),
        *[Pull(name=name, via="nitrate_class_no", of=name, into="NitrateClasses")
          for name in ("safe_no3n_ppm_dm", "safe_pregnant_no3n_ppm_dm")],
        *calcs("mix_most_pct pregnant_mix_most_pct"),
        Pull(name="reported_nitrate", via="sample_row", of="reported", member="no3n",
             label="Nitrate as reported"),
        Pull(name="form_no", via="sample_row", of="form_no", label="Nitrate form no."),
        Pull(name="basis_factor", via="sample_row", of="to_dm"),
        Calc(name="nitrate_based", may_be_blank=("form_no", "basis_factor")),
        Calc(name="nitrate_no", may_be_blank=("reported_nitrate", "form_no", "nitrate_class_no")),
        Calc(name="nitrate_limits"),
        Calc(name="nitrate_look", may_be_blank=("nitrate_limits",)),
    ]


def class_tables(others: list[Table]) -> list[Table]:
    """Families, markets, schemes and their classes, below what stands on Lists already."""
    top = max(t.top + len(t.columns[-1].data) for t in others  # type: ignore[attr-defined]
              if t.sheet == "Lists") + GAP
    found: list[Table] = []
    for name, dimension, words in (("Families", "family", FAMILIES), ("Markets", "market", MARKETS),
                                   ("NitrateSchemes", "scheme", SCHEMES)):
        found.append(word_list(name, dimension, dimension, words, top))
        top += len(words) + GAP
    for each in (_hay("RfvClasses", "rfv", BY_RFV, top),
                 _hay("CpClasses", "cp", BY_CP, top + len(BY_RFV) + GAP),
                 _nitrate(top + len(BY_RFV) + len(BY_CP) + 2 * GAP)):
        found.append(each)
    return found


def _hay(name: str, by: str, rows: list[dict[str, str]], top: int) -> Table:
    return Table(name, (f"{by}_step",), (
        Key(name=f"{by}_step_no", dimension=f"{by}_step", label="No.", front=True),
        _key(f"{by}_market_no", "Market no.",
             [float(MARKETS.index(row["scheme"]) + 1) for row in rows]),
        _key(f"{by}_from", f"{by.upper()} from", [float(row["class_from"]) for row in rows]),
        _key(f"{by}_class", f"Market class by {by.upper()}", [row["class"] for row in rows]),
        *_told(rows)), sheet="Lists", top=top)


def _nitrate(top: int) -> Table:
    return Table("NitrateClasses", ("nitrate_step",), (
        Key(name="nitrate_step_no", dimension="nitrate_step", label="No.", front=True),
        _key("nitrate_scheme_no", "Scheme no.",
             [float(SCHEMES.index(row["scheme"]) + 1) for row in NITRATES]),
        _key("nitrate_from", "NO3-N from, ppm of DM",
             [float(row["from_no3n_ppm_dm"]) for row in NITRATES]),
        *[_key(name, label, [float(row[column]) for row in NITRATES])
          for name, label, column in SHARES],
        _key("safe_no3n_ppm_dm", "Safe below, not pregnant, ppm of DM",
             _safe("most_pct_of_diet")),
        _key("safe_pregnant_no3n_ppm_dm", "Safe below, pregnant, ppm of DM",
             _safe("most_pct_of_diet_pregnant")),
        _key("nitrate_class", "Nitrate class", [row["words"] for row in NITRATES]),
        *_told(NITRATES)), sheet="Lists", top=top)


def _safe(column: str) -> list[float]:
    """For each class the lowest nitrate that its scheme does not let be the whole diet."""
    limits = {scheme: min(float(row["from_no3n_ppm_dm"]) for row in NITRATES
                          if row["scheme"] == scheme and float(row[column]) < ALL_OF_IT)
              for scheme in SCHEMES}
    return [limits[row["scheme"]] for row in NITRATES]


def _told(rows: list[dict[str, str]]) -> list[Key]:
    return [_key(name, name.capitalize(), [row[name] for row in rows])
            for name in ("source", "seen", "note")]


def _key(name: str, label: str, data: list[float] | list[str]) -> Key:
    return Key(name=name, label=label, data=tuple(data), front=True)

"""Rules that hold between the values of one sample: forage_testing cross rules as data."""

from __future__ import annotations

from collections import abc
from dataclasses import dataclass

__all__ = ["RULES", "Rule", "Values"]

_COMPARE = "Compare both with the report."
_HAYS = ("legume hay", "cool-season grass hay", "warm-season grass hay", "mixed hay",
         "small-grain hay")
_ADVICE = "Ask a nutritionist or veterinarian before the mineral is chosen."
_NDICP_IF_UNKNOWN = 4.0  # own choice: few forages have more, so that the sum to 100 stays fair
_ROUNDED = 0.1


@dataclass(frozen=True)
class Values:
    """The values of a sample by analyte key, and the kind of forage."""

    of: abc.Mapping[str, float]
    kind: str

    def __getitem__(self, key: str) -> float:
        return self.of[key]


@dataclass(frozen=True)
class Rule:
    """``wrong`` is tried when all of ``needs`` are known; ``what`` may hold keys as ``{cp:g}``."""

    about: str
    needs: frozenset[str]
    severity: str
    wrong: abc.Callable[[Values], bool]
    what: str
    do: str

    def sentence(self, values: Values) -> str:
        """The rule's sentence with the sample's own numbers."""
        return self.what.format(**values.of, kind=values.kind)


def _rule(about: str, needs: str, severity: str, wrong: abc.Callable[[Values], bool], what: str,
          do: str = _COMPARE) -> Rule:
    return Rule(about, frozenset(needs.split()), severity, wrong, what, do)


def _rfv(v: Values) -> float:
    from ..equations.measures import rfv

    return float(rfv(v["adf"], v["ndf"]))


def _nem(v: Values) -> float:
    from ..equations import forage

    de = forage.feed_de_mcal_per_kg(v["tdn"])
    return float(forage.feed_nem_mcal_per_kg(forage.feed_me_mcal_per_kg(de)))


def _nfc_fits(v: Values) -> bool:
    from ..equations.measures import nfc_pct_dm, nfc_with_ndicp_pct_dm

    simple = float(nfc_pct_dm(v["cp"], v["ndf"], v["fat"], v["ash"]))
    either = (simple, float(nfc_with_ndicp_pct_dm(simple, v.of.get("ndicp", 0.0))))
    return any(abs(v["nfc"] - nfc) <= 0.5 for nfc in either)


def _ivtd(v: Values) -> float:
    from ..equations.measures import ivtd_pct_dm

    return float(ivtd_pct_dm(v["ndf"], v["ndfd48"]))


def _cp_of_n(v: Values) -> float:
    from ..equations.forage import cp_from_nitrogen_pct_dm

    return float(cp_from_nitrogen_pct_dm(v["n"]))


def _no3n_of(v: Values, form: str) -> float:
    from ..equations import nitrate

    if form == "no3":
        return float(nitrate.no3n_from_nitrate_ppm_dm(v["no3"]))
    return float(nitrate.no3n_from_kno3_ppm_dm(v["kno3"] * 10_000))  # printed in %


def _bound(v: Values) -> float:
    from ..equations.measures import bound_cp_pct_of_cp

    return float(bound_cp_pct_of_cp(v["adicp"], v["cp"]))


def _ca_p(v: Values) -> float:
    from ..equations.ratios import ca_p_ratio

    return float(ca_p_ratio(v["ca"], v["p"]))


def _cu_mo(v: Values) -> float:
    from ..equations.ratios import cu_mo_ratio

    return float(cu_mo_ratio(v["cu"], v["mo"]))


def _far(one: float, other: float, share: float) -> bool:
    return abs(one - other) > share * max(abs(one), abs(other))


_CANNOT: tuple[Rule, ...] = (
    _rule("dm", "dm moisture", "stop", lambda v: abs(v["dm"] + v["moisture"] - 100) > 0.2,
          "Dry matter {dm:g} % and moisture {moisture:g} % do not add up to 100; they may be "
          "swapped "
          "or of two samples."),
    _rule("cp", "cp n", "stop", lambda v: abs(v["cp"] - _cp_of_n(v)) > _ROUNDED,
          "Crude protein {cp:g} % is not 6.25 times nitrogen {n:g} %; one may be on another "
          "basis."),
    _rule("adf", "adf ndf", "stop", lambda v: v["adf"] > v["ndf"] + 1,
          "ADF {adf:g} % is above NDF {ndf:g} %; the two may be swapped, or one is as fed."),
    _rule("lignin", "lignin adf", "stop", lambda v: v["lignin"] >= v["adf"],
          "Lignin {lignin:g} % is not below ADF {adf:g} %; lignin may be % of NDF."),
    _rule("adicp", "adicp ndicp", "stop", lambda v: v["adicp"] > v["ndicp"] + _ROUNDED,
          "ADF-bound protein {adicp:g} % is above NDF-bound protein {ndicp:g} %; one may be % of "
          "CP."),
    _rule("ndicp", "ndicp cp", "stop", lambda v: v["ndicp"] > v["cp"] + _ROUNDED,
          "NDF-bound protein {ndicp:g} % is above crude protein {cp:g} %; it may be % of CP."),
    _rule("adicp", "adicp cp", "stop", lambda v: v["adicp"] > v["cp"] + _ROUNDED,
          "ADF-bound protein {adicp:g} % is above crude protein {cp:g} %; it may be % of CP."),
    _rule("cp", "cp ndf fat ash", "stop",
          lambda v: v["cp"] + v["ndf"] + v["fat"] + v["ash"]
          > 102 + v.of.get("ndicp", _NDICP_IF_UNKNOWN),
          "Protein {cp:g}, NDF {ndf:g}, fat {fat:g} and ash {ash:g} % add up to more than the dry "
          "matter; one may be on another basis or have a digit too many."),
    _rule("nem", "neg nem", "stop", lambda v: v["neg"] >= v["nem"],
          "NEg {neg:.2f} is not below NEm {nem:.2f} Mcal/kg; the two may be swapped or in two "
          "units."),
    _rule("me", "nem me", "stop", lambda v: v["nem"] >= v["me"],
          "NEm {nem:.2f} is not below ME {me:.2f} Mcal/kg; the two may be in two units."),
    _rule("de", "me de", "stop", lambda v: v["me"] >= v["de"],
          "ME {me:.2f} is not below DE {de:.2f} Mcal/kg; the two may be in two units."),
    _rule("nel", "neg nel me", "stop", lambda v: not v["neg"] < v["nel"] < v["me"],
          "NEl {nel:.2f} does not lie between NEg {neg:.2f} and ME {me:.2f} Mcal/kg; one may be in "
          "another unit."),
    _rule("no3n", "no3 no3n", "stop", lambda v: _far(_no3n_of(v, "no3"), v["no3n"], 0.03),
          "NO3 {no3:g} ppm and NO3-N {no3n:g} ppm do not go together (4.43 to 1); one may carry "
          "the "
          "other's name.", "Do not feed by these numbers; ask the lab which form was measured."),
    _rule("no3n", "kno3 no3n", "stop", lambda v: _far(_no3n_of(v, "kno3"), v["no3n"], 0.03),
          "KNO3 {kno3:g} % and NO3-N {no3n:g} ppm do not go together (7.22 to 1); one may carry "
          "the "
          "other's name.", "Do not feed by these numbers; ask the lab which form was measured."),
    _rule("no3", "kno3 no3", "stop",
          lambda v: _far(_no3n_of(v, "kno3"), _no3n_of(v, "no3"), 0.03),
          "KNO3 {kno3:g} % and NO3 {no3:g} ppm do not go together (1.63 to 1); one may carry the "
          "other's name.", "Do not feed by these numbers; ask the lab which form was measured."),
    _rule("ndfom", "ndfom ndf", "stop", lambda v: v["ndfom"] > v["ndf"] + _ROUNDED,
          "Ash-free NDF {ndfom:g} % is above NDF {ndf:g} %; the two may be swapped."),
    _rule("ndfd30", "ndfd30 ndfd48", "stop", lambda v: v["ndfd30"] > v["ndfd48"] + _ROUNDED,
          "NDF digestibility is {ndfd30:g} after 30 h and {ndfd48:g} after 48 h; it cannot fall. "
          "One "
          "may be % of the dry matter."),
    _rule("ndfd240", "ndfd48 ndfd240", "stop", lambda v: v["ndfd48"] > v["ndfd240"] + _ROUNDED,
          "NDF digestibility is {ndfd48:g} after 48 h and {ndfd240:g} after 240 h; it cannot "
          "fall."),
    _rule("sol_cp", "sol_cp rdp", "stop", lambda v: v["sol_cp"] > v["rdp"] + _ROUNDED,
          "Soluble protein {sol_cp:g} is above degradable protein {rdp:g} % of CP; one may be % of "
          "the "
          "dry matter."),
    _rule("rup", "rdp rup", "stop", lambda v: abs(v["rdp"] + v["rup"] - 100) > 1,
          "Degradable {rdp:g} and undegradable {rup:g} % of CP do not add up to 100; one may be % "
          "of "
          "the dry matter."),
)

_ODD: tuple[Rule, ...] = (
    _rule("lignin", "lignin adf", "look",
          lambda v: 0.35 * v["adf"] < v["lignin"] < v["adf"],
          "Lignin {lignin:g} % is more than a third of ADF {adf:g} %; it may be % of NDF."),
    _rule("nfc", "nfc cp ndf fat ash", "look", lambda v: not _nfc_fits(v),
          "NFC {nfc:g} % does not follow from protein, NDF, fat and ash; one of these may be on "
          "another "
          "basis or copied wrong."),
    _rule("starch", "starch wsc nfc", "look", lambda v: v["starch"] + v["wsc"] > v["nfc"] + 3,
          "Starch {starch:g} and sugar {wsc:g} % are more than NFC {nfc:g} %; one may be as fed."),
    _rule("rfv", "rfv adf ndf", "look", lambda v: abs(_rfv(v) - v["rfv"]) > 1,
          "RFV {rfv:g} does not follow from ADF {adf:g} and NDF {ndf:g} %; ADF or NDF may be as "
          "fed or "
          "of another sample."),
    _rule("nem", "nem tdn", "note", lambda v: abs(_nem(v) - v["nem"]) > 0.02 * 2.2046,
          "NEm {nem:.2f} Mcal/kg does not follow from TDN {tdn:g} % by the beef equations: the lab "
          "uses "
          "another energy system.", "The plan works energy out from TDN."),
    _rule("ca", "ca p", "look", lambda v: _ca_p(v) > 8,
          "Calcium {ca:g} % is more than 8 times phosphorus {p:g} %; a digit may be wrong in one."),
    _rule("ca", "ca p", "note", lambda v: not 1 <= _ca_p(v) <= 4 and _ca_p(v) <= 8,
          "Calcium {ca:g} % to phosphorus {p:g} % lies outside of 1 to 4.",
          "The mineral has to bring what is short."),
    _rule("ca", "ca", "look", lambda v: v.kind == "legume hay" and v["ca"] < 0.8,
          "Calcium {ca:g} % is low for a legume; it may be mixed with grass or another species.",
          "Check the forage kind: the TDN equation depends on it."),
    _rule("ndf", "ndf", "look", lambda v: v.kind == "legume hay" and v["ndf"] > 60,
          "NDF {ndf:g} % is high for a legume; it may be mixed with grass or another species.",
          "Check the forage kind: the TDN equation depends on it."),
    _rule("fe", "fe ash", "look", lambda v: v["fe"] > 500 and v["ash"] > 12,
          "Iron {fe:g} ppm and ash {ash:g} % are both high; there may be soil in the sample.",
          "Use ash-free NDF, and sample again without soil."),
    _rule("ivtd", "ivtd ndfd48", "look", lambda v: v["ivtd"] < v["ndfd48"],
          "True digestibility {ivtd:g} is below NDF digestibility {ndfd48:g}; one may be of the "
          "dry "
          "matter or after other hours."),
    _rule("ivtd", "ivtd ndf ndfd48", "look",
          lambda v: v["ivtd"] >= v["ndfd48"] and abs(_ivtd(v) - v["ivtd"]) > 1,
          "True digestibility {ivtd:g} % does not follow from NDF {ndf:g} and its digestibility "
          "{ndfd48:g}; they may be after different hours."),
    _rule("undf240", "undf240 lignin", "look", lambda v: v["undf240"] < v["lignin"],
          "Undigested NDF {undf240:g} % is below lignin {lignin:g} %; one may be % of NDF."),
    _rule("cp", "cp adf", "look", lambda v: v["cp"] > 20 and v["adf"] > 42,
          "Protein {cp:g} % and ADF {adf:g} % are both high; leaf and stem do not go together so."),
    _rule("cp", "cp", "look", lambda v: v["cp"] > 25,
          "Protein above 25 % ({cp:g} %) in a forage may hold nitrate or other non-protein "
          "nitrogen.",
          "Have nitrate tested before it is fed."),
    _rule("no3n", "no3n", "look", lambda v: v["no3n"] > 4000,
          "NO3-N {no3n:g} ppm is dangerously high, or NO3 under the name of NO3-N (4.4 times as "
          "much).",
          "Do not feed it until the lab has confirmed the form; ask your veterinarian."),
    _rule("dm", "dm", "look", lambda v: v.kind in _HAYS and v["dm"] < 82,
          "Hay at {dm:g} % dry matter may heat and mold in the bale.",
          "Watch its temperature; keep it apart."),
    _rule("adicp", "adicp cp", "look", lambda v: v["adicp"] <= v["cp"] and _bound(v) > 10,
          "ADF-bound protein is more than a tenth of crude protein ({adicp:g} of {cp:g} %): heat "
          "may "
          "have damaged it.", "Plan with the adjusted protein that the lab prints."),
    _rule("s", "s", "look", lambda v: v["s"] > 0.4,
          "Sulfur {s:g} % is high: with sulfur in water and feeds it can make cattle sick and ties "
          "up "
          "copper.", _ADVICE),
    _rule("k", "k", "look", lambda v: v["k"] > 3,
          "Potassium {k:g} % is high: it hinders magnesium.", _ADVICE),
    _rule("mo", "mo", "look", lambda v: v["mo"] > 2,
          "Molybdenum {mo:g} ppm is high: it ties up copper.", _ADVICE),
    _rule("cu", "cu mo", "look", lambda v: _cu_mo(v) < 4,
          "Copper {cu:g} ppm is less than 4 times molybdenum {mo:g} ppm: copper may not be taken "
          "up.",
          _ADVICE),
)
RULES = _CANNOT + _ODD

"""What a sample says beside the basic numbers: trade classes, nitrate classes, summative TDN."""

import numpy as np

from ..dialect import is_missing, only_if, typed_or, working
from ..equations.measures import (
    ivtd_pct_dm,
    rfq,
    rfq_grass_intake_pct_bw,
    rfq_legume_intake_pct_bw,
    tdn_summative_grass_pct_dm,
    tdn_summative_legume_pct_dm,
)
from ..equations.nitrate import no3n_diluted_share

__all__ = [
    "above_zero_cp", "above_zero_ndf", "cp_class_no", "cp_reached", "dilution_parts",
    "fiber_used_pct_dm", "ivtd_48_pct_dm", "mix_most_pct", "nfc_digested_pct_dm",
    "nitrate_based", "nitrate_class_no", "nitrate_limits", "nitrate_look", "nitrate_no",
    "nitrate_reached", "pregnant_dilution_parts", "pregnant_mix_most_pct",
    "rfq_intake_used_pct_bw", "rfv_class_no", "rfv_reached", "sample_rfq",
    "sample_rfq_grass_pct_bw", "sample_rfq_legume_pct_bw", "summative_grass_pct_dm",
    "summative_legume_pct_dm", "summative_tdn_pct_dm", "tdn_by_no",
]

LEGUME, GRASS = 1, 2  # numbers in the list Families
ALL_OF_IT = 100.0  # % of the diet


# --- energy and indexes
@working
def above_zero_cp(sample_cp):
    """CP in dry matter; zero means not tested."""
    return only_if(sample_cp > 0, sample_cp)


@working
def above_zero_ndf(sample_ndf):
    """NDF in dry matter; zero means not tested."""
    return only_if(sample_ndf > 0, sample_ndf)


@working
def tdn_by_no(tdn_from_report_pct_dm, tdn_known):
    """1 TDN as the report prints it, 2 from ADF."""
    return 1 + is_missing(tdn_from_report_pct_dm)


@working
def fiber_used_pct_dm(fiber_to_nfc_pct_dm, usual_fiber_to_nfc_pct_dm):
    """NDF without its protein: measured, else the usual share of the NDF."""
    return typed_or(fiber_to_nfc_pct_dm, usual_fiber_to_nfc_pct_dm)


@working
def nfc_digested_pct_dm(nfc_pct_dm, ndf_pct_dm, fiber_used_pct_dm):
    """Non-fiber carbohydrate beside that fiber."""
    return nfc_pct_dm + ndf_pct_dm - fiber_used_pct_dm


@working
def summative_legume_pct_dm(family_no, nfc_digested_pct_dm, cp_pct_dm, fat_pct_dm,
                            fiber_used_pct_dm, ndfd48_pct_of_ndf):
    """Summative TDN of a legume."""
    return only_if(family_no == LEGUME, tdn_summative_legume_pct_dm(
        nfc_digested_pct_dm, cp_pct_dm, fat_pct_dm, fiber_used_pct_dm, ndfd48_pct_of_ndf))


@working
def summative_grass_pct_dm(family_no, nfc_digested_pct_dm, cp_pct_dm, fat_pct_dm,
                           fiber_used_pct_dm, ndfd48_pct_of_ndf):
    """Summative TDN of a grass."""
    return only_if(family_no == GRASS, tdn_summative_grass_pct_dm(
        nfc_digested_pct_dm, cp_pct_dm, fat_pct_dm, fiber_used_pct_dm, ndfd48_pct_of_ndf))


@working
def summative_tdn_pct_dm(summative_legume_pct_dm, summative_grass_pct_dm):
    """Summative TDN by the family of the forage; unknown for other forages."""
    return typed_or(summative_legume_pct_dm, summative_grass_pct_dm)


@working
def sample_rfq_legume_pct_bw(family_no, ndf_pct_dm, ndfd48_pct_of_ndf):
    """Intake by which the index rates a legume."""
    return only_if(family_no == LEGUME, rfq_legume_intake_pct_bw(ndf_pct_dm, ndfd48_pct_of_ndf))


@working
def sample_rfq_grass_pct_bw(family_no, cp_pct_dm, summative_tdn_pct_dm, adf_pct_dm):
    """Intake by which the index rates a grass."""
    return only_if(family_no == GRASS, rfq_grass_intake_pct_bw(
        cp_pct_dm, summative_tdn_pct_dm, adf_pct_dm))


@working
def rfq_intake_used_pct_bw(sample_rfq_legume_pct_bw, sample_rfq_grass_pct_bw):
    """Intake by which the index rates this forage."""
    return typed_or(sample_rfq_legume_pct_bw, sample_rfq_grass_pct_bw)


@working
def sample_rfq(rfq_intake_used_pct_bw, summative_tdn_pct_dm):
    """Relative forage quality, on the summative TDN."""
    return rfq(rfq_intake_used_pct_bw, summative_tdn_pct_dm)


@working
def ivtd_48_pct_dm(ndf_pct_dm, ndfd48_pct_of_ndf):
    """In vitro true digestibility of 48 hours."""
    return ivtd_pct_dm(ndf_pct_dm, ndfd48_pct_of_ndf)


# --- market classes
@working
def rfv_reached(rfv, rfv_from, rfv_market_no, market_no):
    """1 where the RFV reaches this class of the forage's market."""
    return np.where((rfv >= rfv_from) & (rfv_market_no == market_no), 1.0, 0.0)


@working
def cp_reached(cp_pct_dm, cp_from, cp_market_no, market_no):
    """1 where the CP reaches this class of the forage's market."""
    return np.where((cp_pct_dm >= cp_from) & (cp_market_no == market_no), 1.0, 0.0)


@working
def rfv_class_no(first_rfv_reached):
    """The class by RFV: the highest one reached; none where the market sets none."""
    return only_if(first_rfv_reached > 0, first_rfv_reached)


@working
def cp_class_no(first_cp_reached):
    """The class by CP: the highest one reached; none where the market sets none."""
    return only_if(first_cp_reached > 0, first_cp_reached)


# --- nitrate
@working
def nitrate_reached(no3n_ppm_dm, nitrate_from, nitrate_scheme_no, nitrate_scheme):
    """1 where the nitrate reaches this class of the scheme in use."""
    return np.where((no3n_ppm_dm >= nitrate_from) & (nitrate_scheme_no == nitrate_scheme),
                    1.0, 0.0)


@working
def nitrate_class_no(first_nitrate_reached):
    """The highest class of the scheme in use that is reached."""
    return only_if(first_nitrate_reached > 0, first_nitrate_reached)


@working
def mix_most_pct(no3n_ppm_dm, safe_no3n_ppm_dm, most_in_diet_pct):
    """Most of it beside a feed without nitrate: the class's share, and not above the safe level."""
    mixed = ALL_OF_IT * no3n_diluted_share(safe_no3n_ppm_dm, 0.0, no3n_ppm_dm)
    return np.minimum(most_in_diet_pct,
                      np.where(no3n_ppm_dm > safe_no3n_ppm_dm, mixed, ALL_OF_IT))


@working
def pregnant_mix_most_pct(no3n_ppm_dm, safe_pregnant_no3n_ppm_dm, most_in_diet_pregnant_pct):
    """The same for pregnant animals."""
    mixed = ALL_OF_IT * no3n_diluted_share(safe_pregnant_no3n_ppm_dm, 0.0, no3n_ppm_dm)
    return np.minimum(most_in_diet_pregnant_pct,
                      np.where(no3n_ppm_dm > safe_pregnant_no3n_ppm_dm, mixed, ALL_OF_IT))


@working
def dilution_parts(mix_most_pct):
    """Dry matter of other feed beside one part of this; unknown where it may not be fed."""
    return only_if(mix_most_pct > 0, (ALL_OF_IT - mix_most_pct) / mix_most_pct)


@working
def pregnant_dilution_parts(pregnant_mix_most_pct):
    """The same for pregnant animals."""
    return only_if(pregnant_mix_most_pct > 0,
                   (ALL_OF_IT - pregnant_mix_most_pct) / pregnant_mix_most_pct)


@working
def nitrate_based(form_no, basis_factor):
    """1 where both form and basis of the nitrate are known."""
    return (1 - is_missing(form_no)) * (1 - is_missing(basis_factor))


@working
def nitrate_no(reported_nitrate, form_no, nitrate_based, nitrate_class_no):
    """0 not tested, 1 ask for its form, 2 ask for its basis, 3 no class in the scheme, 4 known."""
    classed = nitrate_based * (1 - is_missing(nitrate_class_no))
    return (1 - is_missing(reported_nitrate)) * (
        2 - is_missing(form_no) + nitrate_based + classed)


@working
def nitrate_limits(most_in_diet_pregnant_pct):
    """1 where the class limits what some animals may be fed."""
    return np.where(most_in_diet_pregnant_pct < ALL_OF_IT, 1.0, 0.0)


@working
def nitrate_look(nitrate_limits, nitrate_no):
    """1 where the nitrate limits feeding, or its class cannot be said."""
    return typed_or(nitrate_limits, np.minimum(nitrate_no, 1))

"""Which plain words a report gets; whether two reports of one lot differ by more than chance."""

import numpy as np

from ..dialect import is_missing, typed_or, working

__all__ = [
    "apart", "beyond", "beyond_any", "beyond_tdn", "beyond_used", "compared_no", "cp_no", "dm_no",
    "doubt_no", "energy_by_no", "equation_gap", "equation_no", "equation_other", "full_at_pct_bw",
    "kept_no", "lab_other", "labs_apart", "labs_differ", "labs_no", "minerals_no", "ndf_no",
    "nitrate_line_no", "ordinary", "ordinary_lab_variance", "tdn_level_no", "what_no",
]

# what set A of the cow tables asks for: dry cow mid gestation, last month, 20 lb of milk
CP_STEPS = (7.0, 9.0, 11.0)  # the first is the rumen's own need as well
TDN_STEPS = (47.0, 56.0, 60.0)
DRIEST_WET_HAY_PCT = 82.0  # baled hay heats above 18 % (round) or 20 % (small square) moisture
NEARLY = 1e-6  # as fed to dry matter and back may lose the last digit
TDN_APART = 1.0  # units of TDN that rounding of a report never makes
MORE_BETWEEN_LABS = 3.0  # variance of a test between laboratories over that within one: (2^2 - 1)


# --- which laboratory
@working
def lab_other(lab_row, lab_mean):
    """1 where the lot has been with another laboratory as well."""
    return np.where(lab_row == lab_mean, 0.0, 1.0)


@working
def labs_no(labs_other):
    """1 where more than one laboratory tested the lot."""
    return np.minimum(labs_other, 1)


# --- the card
@working
def what_no(to_dm, sampled_on, how_row):
    """0 with the day, 1 without; 2 and 3 the same where it is not told how it was taken."""
    return is_missing(sampled_on) + 2 * is_missing(how_row) + to_dm * 0


@working
def dm_no(card_dm, timed):
    """1 baled hay that is wet enough to heat."""
    return np.where((timed == 1) & (card_dm < DRIEST_WET_HAY_PCT), 1.0, 0.0)


@working
def cp_no(card_cp):
    """How many of the steps the CP reaches."""
    least, before_calving, milk = CP_STEPS
    cp = card_cp + NEARLY
    return (cp >= least) * 1 + (cp >= before_calving) * 1 + (cp >= milk) * 1


@working
def tdn_level_no(card_tdn):
    """How many of the steps the TDN reaches."""
    least, before_calving, milk = TDN_STEPS
    tdn = card_tdn + NEARLY
    return (tdn >= least) * 1 + (tdn >= before_calving) * 1 + (tdn >= milk) * 1


@working
def energy_by_no(card_printed_tdn, card_adf_tdn, tdn_level_no):
    """0 printed, and by ADF; 1 printed only; 2 by ADF only."""
    printed = 1 - is_missing(card_printed_tdn)
    return 2 - 2 * printed + printed * is_missing(card_adf_tdn) + tdn_level_no * 0


@working
def ndf_no(card_ndf):
    """0 where NDF is known."""
    return card_ndf * 0


@working
def full_at_pct_bw(card_ndf, ndf_capacity_pct_bw):
    """Dry matter of this forage that fills a cow."""
    return ndf_capacity_pct_bw / card_ndf * 100


@working
def minerals_no(card_ca, card_p):
    """0 where both are known."""
    return (card_ca + card_p) * 0


@working
def nitrate_line_no(nitrate_no):
    """1 where nitrate was tested."""
    return np.minimum(nitrate_no, 1)


@working
def kept_no(sample_no):
    """Always 0: the words stand where a reason is typed."""
    return sample_no * 0


@working
def doubt_no(lab_other):
    """1 where another laboratory tested the lot as well."""
    return typed_or(lab_other, 0.0)


# --- two reports of one lot
@working
def labs_apart(first_lab_row, second_lab_row):
    """1 where two laboratories tested them."""
    return np.where(first_lab_row == second_lab_row, 0.0, 1.0)


@working
def labs_differ(labs_apart):
    """The same; one laboratory where that is not told."""
    return typed_or(labs_apart, 0.0)


@working
def apart(first_content, second_content):
    """Second less first."""
    return second_content - first_content


@working
def ordinary(first_variance, first_weight, second_variance, second_weight, ordinary_lab_variance,
             margin_errors):
    """By how much two samples of one lot differ by chance, either way."""
    spots = first_variance / first_weight**2 + second_variance / second_weight**2
    return margin_errors * np.sqrt(spots + ordinary_lab_variance)


@working
def ordinary_lab_variance(test_sd, labs_differ):
    """What two laboratories add; tests between them vary twice as much as within one."""
    return 2 * MORE_BETWEEN_LABS * labs_differ * test_sd**2


@working
def beyond(apart, ordinary):
    """1 where the difference is more than ordinary."""
    return np.where(np.abs(apart) > ordinary, 1.0, 0.0)


@working
def beyond_tdn(apart_tdn, ordinary_tdn, equation_no):
    """TDN by two equations says nothing of the lot."""
    return np.where(np.abs(apart_tdn) > ordinary_tdn, 1 - equation_no, 0.0)


@working
def beyond_used(beyond):
    """The same; what is not known is not more than ordinary."""
    return typed_or(beyond, 0.0)


@working
def beyond_any(beyond_used_cp, beyond_used_tdn, beyond_used_ca, beyond_used_p):
    """1 where some content differs by more than is ordinary."""
    return np.maximum(np.maximum(beyond_used_cp, beyond_used_tdn),
                      np.maximum(beyond_used_ca, beyond_used_p))


@working
def equation_gap(first_content_tdn, first_by_adf, second_content_tdn, second_by_adf):
    """How differently the two come from ADF to TDN."""
    return np.abs((first_content_tdn - first_by_adf) - (second_content_tdn - second_by_adf))


@working
def equation_other(equation_gap):
    """1 where they cannot have used one equation."""
    return np.where(equation_gap > TDN_APART, 1.0, 0.0)


@working
def equation_no(equation_other):
    """The same; one equation where that cannot be seen."""
    return typed_or(equation_other, 0.0)


@working
def compared_no(beyond_any, equation_no, first_forage_no, second_forage_no):
    """0 ordinary, 1 another equation, 2 more than ordinary, 3 both, 4 not of one forage."""
    alike = 2 * beyond_any + equation_no
    return np.where(first_forage_no == second_forage_no, alike, 4.0)

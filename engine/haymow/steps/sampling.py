"""The sampling plan: what to take where, how sure it will be, what it costs."""

import numpy as np

from ..dialect import is_missing, only_if, typed_or, working
from ..equations.forage import feed_de_mcal_per_kg, feed_me_mcal_per_kg, feed_nem_mcal_per_kg
from ..equations.surety import sampling_error_pct_dm
from ..equations.surety import spots_of_lot as spots_of_lot_of
from ..equations.surety import spots_wanted as spots_wanted_of

__all__ = [
    "ask_no", "awaited", "bags_used", "barn_due_on", "basis_told", "before_feeding_on", "due_on",
    "feed_from_used_on", "label_no", "label_on", "lot_mean", "lot_mean_nem", "lot_mean_rdp",
    "margin_cp_used_pct_dm", "margin_reached", "margin_reached_dm", "margin_shown_cp",
    "margin_shown_tdn", "me_above_mcal_per_kg", "me_here_mcal_per_kg", "nem_per_tdn",
    "not_testing_usd", "plan_word_no", "sample_spots", "sample_status_no", "sampling_told_no",
    "second_suspicion_no", "spot_sd", "spot_sd_nem", "spot_sd_rdp", "spots_advised",
    "spots_by_margin", "spots_capped", "spots_exact", "spots_for_cp", "spots_for_tdn",
    "spots_impossible", "spots_least", "spots_needed", "spots_of_the_lot", "spots_used",
    "status_flag", "table_sd", "taking_no", "tdn_told", "test_sd", "test_sd_nem", "test_sd_rdp",
    "tests_all", "tests_cost_usd", "tests_used", "to_dm_told", "to_take", "underway_no",
    "unreported", "untested", "untested_risk_usd", "untested_tests_usd", "usual_spot_sd",
]

SETTLING_DAYS = 25.0  # hay settles for 3 to 4 weeks after baling, and is tested as long before use
ROUNDING = 1e-6  # 18.0000001 cores are 18
PLANNED, TAKEN, SENT, RECEIVED, USED = 1, 2, 3, 4, 5


# --- spread
@working
def lot_mean(averaged, table_value, typical):
    """What the forage is expected to hold: the average, the table value, else a typical one."""
    return typed_or(averaged, typed_or(table_value, typical))


@working
def lot_mean_rdp(averaged, lot_mean_cp, typical_rdp, typical_cp):
    """RDP: the average, else its typical part of the CP."""
    return typed_or(averaged, lot_mean_cp * typical_rdp / typical_cp)


@working
def me_here_mcal_per_kg(lot_mean_tdn):
    """ME at the expected TDN."""
    return feed_me_mcal_per_kg(feed_de_mcal_per_kg(lot_mean_tdn))


@working
def lot_mean_nem(me_here_mcal_per_kg):
    """NEm follows the TDN."""
    return feed_nem_mcal_per_kg(me_here_mcal_per_kg)


@working
def spot_sd(own_sd, usual_spot_sd):
    """Spread between spots or bales: one's own, else the usual one."""
    return typed_or(own_sd, usual_spot_sd)


@working
def usual_spot_sd(lot_mean, default_spot_sd, spot_cv_pct):
    """Usual spread between spots or bales, some of it a share of the mean."""
    return default_spot_sd + spot_cv_pct * lot_mean / 100


@working
def test_sd(lot_mean, default_test_sd, test_cv_pct):
    """Spread between repeated tests of a ground sample."""
    return default_test_sd + test_cv_pct * lot_mean / 100


@working
def table_sd(lot_mean, table_spread_pct):
    """Spread between lots of a kind: the error of a table value."""
    return lot_mean * table_spread_pct / 100


@working
def spot_sd_rdp(spot_sd_cp, lot_mean_rdp, lot_mean_cp):
    """RDP varies with the CP."""
    return spot_sd_cp * lot_mean_rdp / lot_mean_cp


@working
def test_sd_rdp(test_sd_cp, lot_mean_rdp, lot_mean_cp):
    """RDP varies with the CP."""
    return test_sd_cp * lot_mean_rdp / lot_mean_cp


@working
def me_above_mcal_per_kg(lot_mean_tdn):
    """ME at one unit of TDN more."""
    return feed_me_mcal_per_kg(feed_de_mcal_per_kg(lot_mean_tdn + 1))


@working
def nem_per_tdn(me_above_mcal_per_kg, lot_mean_nem):
    """NEm that one unit of TDN more brings."""
    return feed_nem_mcal_per_kg(me_above_mcal_per_kg) - lot_mean_nem


@working
def spot_sd_nem(spot_sd_tdn, nem_per_tdn):
    """NEm varies with the TDN."""
    return spot_sd_tdn * nem_per_tdn


@working
def test_sd_nem(test_sd_tdn, nem_per_tdn):
    """NEm varies with the TDN."""
    return test_sd_tdn * nem_per_tdn


# --- how many
@working
def bags_used(bags):
    """Bags sent by themselves: one unless told."""
    return typed_or(bags, 1.0)


@working
def tests_used(tests_per_bag):
    """Tests of each bag: one unless told."""
    return typed_or(tests_per_bag, 1.0)


@working
def tests_all(bags_used, tests_used):
    """Tests over all bags."""
    return bags_used * tests_used


@working
def margin_cp_used_pct_dm(own_margin_pct_dm, usual_margin_cp_pct_dm):
    """Wanted margin of the CP: one's own, else the setting."""
    return typed_or(own_margin_pct_dm, usual_margin_cp_pct_dm)


@working
def spots_for_cp(spot_sd_cp, test_sd_cp, margin_cp_used_pct_dm, margin_errors, tests_all):
    """Spots that keep the margin of the CP."""
    return spots_wanted_of(spot_sd_cp, test_sd_cp, margin_cp_used_pct_dm, margin_errors, tests_all)


@working
def spots_for_tdn(spot_sd_tdn, test_sd_tdn, usual_margin_tdn_pct_dm, margin_errors, tests_all):
    """Spots that keep the margin of the TDN."""
    return spots_wanted_of(spot_sd_tdn, test_sd_tdn, usual_margin_tdn_pct_dm, margin_errors,
                           tests_all)


@working
def spots_needed(spots_for_cp, spots_for_tdn):
    """Spots that keep both margins."""
    return np.maximum(np.maximum(spots_for_cp, spots_for_tdn), 1)


@working
def spots_of_the_lot(spots_needed, lot_pieces):
    """The same in a lot of so many bales."""
    return spots_of_lot_of(spots_needed, lot_pieces)


@working
def spots_exact(spots_of_the_lot, spots_needed):
    """Spots for the margins, lot counted where its bales are told."""
    return typed_or(spots_of_the_lot, spots_needed)


@working
def spots_by_margin(spots_exact):
    """The same, rounded up."""
    return -np.floor(ROUNDING - spots_exact)


@working
def spots_least(spots_by_margin, least_spots):
    """What the margins ask for; the usual number where no number keeps them."""
    return typed_or(spots_by_margin, least_spots)


@working
def spots_advised(spots_least, least_spots):
    """Never fewer than is usual for this kind of sample."""
    return np.maximum(spots_least, least_spots)


@working
def spots_capped(spots_advised, lot_pieces):
    """One core of each bale at most."""
    return np.minimum(spots_advised, lot_pieces)


@working
def spots_used(own_spots, spots_capped, spots_advised):
    """The user's number; else the advised one, one core of each bale at most."""
    return typed_or(own_spots, typed_or(spots_capped, spots_advised))


@working
def margin_reached(spot_sd, test_sd, spots_used, tests_all, margin_errors):
    """Margin that these spots and tests keep."""
    return margin_errors * sampling_error_pct_dm(spot_sd, 0.0, 0.0, test_sd, spots_used, 1.0,
                                                 tests_all)


@working
def margin_reached_dm(spots_used):
    """Dry matter of the dry matter is certain."""
    return spots_used * 0


@working
def margin_shown_cp(margin_reached_cp):
    """Margin of the CP, for words."""
    return margin_reached_cp * 1


@working
def margin_shown_tdn(margin_reached_tdn):
    """Margin of the TDN, for words."""
    return margin_reached_tdn * 1


@working
def spots_impossible(spots_needed):
    """1 where no number of spots keeps the margins: the tests alone are less sure."""
    return is_missing(spots_needed)


# --- when
@working
def feed_from_used_on(feed_from_on, first_month):
    """First day it is fed or grazed; else the plan's first day."""
    return typed_or(feed_from_on, first_month)


@working
def barn_due_on(timed, outside_no, ready_on):
    """Hay under a roof: 3 to 4 weeks after baling."""
    return only_if((timed == 1) & (outside_no == 1), ready_on + SETTLING_DAYS)


@working
def before_feeding_on(timed, feed_from_used_on):
    """Hay outside, or not known when baled: 3 to 4 weeks before feeding; others when it begins."""
    return feed_from_used_on - np.where(timed == 1, SETTLING_DAYS, 0.0)


@working
def due_on(sample_on, barn_due_on, before_feeding_on):
    """Day to sample: the user's own, else as storage and feeding ask."""
    return typed_or(sample_on, typed_or(barn_due_on, before_feeding_on))


# --- what it costs
@working
def tests_cost_usd(spots_used, bags_used, tests_used, test_usd, mail_usd):
    """Tests and mailing, of a forage whose number of spots is known."""
    each = tests_used * test_usd + mail_usd
    return np.where(spots_used > 0, bags_used * each, 0.0)


@working
def not_testing_usd(table_sd_cp, eaten_short_all_kg, protein_usd, kg_per_weight_unit):
    """Protein fed in vain, or missing, where the table value is off by its usual error."""
    return table_sd_cp / 100 * eaten_short_all_kg * protein_usd / kg_per_weight_unit


@working
def untested(kind_row, samples_used):
    """1 for a forage that no sample stands for."""
    return 1 - np.minimum(samples_used + kind_row * 0, 1)


@working
def untested_tests_usd(tests_cost_usd, untested):
    """Tests that are still to be paid for."""
    return tests_cost_usd * untested


@working
def untested_risk_usd(not_testing_usd, untested):
    """What leaving it untested may cost."""
    return not_testing_usd * untested


@working
def sampling_told_no(forages_untested, samples_to_take, not_tested_usd):
    """0 all tested, 1 samples on their way, 2 and 3 some forage untested; 3: its price known."""
    priced = 2 + (not_tested_usd > 0) * 1
    return np.where(forages_untested > 0, priced, np.minimum(samples_to_take, 1))


@working
def plan_word_no(kind_row, spots_impossible, timed):
    """0 cores within the margins, 1 they cannot be kept, 2 and 3 the same on pasture."""
    return np.where(kind_row > 0, spots_impossible, 0.0) + np.where(timed == 2, 2.0, 0.0)


@working
def taking_no(spots_used, margin_shown_cp, margin_shown_tdn, due_on):
    """0 a number and a day, 1 a number without a day."""
    return is_missing(due_on) + (spots_used + margin_shown_cp + margin_shown_tdn) * 0


@working
def ask_no(suspicion_row):
    """1 where something more is to be asked for."""
    return np.where(suspicion_row > 0, 1.0, 0.0)


@working
def second_suspicion_no(second_suspicion_row):
    """1 where something more is to be asked for."""
    return np.where(second_suspicion_row > 0, 1.0, 0.0)


@working
def label_no(to_take, label_spots):
    """0 a label is wanted, 1 the sample is taken; 2 and 3 the same without a number of spots."""
    return is_missing(to_take) + 2 * is_missing(label_spots)


@working
def label_on(to_take, planned_on):
    """Day to take it."""
    return planned_on * to_take


# --- a sample on its way
@working
def underway_no(sampled_on, sent_on):
    """1 planned, 2 taken, 3 sent."""
    return np.maximum(1 + (1 - is_missing(sampled_on)), SENT * (1 - is_missing(sent_on)))


@working
def sample_status_no(underway_no, received_on, forage_row, to_dm):
    """1 planned, 2 taken, 3 sent, 4 received, 5 used."""
    used = USED * (1 - is_missing(forage_row)) * (1 - is_missing(to_dm))
    return np.maximum(np.maximum(underway_no, RECEIVED * (1 - is_missing(received_on))), used)


@working
def unreported(reported_cp, reported_adf, reported_tdn, reported_no3n):
    """1 where no result is there."""
    return is_missing(reported_cp) * is_missing(reported_adf) * is_missing(reported_tdn) \
        * is_missing(reported_no3n)


@working
def awaited(planned_on, sent_on, received_on, unreported):
    """1 for a sample whose report is still to come, so that nothing is asked of it."""
    on_its_way = 1 - is_missing(planned_on) * is_missing(sent_on)
    return only_if(on_its_way * is_missing(received_on) * unreported > 0, 1.0)


@working
def basis_told(basis_no, awaited):
    """Known where the basis is, or no report is there yet."""
    return typed_or(basis_no, awaited)


@working
def to_dm_told(to_dm, awaited):
    """The same for the factor to dry matter."""
    return typed_or(to_dm, awaited)


@working
def tdn_told(tdn_known, awaited):
    """The same for TDN."""
    return typed_or(tdn_known, awaited)


@working
def sample_spots(spots):
    """Cores or spots in the bag; one where it is not told."""
    return typed_or(spots, 1.0)


@working
def status_flag(sample_status_no, status_step_no):
    """1 where a sample stands at this step."""
    return np.where(sample_status_no == status_step_no, 1.0, 0.0)


@working
def to_take(sample_status_no):
    """1 for a sample that is still to be taken."""
    return only_if(sample_status_no < TAKEN, 1.0)

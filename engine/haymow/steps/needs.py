"""What each group needs and eats in a month."""

import numpy as np

from ..dialect import chosen, only_if, typed_or, working
from ..equations.forage import (
    feed_de_mcal_per_kg,
    feed_me_mcal_per_kg,
    feed_neg_mcal_per_kg,
    tdn_at_nem_pct_dm,
)
from ..equations.intake import (
    calf_density_mcal_per_kg,
    cow_density_mcal_per_kg,
    yearling_density_mcal_per_kg,
)
from ..equations.intake_rules import intake_availability_factor

__all__ = [
    "as_fed_per_dm", "calf_density_first_mcal_per_kg", "computed_ca", "computed_cp",
    "computed_dm", "computed_nem", "computed_p", "computed_rdp", "computed_tdn",
    "cow_density_first_mcal_per_kg", "eaten", "equation_intake_kg_per_day", "fat_pct_dm",
    "gain_energy_mcal_per_day", "good_forage", "hibberd_intake_kg_per_day",
    "intake_after_ndf_kg_per_day", "intake_availability_of_offer", "intake_bound_no",
    "intake_by_class_kg_per_day", "intake_free_no", "intake_kg_per_day",
    "intake_predicted_kg_per_day", "intake_rule_kg_per_day", "intake_rule_no",
    "intake_without_fix_kg_per_day", "known_no", "main_pct", "ndf_cap_used_kg_per_day", "need",
    "need_in_unit", "needed_density_mcal_per_kg", "neg_at_density_mcal_per_kg",
    "nem_first_mcal_per_day", "nem_in_comfort_mcal_per_day", "nem_walking_10_mcal_per_day",
    "nem_walking_25_mcal_per_day", "nem_with_gain_mcal_per_day", "nem_without_gain_mcal_per_day",
    "offer_cap_kg_per_day", "offer_used_factor", "oklahoma_intake_kg_per_day", "own_need_si",
    "pens_intake_kg_per_day", "put_out_dm_kg_per_day", "put_out_no", "ration_kg_per_day",
    "second_pct_used", "tdn_eaten_kg_per_day", "tdn_of_density_pct_dm", "third_pct_used",
    "weather_intake_factor", "weather_intake_pct", "yearling_density_first_mcal_per_kg",
]

NO_LIMIT = 9999.0  # kg/day
GOOD_PASTURE_PCT, WIDE_RANGE_PCT = 10.0, 25.0  # for walking: usual settings (from memory)
LEAST_NEG = 0.05  # Mcal/kg; poorer feed brings no gain, and the need would have no end


@working
def second_pct_used(second_pct, second_no, main_no):
    """Part of the second forage; asked where one is named."""
    return typed_or(second_pct, only_if(second_no == main_no, 0.0))


@working
def third_pct_used(third_pct, third_no, main_no):
    """Part of the third forage; asked where one is named."""
    return typed_or(third_pct, only_if(third_no == main_no, 0.0))


@working
def main_pct(second_pct_used, third_pct_used):
    """The main forage takes the rest."""
    return 100 - second_pct_used - third_pct_used


@working
def eaten(main_pct, second_pct_used, third_pct_used, main_part, second_part, third_part):
    """Content of the mix of forages that is eaten."""
    return (main_pct * main_part + second_pct_used * second_part
            + third_pct_used * third_part) / 100


@working
def as_fed_per_dm(main_pct, second_pct_used, third_pct_used, main_dm, second_dm, third_dm):
    """As-fed amount of the mix for one part of its dry matter."""
    return main_pct / main_dm + second_pct_used / second_dm + third_pct_used / third_dm


@working
def put_out_dm_kg_per_day(put_out_kg_per_day, as_fed_per_dm):
    """Dry matter of the forage put out."""
    return put_out_kg_per_day / as_fed_per_dm


@working
def own_need_si(own_need, si_per_shown):
    """The user's own need in the engine's unit."""
    return own_need * si_per_shown


@working
def intake_by_class_kg_per_day(shrunk_weight_kg, class_intake_pct_bw):
    """Intake by forage class."""
    return shrunk_weight_kg * class_intake_pct_bw / 100


@working
def equation_intake_kg_per_day(intake_form, cow_intake_kg_per_day, calf_intake_kg_per_day,
                               yearling_intake_kg_per_day):
    """Intake by the energy equation of this kind of animal."""
    return chosen(intake_form, cow_intake_kg_per_day, calf_intake_kg_per_day,
                  yearling_intake_kg_per_day)


@working
def good_forage(tdn_pct_dm, good_forage_tdn_pct):
    """1 for forage as good as alfalfa, silage or green pasture."""
    return np.where(tdn_pct_dm >= good_forage_tdn_pct, 1.0, 0.0)


@working
def hibberd_intake_kg_per_day(shrunk_weight_kg, hibberd_thrift_intake_pct_bw):
    """Intake by the higher class table."""
    return shrunk_weight_kg * hibberd_thrift_intake_pct_bw / 100


@working
def oklahoma_intake_kg_per_day(shrunk_weight_kg, oklahoma_intake_pct_bw):
    """Intake by the protein of the forage."""
    return shrunk_weight_kg * oklahoma_intake_pct_bw / 100


@working
def pens_intake_kg_per_day(cow_intake_kg_per_day, pen_intake_factor):
    """The cow equation as it ran in pens."""
    return cow_intake_kg_per_day * pen_intake_factor


@working
def intake_free_no(intake_rule, by_class):
    """Rule in use: as the setting says for cows, the energy equation for growing cattle."""
    return np.where(by_class > 0, intake_rule, 2.0)


@working
def intake_rule_kg_per_day(intake_free_no, intake_by_class_kg_per_day,
                           equation_intake_kg_per_day, hibberd_intake_kg_per_day,
                           oklahoma_intake_kg_per_day, pens_intake_kg_per_day):
    """Intake by the rule in use."""
    return chosen(intake_free_no, intake_by_class_kg_per_day, equation_intake_kg_per_day,
                  hibberd_intake_kg_per_day, oklahoma_intake_kg_per_day, pens_intake_kg_per_day)


@working
def weather_intake_factor(mud_used_factor, temperature_used_factor):
    """What mud and temperature do to intake."""
    return mud_used_factor * temperature_used_factor


@working
def weather_intake_pct(weather_intake_factor):
    """The same in percent."""
    return weather_intake_factor * 100


@working
def intake_predicted_kg_per_day(intake_rule_kg_per_day, weather_intake_factor):
    """Predicted intake in this weather."""
    return intake_rule_kg_per_day * weather_intake_factor


@working
def intake_availability_of_offer(on_offer_kg_per_ha):
    """Intake where little forage stands."""
    return intake_availability_factor(on_offer_kg_per_ha)


@working
def offer_used_factor(offer_factor):
    """The same; 1 where nothing is said of the forage on offer."""
    return typed_or(offer_factor, 1.0)


@working
def offer_cap_kg_per_day(intake_predicted_kg_per_day, offer_used_factor):
    """Intake the forage on offer allows."""
    return intake_predicted_kg_per_day * offer_used_factor


@working
def intake_without_fix_kg_per_day(intake_after_ndf_kg_per_day, intake_protein_factor):
    """Intake while the forage's shortage of protein is not fixed."""
    return intake_after_ndf_kg_per_day * intake_protein_factor


@working
def ndf_cap_used_kg_per_day(ndf_cap_kg_per_day):
    """Limit by fiber; none where NDF is not known."""
    return typed_or(ndf_cap_kg_per_day, NO_LIMIT)


@working
def intake_after_ndf_kg_per_day(offer_cap_kg_per_day, ndf_cap_used_kg_per_day):
    """Predicted intake under the limits of fiber and of the forage on offer."""
    return np.minimum(offer_cap_kg_per_day, ndf_cap_used_kg_per_day)


@working
def ration_kg_per_day(put_out_dm_kg_per_day, intake_after_ndf_kg_per_day):
    """What is eaten of the forage put out: not more than she can."""
    return np.minimum(put_out_dm_kg_per_day, intake_after_ndf_kg_per_day)


@working
def intake_kg_per_day(known_intake_kg_per_day, ration_kg_per_day, intake_after_ndf_kg_per_day):
    """Forage eaten: known amount, else what is put out, else predicted."""
    return typed_or(known_intake_kg_per_day,
                    typed_or(ration_kg_per_day, intake_after_ndf_kg_per_day))


@working
def intake_bound_no(offer_cap_kg_per_day, ndf_cap_used_kg_per_day, offer_used_factor,
                    intake_free_no):
    """1 to 5 the rule in use, 6 fiber, 7 forage on offer."""
    fiber = ndf_cap_used_kg_per_day < offer_cap_kg_per_day
    return np.where(fiber | (offer_used_factor < 1), 7.0 - fiber, intake_free_no)


@working
def known_no(known_intake_kg_per_day):
    """9 where the intake is known."""
    return np.where(known_intake_kg_per_day >= 0, 9.0, 9.0)


@working
def intake_rule_no(known_no, put_out_no, intake_bound_no):
    """Which rule binds: 1 to 7 as above, 8 the amount put out, 9 the known amount."""
    return typed_or(known_no, typed_or(put_out_no, intake_bound_no))


@working
def put_out_no(put_out_dm_kg_per_day, intake_after_ndf_kg_per_day, intake_bound_no):
    """8 where the amount put out is less than she would eat."""
    return np.where(put_out_dm_kg_per_day < intake_after_ndf_kg_per_day, 8.0, intake_bound_no)


@working
def nem_without_gain_mcal_per_day(nem_in_comfort_mcal_per_day, cold_nem_mcal_per_day):
    """NEm without gain, weather counted."""
    return nem_in_comfort_mcal_per_day + cold_nem_mcal_per_day


@working
def nem_in_comfort_mcal_per_day(maintenance_nem_mcal_per_day, activity_pct,
                                pregnancy_nem_mcal_per_day, lactation_nem_mcal_per_day):
    """NEm of maintenance, walking, pregnancy and milk."""
    return (maintenance_nem_mcal_per_day * (1 + activity_pct / 100) + pregnancy_nem_mcal_per_day
            + lactation_nem_mcal_per_day)


@working
def nem_first_mcal_per_day(nem_without_gain_mcal_per_day, retained_energy_mcal_per_day,
                           gain_nem_per_neg):
    """The need with gain charged at a usual feed: it finds the density she needs."""
    return nem_without_gain_mcal_per_day + retained_energy_mcal_per_day * gain_nem_per_neg


@working
def needed_density_mcal_per_kg(intake_form, cow_density_mcal_per_kg, calf_density_mcal_per_kg,
                               yearling_density_mcal_per_kg):
    """NEm of the diet at which this kind of animal would just eat its need."""
    return chosen(intake_form, cow_density_mcal_per_kg, calf_density_mcal_per_kg,
                  yearling_density_mcal_per_kg)


@working
def neg_at_density_mcal_per_kg(tdn_at_density_pct_dm):
    """NEg of that diet."""
    de = feed_de_mcal_per_kg(tdn_at_density_pct_dm)
    return feed_neg_mcal_per_kg(feed_me_mcal_per_kg(de))


@working
def gain_energy_mcal_per_day(retained_energy_mcal_per_day, needed_density_mcal_per_kg,
                             neg_at_density_mcal_per_kg):
    """Energy of gain as NEm, at the diet that carries the need."""
    return (retained_energy_mcal_per_day * needed_density_mcal_per_kg
            / np.maximum(neg_at_density_mcal_per_kg, LEAST_NEG))


@working
def computed_dm(known_intake_kg_per_day, intake_after_ndf_kg_per_day):
    """Dry matter she would eat; a known intake is what she eats."""
    return typed_or(known_intake_kg_per_day, intake_after_ndf_kg_per_day)


@working
def fat_pct_dm(forage_fat_pct_dm, usual_fat_pct):
    """Fat of the forage; a usual value where none was tested."""
    return typed_or(forage_fat_pct_dm, usual_fat_pct)


@working
def tdn_eaten_kg_per_day(intake_kg_per_day, tdn_pct_dm):
    """TDN that is eaten with the forage."""
    return intake_kg_per_day * tdn_pct_dm / 100


@working
def computed_rdp(microbial_cp_g_per_day):
    """Rumen-degradable protein: what the microbes can make of the energy."""
    return microbial_cp_g_per_day / 1000


@working
def computed_cp(cp_need_kg_per_day):
    """Crude protein."""
    return cp_need_kg_per_day * 1


@working
def computed_tdn(tdn_need_kg_per_day):
    """TDN."""
    return tdn_need_kg_per_day * 1


@working
def nem_with_gain_mcal_per_day(nem_without_gain_mcal_per_day, gain_energy_mcal_per_day):
    """NEm of all she does."""
    return nem_without_gain_mcal_per_day + gain_energy_mcal_per_day


@working
def nem_walking_10_mcal_per_day(nem_need_mcal_per_day, maintenance_nem_mcal_per_day,
                                activity_pct):
    """What the need would be with 10 % for walking: to be seen, not used."""
    more = (GOOD_PASTURE_PCT - activity_pct) / 100
    return nem_need_mcal_per_day + maintenance_nem_mcal_per_day * more


@working
def nem_walking_25_mcal_per_day(nem_need_mcal_per_day, maintenance_nem_mcal_per_day,
                                activity_pct):
    """What the need would be with 25 % for walking: to be seen, not used."""
    more = (WIDE_RANGE_PCT - activity_pct) / 100
    return nem_need_mcal_per_day + maintenance_nem_mcal_per_day * more


@working
def computed_nem(nem_need_mcal_per_day):
    """NEm."""
    return nem_need_mcal_per_day * 1


@working
def computed_ca(ca_need_g_per_day):
    """Calcium."""
    return ca_need_g_per_day * 1


@working
def computed_p(p_need_g_per_day):
    """Phosphorus."""
    return p_need_g_per_day * 1


@working
def need_in_unit(need, si_per_shown):
    """Need in the workbook's unit."""
    return need / si_per_shown


@working
def cow_density_first_mcal_per_kg(metabolic_weight_kg, pregnant_share, milk_kg_per_day,
                                  nem_first_mcal_per_day):
    """Diet NEm that carries a cow's need."""
    return cow_density_mcal_per_kg(metabolic_weight_kg, pregnant_share, milk_kg_per_day,
                                   nem_first_mcal_per_day)


@working
def calf_density_first_mcal_per_kg(metabolic_weight_kg, nem_first_mcal_per_day):
    """Diet NEm that carries a calf's need."""
    return calf_density_mcal_per_kg(metabolic_weight_kg, nem_first_mcal_per_day)


@working
def yearling_density_first_mcal_per_kg(metabolic_weight_kg, nem_first_mcal_per_day):
    """Diet NEm that carries a yearling's need."""
    return yearling_density_mcal_per_kg(metabolic_weight_kg, nem_first_mcal_per_day)


@working
def tdn_of_density_pct_dm(needed_density_mcal_per_kg):
    """TDN of that diet."""
    return tdn_at_nem_pct_dm(needed_density_mcal_per_kg)


@working
def need(own_need_si, computed):
    """The user's own need, else the computed one."""
    return typed_or(own_need_si, computed)

"""Needs: what each group needs and eats in each month."""

from __future__ import annotations

from .book import Table
from .kinds import Calc, Link, Pull, Say
from .shorthand import calcs, group_link, group_name, keys, month_name, pulls, row_key, shown

__all__ = ["needs"]

RULES = ("", "forage class", "energy equation", "forage class, higher table", "class by protein",
         "energy equation x pens", "fiber (NDF)", "forage on offer", "amount put out",
         "known intake")


def needs() -> Table:
    """What each group needs and eats in each month."""
    return Table("Needs", ("group", "month"), (
        row_key(), *keys("group", "month"), group_name(), month_name(),
        *shown("intake_kg_per_day"),
        Say(name="rule", by="intake_rule_no", label="Set by", front=True, used="class_row",
            sentences=RULES),
        Calc(name="need_in_unit", over="nutrient", measure="daily", label="Need", front=True),
        *shown("intake_without_fix_kg_per_day intake_by_class_kg_per_day"
               " equation_intake_kg_per_day"),
        Calc(name="nem_walking_10_mcal_per_day", front=True),
        Calc(name="nem_walking_25_mcal_per_day", front=True),
        Calc(name="weather_intake_pct", front=True),
        Calc(name="cold_used_pct", front=True),
        *shown("milk_kg_per_day shrunk_weight_kg"),
        group_link(),
        Pull(name="class_row", via="herd_row", of="class_row", label="Row of the class"),
        Link(name="diet_row", to="Diet", on=("group_no", "month_no"), label="Row on Diet"),
        *pulls("month_no", "first_day days mid_day"),
        *pulls("herd_row", "breeds first_calf sex_factor lactation_maintenance intake_form"
                           " by_class calving_used_on herd_weight_kg gain_used_kg_per_day"),
        Pull(name="birth_weight_kg", via="herd_row", of="birth_weight_used_kg"),
        Pull(name="peak_milk_kg_per_day", via="herd_row", of="own_peak_kg_per_day"),
        Pull(name="weaned_after_days", via="herd_row", of="weaned_used_days"),
        Pull(name="breed_factor", via="herd_row", of="breed_factor_used"),
        Pull(name="final_weight_kg", via="herd_row", of="mature_weight_used_kg"),
        *[Pull(name=name, via="diet_row", of="eaten", member=member) for name, member in (
            ("tdn_pct_dm", "tdn"), ("diet_nem_mcal_per_kg", "nem"), ("ndf_pct_dm", "ndf"),
            ("cp_pct_dm", "cp"), ("forage_fat_pct_dm", "fat"))],
        *pulls("diet_row", "known_intake_kg_per_day put_out_dm_kg_per_day on_offer_kg_per_ha"),
        *pulls("month_no", "cold_energy_pct heat_used_factor mud_used_factor"
                           " temperature_used_factor"),
        Calc(name="shrunk_weight_kg", by="month_weight_kg"),
        *calcs("metabolic_weight_kg cycle_day has_calved"),
        Calc(name="lactating_share", by="own_lactating_share"),
        *calcs("gestation_day_first gestation_day_last pregnant_share last_90_days_share"),
        Calc(name="milk_kg_per_day", by="own_milk_kg_per_day"),
        *calcs("milk_energy_mcal_per_kg lactation_nem_mcal_per_day lactation_factor"
               " maintenance_nem_mcal_per_day"),
        Calc(name="pregnancy_nem_mcal_per_day", by="pregnancy_nem_month_mcal_per_day"),
        Calc(name="nem_in_comfort_mcal_per_day"),
        Calc(name="cold_used_pct_of_need", by="cold_share_pct", quantity="cold_energy_pct",
             may_be_blank=("cold_energy_pct",)),
        Calc(name="cold_nem_mcal_per_day", by="own_cold_nem_mcal_per_day"),
        Calc(name="nem_without_gain_mcal_per_day"),
        Pull(name="shrunk_gain_kg_per_day", via="herd_row", of="gain_used_kg_per_day"),
        *calcs("equivalent_weight_kg retained_energy_mcal_per_day nem_first_mcal_per_day"),
        *[Calc(name=f"{form}_density_mcal_per_kg", by=f"{form}_density_first_mcal_per_kg")
          for form in ("cow", "calf", "yearling")],
        *calcs("needed_density_mcal_per_kg"),
        Calc(name="tdn_at_density_pct_dm", by="tdn_of_density_pct_dm"),
        *calcs("neg_at_density_mcal_per_kg gain_energy_mcal_per_day"),
        Calc(name="nem_need_mcal_per_day", by="nem_with_gain_mcal_per_day"),
        Calc(name="tdn_need_kg_per_day"),
        *calcs("maintenance_mp_g_per_day"),
        Calc(name="pregnancy_mp_g_per_day", by="pregnancy_mp_month_g_per_day"),
        *calcs("lactation_mp_g_per_day gain_net_protein_g_per_day gain_mp_g_per_day"
               " mp_need_g_per_day cp_need_kg_per_day ca_need_g_per_day p_need_g_per_day"),
        *calcs("class_intake_pct_bw intake_by_class_kg_per_day hibberd_thrift_intake_pct_bw"
               " good_forage oklahoma_intake_pct_bw pen_intake_factor cow_intake_kg_per_day"
               " calf_intake_kg_per_day yearling_intake_kg_per_day equation_intake_kg_per_day"
               " hibberd_intake_kg_per_day oklahoma_intake_kg_per_day pens_intake_kg_per_day"
               " intake_free_no"),
        Calc(name="intake_rule_kg_per_day", may_be_blank=(
            "intake_by_class_kg_per_day", "equation_intake_kg_per_day",
            "hibberd_intake_kg_per_day", "oklahoma_intake_kg_per_day",
            "pens_intake_kg_per_day")),
        *calcs("weather_intake_factor intake_predicted_kg_per_day ndf_cap_kg_per_day"),
        Calc(name="ndf_cap_used_kg_per_day", may_be_blank=("ndf_cap_kg_per_day",)),
        Calc(name="offer_factor", by="intake_availability_of_offer"),
        Calc(name="offer_used_factor", may_be_blank=("offer_factor",)),
        *calcs("offer_cap_kg_per_day intake_after_ndf_kg_per_day intake_bound_no"
               " ration_kg_per_day put_out_no known_no tdn_per_cp intake_protein_factor"
               " intake_without_fix_kg_per_day"),
        Calc(name="intake_rule_no", may_be_blank=("known_no", "put_out_no", "intake_bound_no")),
        Calc(name="intake_kg_per_day", may_be_blank=(
            "known_intake_kg_per_day", "ration_kg_per_day", "intake_after_ndf_kg_per_day")),
        Calc(name="fat_pct_dm", may_be_blank=("forage_fat_pct_dm",)),
        Pull(name="forage_s_pct_dm", via="diet_row", of="eaten", member="s"),
        Pull(name="water_s_g_per_day", via="row_no", of="water_brings", member="s",
             into="Minerals"),
        Calc(name="fat_room_pct_dm"),
        Calc(name="sulfur_room_pct_dm", may_be_blank=("forage_s_pct_dm", "water_s_g_per_day")),
        *calcs("tdn_eaten_kg_per_day microbial_cp_13_g_per_day microbial_cp_10_g_per_day"
               " microbial_cp_2016_g_per_day microbial_cp_g_per_day"),
        Calc(name="computed", over="nutrient", label="Computed need",
             may_be_blank=("known_intake_kg_per_day", "intake_after_ndf_kg_per_day")),
        Pull(name="own_need_si", via="diet_row", of="own_need_si", over="nutrient", inline=True),
        Calc(name="need", over="nutrient", label="Need",
             may_be_blank=("own_need_si", "computed")),
    ), purpose="What each group needs and eats, per head and day, mean of the month.")



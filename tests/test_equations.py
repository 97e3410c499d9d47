"""The handbook's own promises: inverses invert, month means are means, everything is explained."""

import numpy as np
import pytest
from scipy.integrate import quad

from haymow.dialect import EQUATIONS, Node, parameters
from haymow.equations.condition import (
    body_energy_change_mcal,
    body_energy_mcal,
    condition_at_energy,
    condition_change_days,
    score_energy_mcal,
)
from haymow.equations.energy import milk_kg_per_day, pregnancy_nem_mcal_per_day
from haymow.equations.forage import (
    feed_de_mcal_per_kg,
    feed_me_mcal_per_kg,
    feed_nem_mcal_per_kg,
    tdn_at_nem_pct_dm,
)
from haymow.equations.growth import (
    energy_for_gain_mcal_per_day,
    gain_dm_kg_per_day,
    gain_from_diet_kg_per_day,
    retained_energy_mcal_per_day,
    shrunk_gain_kg_per_day,
)
from haymow.equations.intake import (
    calf_density_mcal_per_kg,
    calf_intake_kg_per_day,
    cow_density_mcal_per_kg,
    cow_intake_kg_per_day,
    yearling_density_mcal_per_kg,
    yearling_intake_kg_per_day,
)
from haymow.equations.months import (
    gestation_day_first,
    gestation_day_last,
    lactating_share,
    last_90_days_share,
    milk_month_kg_per_day,
    pregnancy_mp_month_g_per_day,
    pregnancy_nem_month_mcal_per_day,
    pregnant_share,
)
from haymow.equations.nitrate import (
    kno3_ppm_dm,
    nitrate_ppm_dm,
    no3n_from_kno3_ppm_dm,
    no3n_from_nitrate_ppm_dm,
)
from haymow.equations.protein import pregnancy_mp_g_per_day
from haymow.equations.supply import (
    intake_protein_factor,
    microbial_made_g_per_day,
    rup_need_g_per_day,
)
from haymow.equations.weather import wind_chill_f
from haymow.quantities import glossary
from recipes import data

YEAR, WEANED, PEAK, CALF = 365.25, 205.0, 9.0, 38.0
MONTHS = [(start, days) for start in np.arange(0, 365.25, 7.3) for days in (5.0, 28.0, 31.0)]
ALL = sorted((e for e in EQUATIONS.values()
              if e.function.__module__.startswith("haymow.equations.")),
             key=lambda e: e.name)


@pytest.mark.parametrize("equation", ALL, ids=lambda e: e.name)
def test_every_equation_and_parameter_has_a_glossary_line_and_a_source(equation):
    missing = {equation.name, *parameters(equation.function)} - set(glossary())
    assert not missing
    assert equation.source in {row["key"] for row in data("sources")}
    assert equation.where


@pytest.mark.parametrize("name", [
    "breeds", "coats", "forage_kinds", "hay_classes", "mineral_levels", "nitrate_classes",
    "table_feeds", "table_forages", "targets", "water_classes",
])
def test_every_packaged_number_names_its_source_and_whether_it_was_read(name):
    known = {row["key"] for row in data("sources")}
    for row in data(name):
        assert {row[key] for key in row if key.endswith("source") and row[key]} <= known
        assert all(row[key] in ("yes", "no", "partly", "") for key in row if key.endswith("seen"))


def test_no_mineral_level_asks_for_more_than_its_limit():
    for row in data("mineral_levels"):
        needs = [float(row[f"need_{kind}"] or 0) for kind in ("growing", "gestating", "lactating")]
        assert all(need < float(row["most_used"] or "inf") for need in needs), row["nutrient"]


@pytest.mark.parametrize("equation", ALL, ids=lambda e: e.name)
def test_every_equation_can_be_traced_into_a_formula(equation):
    given = [Node(name) for name in parameters(equation.function)]
    assert isinstance(equation(*given), Node)


def nem_of_tdn(tdn):
    return feed_nem_mcal_per_kg(feed_me_mcal_per_kg(feed_de_mcal_per_kg(tdn)))


def test_tdn_comes_back_from_its_nem():
    tdn = np.linspace(30, 95, 1301)
    assert tdn_at_nem_pct_dm(nem_of_tdn(tdn)) == pytest.approx(tdn, abs=1e-9)


def test_gain_comes_back_from_its_retained_energy():
    gain = np.linspace(0, 1.8, 19)
    energy = retained_energy_mcal_per_day(300.0, gain)
    assert shrunk_gain_kg_per_day(energy, 300.0) == pytest.approx(gain, abs=1e-12)


@pytest.mark.parametrize(("pregnant", "milk"), [(0, 0), (1, 0), (0.4, 3), (1, 14)])
def test_a_cow_on_the_needed_diet_eats_exactly_her_need(pregnant, milk):
    weight, need = 110.0, np.linspace(11, 20, 10)
    nem = cow_density_mcal_per_kg(weight, pregnant, milk, need)
    eaten = cow_intake_kg_per_day(weight, nem, pregnant, milk) * nem
    assert eaten[nem > 0.95] == pytest.approx(need[nem > 0.95], rel=1e-12)
    assert (nem > 0.95).sum() > 4


@pytest.mark.parametrize(("density", "intake"), [
    (calf_density_mcal_per_kg, calf_intake_kg_per_day),
    (yearling_density_mcal_per_kg, yearling_intake_kg_per_day),
])
def test_growing_cattle_on_the_needed_diet_eat_exactly_their_need(density, intake):
    need = np.linspace(7, 11, 9)
    nem = density(60.0, need)
    assert intake(60.0, nem) * nem == pytest.approx(need, rel=1e-12)
    assert (nem < 2.2).all()


def test_a_need_beyond_any_diet_gives_the_richest_useful_diet():
    assert float(calf_density_mcal_per_kg(60.0, 1000.0)) == pytest.approx(0.2435 / (2 * 0.0466))


def mean_by_day(point, start, days):
    """Mean of a point equation over a month, by integration in time since the last calving."""
    calvings = [c for c in (0.0, YEAR) if start < c < start + days]
    weanings = [w for w in (WEANED, YEAR - 283) if start < w < start + days]
    return quad(point, start, start + days, points=sorted(calvings + weanings), limit=200)[0] / days


def pregnant_day(day):
    """Day of gestation on a day of the cycle; the conceptus of the next year is not there yet."""
    return day - (YEAR - 283) if YEAR - 283 <= day < YEAR else None


def in_gestation(start, days):
    first = gestation_day_first(start, YEAR)
    return first, gestation_day_last(first, days), days


@pytest.mark.parametrize(("month", "point", "within"), [
    (pregnancy_nem_month_mcal_per_day, pregnancy_nem_mcal_per_day, 3e-4),
    (pregnancy_mp_month_g_per_day, pregnancy_mp_g_per_day, 1e-3),
])
def test_month_mean_of_pregnancy_is_the_mean_of_its_days(month, point, within):
    for start, days in MONTHS:
        def by_day(day):
            t = pregnant_day(day)
            return 0.0 if t is None else float(point(t, CALF))
        mean = float(month(*in_gestation(start, days), CALF, 1))
        assert mean == pytest.approx(mean_by_day(by_day, start, days), rel=within, abs=1e-6)


def milk_on(day):
    day = day - YEAR if day >= YEAR else day
    return float(milk_kg_per_day(day / 7, PEAK)) if day < WEANED else 0.0


def test_month_mean_of_milk_is_the_mean_of_its_days_across_weaning_and_calving():
    for start, days in MONTHS:
        mean = float(milk_month_kg_per_day(start, days, YEAR, WEANED, PEAK, 1))
        assert mean == pytest.approx(mean_by_day(milk_on, start, days), rel=1e-6, abs=1e-9)


@pytest.mark.parametrize(("share", "holds"), [
    (lambda s, d: lactating_share(s, d, YEAR, WEANED, 1), lambda d: d % YEAR < WEANED),
    (lambda s, d: pregnant_share(*in_gestation(s, d), 1), lambda d: pregnant_day(d) is not None),
    (lambda s, d: last_90_days_share(*in_gestation(s, d), 1),
     lambda d: (pregnant_day(d) or 0) > 193),
], ids=["in milk", "pregnant", "last 90 days"])
def test_shares_of_a_month_are_counted_in_days(share, holds):
    for start, days in MONTHS:
        counted = np.mean([holds(d) for d in np.arange(start + 0.005, start + days, 0.01)])
        assert float(share(start, days)) == pytest.approx(counted, abs=0.005)


def test_a_class_that_does_not_breed_has_no_calf_and_no_milk():
    assert float(pregnancy_nem_month_mcal_per_day(200, 230, 30, CALF, 0)) == 0
    assert float(milk_month_kg_per_day(20, 30, YEAR, WEANED, PEAK, 0)) == 0


def test_a_cow_kept_at_her_need_keeps_her_score_and_one_kept_short_loses_it():
    held = body_energy_mcal(500.0, 5.0)
    surplus = np.array([0.0, 2.0, -2.0])
    after = condition_at_energy(held + body_energy_change_mcal(surplus, 90.0), 500.0)
    assert after[0] == pytest.approx(5.0, abs=1e-12)
    assert after[1] > 5.5 and after[2] < 4.3  # 90 days of 2 Mcal are most of the 207 of a score
    assert after[1] - 5 < 5 - after[2]  # what is lost stands for less feed than it took


def test_days_to_regain_a_score_bring_exactly_that_score():
    wanted = score_energy_mcal(500.0, 4.0, 5.0)
    days = condition_change_days(wanted, 1.7)
    gained = body_energy_change_mcal(1.7, days)
    after = condition_at_energy(body_energy_mcal(500.0, 4.0) + gained, 500.0)
    assert after == pytest.approx(5.0, abs=1e-9)
    assert condition_change_days(wanted, -1.0) < 0, "short of energy, she never gets there"


def test_wind_never_warms_and_the_table_holds_on_at_its_edges():
    air, wind = np.meshgrid(np.linspace(-40.0, 80.0, 61), np.linspace(0.0, 60.0, 61))
    felt = wind_chill_f(air, wind)
    assert (felt <= air).all()
    assert (np.diff(felt, axis=0) <= 1e-9).all(), "more wind is never warmer"
    assert float(wind_chill_f(-40.0, 60.0)) == -40 - 36


def test_a_diet_below_maintenance_makes_no_gain():
    left = gain_dm_kg_per_day(4.0, 5.0)
    energy = energy_for_gain_mcal_per_day(left, 0.5)
    assert float(gain_from_diet_kg_per_day(energy, 300.0)) == 0
    assert float(energy_for_gain_mcal_per_day(3.0, -0.2)) == 0, "NEg below zero"


def test_the_three_forms_of_nitrate_come_back_to_the_same_nitrogen():
    nitrogen = np.linspace(0, 5000, 11)
    assert no3n_from_nitrate_ppm_dm(nitrate_ppm_dm(nitrogen)) == pytest.approx(nitrogen)
    assert no3n_from_kno3_ppm_dm(kno3_ppm_dm(nitrogen)) == pytest.approx(nitrogen)


def test_degradable_protein_short_of_energy_limits_the_microbes():
    assert float(microbial_made_g_per_day(500.0, 300.0)) == 300
    assert float(rup_need_g_per_day(300.0, 500.0, 80.0)) == 0, "microbes alone are enough"


def test_forage_short_of_protein_lowers_intake_only_where_energy_is_left_over():
    cp = np.array([5.0, 6.0, 7.0, 8.0, 12.0])
    assert list(intake_protein_factor(cp, 9.0)) == [0.75, 0.75, 0.875, 1.0, 1.0]
    assert (intake_protein_factor(cp, 6.0) == 1).all()

"""Safety: each hazard made real on a ranch, and the sentence, the advice and the doubt a user sees.

Limits are of the publications named beside them (keys of the bibliography); amounts by hand.
"""

from __future__ import annotations

import datetime as dt

import pytest

from haymow.evaluate import Values
from haymow.plan import plan
from haymow.ranch import Ranch, sizes_for
from haymow.tables.make import make
from haymow.tables.safety import HAZARDS, ROWS

FIRST, LAST = dt.date(2026, 12, 1), dt.date(2027, 11, 30)
BEFORE = dt.date(2026, 10, 1)
WATER = {"water_sulfate_ppm": 100, "water_tds_ppm": 500, "water_no3n_ppm": 5}
TESTED = {  # a sound hay, everything tested
    "reported.dm": 90, "reported.cp": 8, "reported.tdn": 55, "reported.ndf": 58,
    "reported.ca": 0.5, "reported.p": 0.2, "reported.mg": 0.25, "reported.k": 1.2,
    "reported.na": 0.05, "reported.s": 0.15, "reported.co": 0.2, "reported.cu": 12,
    "reported.i": 0.6, "reported.fe": 100, "reported.mn": 50, "reported.mo": 0.5,
    "reported.se": 0.12, "reported.zn": 35, "reported.vita": 3000, "reported.fat": 2.5,
    "reported.no3n": 300}
TAG = {  # a feed whose tag tells all
    "purpose": "CP", "price": 400, "basis": "dry matter", "reported.dm": 90, "reported.cp": 30,
    "reported.tdn": 75, "reported.ca": 0.4, "reported.p": 0.4, "reported.mg": 0.3,
    "reported.k": 1, "reported.na": 0.1, "reported.s": 0.3, "reported.co": 0.2,
    "reported.cu": 10, "reported.i": 0.2, "reported.fe": 100, "reported.mn": 40,
    "reported.mo": 0.5, "reported.se": 0.2, "reported.zn": 40, "reported.vita": 0,
    "reported.fat": 3, "reported.no3n": 0, "npn_pct_of_cp": 0, "starch_pct_dm": 0}
MINERAL = {"product": "Mineral", "purpose": "P", "label_intake": 0.25,
           **{name: 0 for name in TAG if name.startswith("reported.")},
           "basis": "dry matter", "price": 900, "reported.dm": 100, "reported.ca": 12,
           "reported.p": 6, "reported.mg": 2, "reported.cu": 800, "reported.se": 20,
           "reported.na": 6, "reported.vita": 300000}


def ranch(hay=None, feeds=(), herd=None, diet=None, settings=None, lines=None, others=None):
    """Ten open cows of 1,200 lb from December on 24 lb of hay, tested through and through."""
    entries = {
        "Forages": {1: {"forage": "Hay", "kind": "other"},
                    **{row: {"forage": f"Other {row}", "kind": "other"}
                       for row in (others or {})}},
        "Samples": {1: {"sample_id": "1", "forage": "Hay", "basis": "dry matter",
                        "nitrate_form": "NO3-N", **TESTED, **(hay or {})},
                    **{row: {"sample_id": str(row), "forage": f"Other {row}",
                             "basis": "dry matter", "nitrate_form": "NO3-N", **TESTED, **cells}
                       for row, cells in (others or {}).items()}},
        "Herd": {1: {"group": "Cows", "class_name": "open cow", "head": 10, "weight": 1200,
                     "weighed_shrunk": "yes", "usual_forage": "Hay", **(herd or {})}},
        "Diet": {row: {"known_intake": 24, **(diet or {})} for row in range(1, 13)},
        "Supplements": {row: {"product": f"Feed {row}", **TAG, **feed}
                        for row, feed in enumerate(feeds, 2)},
        "Plan": {row: {"product": {**{"product": f"Feed {row + 1}"}, **feed}["product"],
                       "from_on": FIRST, "to_on": LAST, "own_amount": 2,
                       **((lines or {}).get(row, {}))}
                 for row, feed in enumerate(feeds, 1)},
    }
    typed = {"first_month": FIRST, **WATER, **(settings or {})}
    return Ranch(entries, {name: v for name, v in typed.items() if v is not None},
                 sizes_for(entries))


def seen(typed, hazard, month=1):
    """Severity and sentence of a hazard in a month of the plan."""
    values = Values(make(typed), typed)
    state = values.column("Safety", "state", hazard)[month - 1]
    return {0: "", 1: "ok", 2: "not known", 3: "look", 4: "hazard"}[int(state)], \
        values.column("Safety", f"{hazard}_words")[month - 1] or ""


def column(typed, name, month=1):
    return Values(make(typed), typed).column("Safety", name)[month - 1]


# --- nothing wrong, and nothing known
def test_a_diet_tested_through_and_through_is_ok_in_every_hazard():
    typed = ranch(feeds=[MINERAL], lines={1: {"mode": "by its own intake", "own_amount": None}})
    assert {hazard: seen(typed, hazard)[0] for hazard in HAZARDS} == {
        **dict.fromkeys(HAZARDS, "ok"), "urea": "", "rawbeans": "", "sheep": "", "gossypol": "",
        "suspected": ""}
    assert column(typed, "worst") == "ok"
    assert column(typed, "do_words") is None


UNTESTED = {  # hazard -> the analyte without which it cannot be judged, on the hay's report
    "nitrate": "no3n", "sulfur": "s", "copper": "cu", "selenium": "se", "salt": "na",
    "excess": "zn", "tetany": "k", "cap": "p"}


@pytest.mark.parametrize(("hazard", "analyte"), UNTESTED.items())
def test_a_hazard_whose_test_is_missing_is_not_known_and_never_ok(hazard, analyte):
    typed = ranch(hay={f"reported.{analyte}": None})
    severity, words = seen(typed, hazard)
    assert severity == "not known"
    assert words.startswith("not known: ")
    assert column(typed, "worst") != "ok"
    assert next(row for row in ROWS if row["key"] == hazard)["hazard"] in column(
        typed, "unknown_words")


@pytest.mark.parametrize(("hazard", "entry"), [
    ("urea", "npn_pct_of_cp"), ("fat", "reported.fat"), ("copper", "reported.cu"),
    ("selenium", "reported.se"), ("sulfur", "reported.s")])
def test_a_tag_that_does_not_tell_leaves_the_hazard_unknown(hazard, entry):
    assert seen(ranch(feeds=[{entry: None}]), hazard)[0] == "not known"


@pytest.mark.parametrize("name", WATER)
def test_water_that_was_not_tested_is_not_known(name):
    typed = ranch(settings={name: None})
    assert seen(typed, "water")[0] == "not known"
    assert seen(typed, "sulfur")[0] == ("not known" if name == "water_sulfate_ppm" else "ok")


def test_a_feed_without_protein_or_energy_holds_no_urea_and_no_fat_whatever_its_tag_leaves_out():
    salt = {"reported.cp": 0, "reported.tdn": 0, "npn_pct_of_cp": None, "reported.fat": None}
    typed = ranch(feeds=[salt])
    assert seen(typed, "urea")[0] == ""
    assert seen(typed, "fat")[0] == "ok"


def test_a_line_of_unknown_amount_leaves_what_feeds_may_hold_unknown():
    typed = ranch(feeds=[{}], lines={1: {"product": "Nobody knows", "own_amount": None}})
    for hazard in ("nitrate", "urea", "rawbeans", "gossypol", "fat", "selenium"):
        assert seen(typed, hazard)[0] == "not known", hazard


def test_the_plan_says_what_is_not_known_as_a_note_and_the_check_counts_it():
    found = plan(ranch(hay={"reported.no3n": None, "reported.se": None}))
    note = next(p for p in found.problems if p.where == "Safety (Cows)")
    assert note.severity == "note"
    assert note.what == "Not known in some month: Nitrate, Selenium."
    check = found.checks.set_index("check").loc["Months with a hazard that cannot be judged"]
    assert (check["found"], check["result"]) == (12, "note")


# --- nitrate
def test_nitrate_is_judged_by_the_scheme_on_start():
    """CLEMSON-NITRATE: from 1,500 half of the diet at most; NITRATE-SHEET: from 2,000."""
    assert seen(ranch(hay={"reported.no3n": 1400}), "nitrate")[0] == "ok"
    severity, words = seen(ranch(hay={"reported.no3n": 1600}), "nitrate")
    assert severity == "hazard"
    assert words.endswith("from 1,500 on nothing may be the only feed")
    assert seen(ranch(hay={"reported.no3n": 1600}, settings={"nitrate_scheme": 4}),
                "nitrate")[0] == "ok"
    assert seen(ranch(settings={"nitrate_scheme": 9}), "nitrate")[0] == "not known"


def test_pregnant_cattle_bear_less_nitrate():
    """CLEMSON-NITRATE: from 1,000 on half of the diet at most for pregnant cattle."""
    cow = {"class_name": "mature cow", "first_calf_on": dt.date(2027, 2, 1), "peak_milk": 18}
    for no3n, open_cow, pregnant in ((900, "ok", "ok"), (1100, "ok", "look"),
                                     (1600, "hazard", "hazard")):
        assert seen(ranch(hay={"reported.no3n": no3n}), "nitrate")[0] == open_cow
        assert seen(ranch(hay={"reported.no3n": no3n}, herd=cow), "nitrate")[0] == pregnant


def test_other_forage_thins_nitrate_but_a_high_lot_stays_to_be_looked_at():
    """24.1 % of 3,200 in 300 ppm makes 1,000: the dilution of the handbook's own equation."""
    typed = ranch(hay={"reported.no3n": 300}, others={2: {"reported.no3n": 3200}},
                  diet={"second": "Other 2", "second_pct": 24.1379},
                  settings={"water_no3n_ppm": 0})
    assert column(typed, "no3n_whole_ppm_dm") == pytest.approx(1000, abs=0.1)
    severity, words = seen(typed, "nitrate")
    assert severity == "look"
    assert words.startswith(
        "1,000 ppm NO3-N in the whole diet (water counted), 3,200 in the highest forage")


def test_a_tested_feed_thins_nitrate_and_an_untested_one_counts_neither_way():
    high = {"reported.no3n": 1300}
    tested = ranch(hay=high, feeds=[{"reported.no3n": 0}], lines={1: {"own_amount": 4.4444444}})
    untested = ranch(hay=high, feeds=[{"reported.no3n": None}])
    # 24 lb of hay and 4.44 lb as fed, 4 lb of dry matter
    assert column(tested, "no3n_whole_ppm_dm") == pytest.approx(
        (24 * 1300 + 28 * 0) / 28 + _water_no3n(tested), rel=1e-4)
    assert column(untested, "no3n_feed_ppm_dm") == pytest.approx(1300)


def _water_no3n(typed):
    return 5 * column(typed, "water_used_l_per_day") / column(typed, "diet_dm_kg_per_day")


def test_nitrate_says_where_the_water_was_not_tested_for_it():
    words = seen(ranch(settings={"water_no3n_ppm": None}), "nitrate")[1]
    assert words.startswith("300 ppm NO3-N in the whole diet (water not tested), ")


def test_nitrate_of_the_water_counts():
    dry, wet = ranch(settings={"water_no3n_ppm": 0}), ranch(settings={"water_no3n_ppm": 100})
    more = 100 * column(wet, "water_used_l_per_day") / column(wet, "diet_dm_kg_per_day")
    assert column(wet, "no3n_whole_ppm_dm") - column(dry, "no3n_whole_ppm_dm") == pytest.approx(
        more)


# --- urea
def test_urea_is_said_by_day_by_feeding_and_apart_from_natural_protein():
    """NEBRASKA-NPN: a tag 37-8 holds 2.85 % urea; 2 lb of it as fed, 90 % DM here."""
    cube = {"basis": "as fed", "reported.cp": 37, "npn_pct_of_cp": 100 * 8 / 37}
    typed = ranch(feeds=[cube], lines={1: {"times_per_week": 3.5, "from_on": BEFORE}},
                  hay={"reported.cp": 12})
    assert column(typed, "urea") == pytest.approx(2 * 0.0285, abs=0.0002)
    assert column(typed, "meal_urea") == pytest.approx(2 * 2 * 0.0285, abs=0.0004)
    # NPN 2 * 8 %; CP 24 lb of hay at 12 % and 2 lb at 37 %: 0.16 of 3.62 lb
    assert seen(typed, "urea") == (
        "ok", "0.06 lb urea a head and day (0.11 at one feeding), 4 % of the diet's CP:"
        " within limits")


UREA = {"reported.cp": 40, "npn_pct_of_cp": 20}


def test_cattle_get_used_to_urea_over_two_to_three_weeks():
    typed = ranch(feeds=[UREA], hay={"reported.cp": 12})
    # 1.8 lb DM of 8 % NPN; 24 lb of hay with 12 % CP and 1.8 lb with 40 %
    share = 1.8 * 8 / (24 * 12 + 1.8 * 40) * 100
    assert column(typed, "npn_of_diet_cp_pct") == pytest.approx(share)
    assert seen(typed, "urea", 1) == (
        "look", f"0.05 lb urea a head and day (0.05 at one feeding), {share:.0f} % of the diet's"
        " CP: bring it in over two to three weeks")
    assert seen(typed, "urea", 3)[0] == "ok"


@pytest.mark.parametrize(("changed", "why"), [
    ({"lines": {1: {"times_per_week": 2}}}, "fed too seldom: every day is safer"),
    ({"hay": {"reported.tdn": 48, "reported.cp": 12}}, "poor forage: little energy to use it"),
    ({"feeds": [{"reported.cp": 60, "npn_pct_of_cp": 50}]},
     "a strong feed: all must get their share, no more"),
])
def test_urea_that_wants_a_look_says_why(changed, why):
    base = {"feeds": [UREA], "hay": {"reported.cp": 12}}
    lines = {1: {"from_on": BEFORE, "own_amount": 1, **changed.get("lines", {}).get(1, {})}}
    severity, words = seen(ranch(**{**base, **changed, "lines": lines}), "urea")
    assert severity == "look"
    assert words.endswith(why)


@pytest.mark.parametrize(("changed", "why"), [
    ({"feeds": [{"reported.cp": 80, "npn_pct_of_cp": 95}], "hay": {"reported.cp": 4}},
     "above a third of the CP"),
    ({"herd": {"class_name": "weaned calf", "weight": 400, "gain": 1, "mature_weight": 1200},
      "diet": {"known_intake": 11}}, "not for cattle this light"),
    ({"feeds": [{"reported.cp": 150, "npn_pct_of_cp": 95}],
      "lines": {1: {"own_amount": 0.27, "times_per_week": 2}}, "hay": {"reported.cp": 16}},
     "much at one feeding"),
])
def test_too_much_urea_is_a_hazard_and_says_why(changed, why):
    severity, words = seen(ranch(**{"feeds": [UREA], **changed}), "urea")
    assert severity == "hazard"
    assert words.endswith(why)


def test_raw_soybeans_with_urea_are_a_hazard_at_any_amount():
    beans = {"holds": "raw soybeans"}
    little = ranch(feeds=[{"npn_pct_of_cp": 1}, beans], lines={2: {"own_amount": 0.01}})
    assert seen(little, "rawbeans")[0] == "hazard"
    assert seen(ranch(feeds=[{}, beans]), "rawbeans")[0] == "ok"
    assert seen(ranch(feeds=[{"npn_pct_of_cp": None}, beans]), "rawbeans")[0] == "not known"
    found = plan(little)
    first = found.problems[0]
    assert str(first) == (
        "Safety (Cows, 12 months from Dec 2026): Raw soybeans, hazard: raw soybeans are fed with"
        " urea: at any amount a hazard, the beans free ammonia from urea at once. Leave one of the"
        " two out. Heated or roasted beans do not do this. Ask a nutritionist.")


# --- copper, sheep, selenium
def test_copper_is_judged_in_the_whole_diet_and_never_of_hay_or_tag_alone():
    """TRACE-SLIDES: 27 lb of hay DM at 7 ppm and 4 oz of a mineral at 500 ppm: 11.2 to 11.7 ppm.

    The hay alone would look short (below 10 ppm), the tag alone poisonous (above 40 ppm).
    """
    feed = {**MINERAL, "reported.cu": 500, "reported.dm": 97, "basis": "as fed"}
    typed = ranch(hay={"reported.cu": 7}, feeds=[feed], diet={"known_intake": 27},
                  lines={1: {"mode": "by its own intake", "own_amount": None}})
    assert 11.2 <= column(typed, "diet_cu_ppm_dm") <= 11.7
    assert seen(typed, "copper")[0] == "ok"
    values = Values(make(typed), typed)
    assert values.column("Minerals", "short_flag", "cu")[0] == 0


def test_copper_at_twice_the_mineral_is_looked_at():
    """MONTANA-MINERAL: 28 lb at 4 ppm, 4 oz at 2,200 ppm is 23.4 ppm, 8 oz 42.5, above 40."""
    feed = {**MINERAL, "reported.cu": 2200}
    typed = ranch(hay={"reported.cu": 4}, feeds=[feed], diet={"known_intake": 28},
                  lines={1: {"mode": "by its own intake", "own_amount": None}})
    assert column(typed, "diet_cu_ppm_dm") == pytest.approx(23.4, abs=0.1)
    assert column(typed, "double_cu_ppm_dm") == pytest.approx(42.5, abs=0.2)
    severity, words = seen(typed, "copper")
    assert severity == "look"
    assert words.endswith("most 40: too much if they eat twice of it")
    assert seen(ranch(hay={"reported.cu": 45}), "copper")[0] == "hazard"


def test_copper_that_is_bound_is_looked_at():
    severity, words = seen(ranch(hay={"reported.mo": 6}), "copper")
    assert severity == "look"
    assert words.endswith("bound by other minerals")


def test_sheep_that_reach_cattle_mineral_are_in_danger():
    """SHEEP-COPPER: at most 15 ppm in the whole diet of sheep."""
    lines = {1: {"mode": "by its own intake", "own_amount": None}}
    assert seen(ranch(feeds=[MINERAL], lines=lines), "sheep")[0] == ""
    near = {"sheep_near": 1}
    severity, words = seen(ranch(feeds=[MINERAL], lines=lines, settings=near), "sheep")
    assert severity == "hazard"
    assert words.startswith("sheep can reach the feed: copper above 15 ppm")
    assert seen(ranch(settings=near), "sheep")[0] == "ok"
    assert seen(ranch(hay={"reported.cu": 16}, settings=near), "sheep")[0] == "hazard"
    assert seen(ranch(hay={"reported.cu": None}, settings=near), "sheep")[0] == "not known"


@pytest.mark.parametrize(("tag", "ounces", "severity"), [
    (26, 4, "ok"), (27, 4, "hazard"), (52, 2, "ok"), (54, 2, "hazard"), (119, 0.8, "ok"),
    (121, 0.5, "hazard")])
def test_added_selenium_stays_under_the_law(tag, ounces, severity):
    """FDA-SELENIUM: 3 mg a head and day is 26.5 ppm at 4 oz, 52.9 at 2; at most 120 in a mix."""
    feed = {**MINERAL, "reported.se": tag, "label_intake": ounces / 16}
    typed = ranch(feeds=[feed], lines={1: {"mode": "by its own intake", "own_amount": None}})
    assert seen(typed, "selenium")[0] == severity


def test_selenium_of_the_whole_diet_has_two_limits_and_rich_forage_asks_for_none():
    """NRC2000-MINERALS 2 ppm, VETMANUAL 5 ppm; no more beside forage of 0.3 ppm."""
    assert seen(ranch(hay={"reported.se": 2.2}), "selenium")[0] == "look"
    assert seen(ranch(hay={"reported.se": 5.5}), "selenium")[0] == "hazard"
    assert seen(ranch(hay={"reported.se": 0.35}), "selenium")[0] == "ok"
    assert seen(ranch(hay={"reported.se": 0.35}, feeds=[{}]), "selenium")[0] == "look"


def test_too_much_selenium_by_law_is_said_though_the_forage_was_not_tested():
    feed = {**MINERAL, "reported.se": 60}
    typed = ranch(hay={"reported.se": None}, feeds=[feed],
                  lines={1: {"mode": "by its own intake", "own_amount": None}})
    severity, words = seen(typed, "selenium")
    assert severity == "hazard"
    assert "unknown ppm in the whole diet" in words


# --- sulfur, salt, water
def test_sulfur_counts_feeds_and_water_against_the_share_of_forage():
    """VETMANUAL: 0.50 % above 40 % forage; MONTANA-WATER's water, 0.23 % from 1,500 mg/L."""
    assert seen(ranch(hay={"reported.s": 0.2}), "sulfur")[0] == "ok"
    assert seen(ranch(hay={"reported.s": 0.44}), "sulfur")[0] == "look"
    assert seen(ranch(hay={"reported.s": 0.52}), "sulfur")[0] == "hazard"
    salty = ranch(hay={"reported.s": 0.35}, settings={"water_sulfate_ppm": 1500})
    assert column(salty, "diet_s_pct_dm") > 0.5
    assert seen(salty, "sulfur")[0] == "hazard"
    grain = ranch(hay={"reported.s": 0.3}, feeds=[{"reported.s": 0.35}],
                  diet={"known_intake": 2}, lines={1: {"own_amount": 20}})
    assert column(grain, "most_s_pct_dm") == pytest.approx(0.3, abs=0.001)
    assert seen(grain, "sulfur")[0] == "hazard"


def test_sulfur_above_the_limit_is_a_hazard_even_before_the_water_is_tested():
    typed = ranch(hay={"reported.s": 0.6}, settings={"water_sulfate_ppm": None})
    assert seen(typed, "sulfur")[0] == "hazard"


def test_a_salt_limited_feed_asks_for_water_and_is_a_hazard_on_salty_water():
    """OSU-ANSI-3008: 1.2 lb of salt by a 1,200-lb cow, 5 gallons of water a pound more."""
    mix = {"reported.na": 39.3 * 0.4, "label_intake": 3 / 0.9}  # 40 % salt, 3 lb of dry matter
    lines = {1: {"mode": "by its own intake", "own_amount": None}}
    typed = ranch(feeds=[mix], lines=lines)
    assert column(typed, "salt") == pytest.approx(1.2, abs=0.001)
    severity, words = seen(typed, "salt")
    assert severity == "look"
    assert words.endswith("good water must always be there, about 23 L more a head and day")
    assert column(typed, "salt_water_l_per_day") == pytest.approx(1.2 * 5 * 3.785, abs=0.01)
    assert seen(ranch(feeds=[mix], lines=lines, settings={"water_tds_ppm": 5200}),
                "salt")[0] == "hazard"
    assert seen(ranch(feeds=[{**mix, "label_intake": 12}], lines=lines), "salt")[0] == "hazard"


@pytest.mark.parametrize(("settings", "herd", "severity"), [
    ({"water_tds_ppm": 5200}, "open cow", "ok"), ({"water_tds_ppm": 5200}, "mature cow", "look"),
    ({"water_tds_ppm": 7200}, "open cow", "look"),
    ({"water_tds_ppm": 7200}, "mature cow", "hazard"),
    ({"water_tds_ppm": 10000}, "open cow", "hazard"),
    ({"water_sulfate_ppm": 600}, "open cow", "ok"), ({"water_sulfate_ppm": 600}, "weaned calf",
                                                     "look"),
    ({"water_sulfate_ppm": 1000}, "open cow", "look"),
    ({"water_sulfate_ppm": 3000}, "open cow", "hazard"),
    ({"water_no3n_ppm": 100}, "open cow", "look"), ({"water_no3n_ppm": 300}, "open cow", "hazard"),
])
def test_water_by_its_published_classes(settings, herd, severity):
    """TDS-CLASSES, NDSU-WATER, SDSU-NITRATE."""
    more = {"mature cow": {"first_calf_on": dt.date(2027, 2, 1), "peak_milk": 18},
            "weaned calf": {"gain": 1, "mature_weight": 1200, "weight": 500}}.get(herd, {})
    assert seen(ranch(herd={"class_name": herd, **more}, settings=settings),
                "water")[0] == severity


# --- cottonseed, fat
def test_gossypol_by_grams_and_whole_cottonseed_by_weight():
    """COTTON-LIMITS 24 g a day; FLORIDA-AN134 0.5 % of weight (0.33 weaned), 15 % of the diet."""
    def seed(pounds, herd=None, intake=40, **feed):
        return seen(ranch(feeds=[{"holds": "whole cottonseed", "reported.fat": 0, **feed}],
                          herd=herd, diet={"known_intake": intake},
                          lines={1: {"own_amount": pounds}}), "gossypol")
    calf = {"class_name": "weaned calf", "weight": 600, "gain": 1, "mature_weight": 1200}
    bull = {"class_name": "mature bull", "weight": 1800}
    assert seed(5.9)[0] == "ok"
    severity, words = seed(6.1)
    assert severity == "hazard"
    assert words.endswith("above 24 g, 6.0 lb of seed, or 15 % of the diet")
    assert seed(1.9, calf)[0] == "look"
    assert seed(2.1, calf)[0] == "hazard"
    assert seed(1, bull)[0] == "look"
    assert seed(5.9, intake=25)[0] == "hazard"
    # 10 lb of seed at 0.50 % is 22.7 g there; 11 lb is 24.9 g
    heavy = {"class_name": "open cow", "weight": 2400}
    assert seed(10 / 0.9 * 0.9, heavy, 90, free_gossypol_ppm_dm=5000 / 0.9)[0] == "ok"
    assert seed(11, heavy, 90, free_gossypol_ppm_dm=5000 / 0.9)[0] == "hazard"


def test_cottonseed_meal_without_a_gossypol_test_is_not_known():
    assert seen(ranch(feeds=[{"holds": "cottonseed meal"}]), "gossypol")[0] == "not known"
    assert seen(ranch(feeds=[{"holds": "cottonseed meal", "free_gossypol_ppm_dm": 900}]),
                "gossypol")[0] == "ok"


def test_what_a_feed_holds_must_be_of_the_list():
    found = plan(ranch(feeds=[{"holds": "beans"}]))
    assert any("What it holds is not on the list." in p.what for p in found.problems)


def test_starch_of_all_feeds_by_weight():
    """Common practice from memory: 0.25 to 0.30 % of body weight, 3.6 lb of 1,200."""
    def starch(pct, pounds=5.0):
        return seen(ranch(feeds=[{"starch_pct_dm": pct}],
                          lines={1: {"own_amount": pounds / 0.9}}), "starch")
    assert starch(60)[0] == "ok"  # 3 lb
    severity, words = starch(80)  # 4 lb
    assert severity == "look" and words.endswith("forage is digested less")
    assert starch(80, 10)[0] == "hazard"  # 8 lb
    assert starch(None)[0] == "not known"


def test_fat_of_the_whole_diet():
    """Common practice from memory: 5 to 6 % of the diet, 7 % at most."""
    def fat(pct):
        return seen(ranch(feeds=[{"reported.fat": pct}], diet={"known_intake": 18},
                          lines={1: {"own_amount": 2 / 0.9}}), "fat")
    assert fat(20)[0] == "ok"  # (18 * 2.5 + 2 * 20) / 20 = 4.25
    assert fat(30) == ("look", "5.3 % fat in the whole diet: above 5 fiber is digested less")
    assert fat(50)[0] == "hazard"


# --- brought together from Minerals
def test_minerals_above_their_limits_tetany_ca_p_and_vitamin_a_stand_beside_the_others():
    assert seen(ranch(hay={"reported.fe": 600}), "excess")[0] == "hazard"
    spring = {"reported.k": 3.0, "reported.ca": 0.35, "reported.mg": 0.15}
    severity, words = seen(ranch(hay=spring), "tetany")
    assert severity == "look"
    assert words.startswith("tetany ratio 2.6 (risk above 2.2)")
    assert seen(ranch(hay={"reported.ca": 0.2, "reported.p": 0.3}), "cap")[0] == "look"
    assert seen(ranch(), "green", 4)[0] == "look"  # March: over 120 days without green feed
    assert seen(ranch(), "green", 1)[0] == "ok"
    line = {1: {"mode": "by its own intake", "own_amount": None}}
    assert seen(ranch(feeds=[MINERAL], lines=line), "green", 4)[0] == "ok"


def test_low_magnesium_of_a_cow_in_milk_is_looked_at_whatever_the_ratio():
    """MANITOBA-TETANY: a forage below 2.2 is not cleared by it; VETMANUAL 0.20 % in milk."""
    milking = {"class_name": "mature cow", "first_calf_on": dt.date(2026, 10, 1), "peak_milk": 20}
    low = {"reported.mg": 0.15, "reported.k": 0.8}
    assert seen(ranch(hay=low), "tetany")[0] == "ok"
    assert seen(ranch(hay=low, herd=milking), "tetany")[0] == "look"


# --- under suspicion
SORGHUM = "sorghum or sudan: frost, drought, regrowth"


def suspected(forage_no, **cells):
    typed = ranch(others={2: {}}, diet={"second": "Other 2", "second_pct": 30})
    return Ranch({**typed.entries, "Sampling": {forage_no: cells}}, typed.settings, typed.sizes)


def test_a_forage_under_suspicion_of_prussic_acid_is_not_known_until_it_is_taken_off():
    """PENN-HCN: dangerous from 1,000 ppm; the workbook has no entry for it."""
    severity, words = seen(suspected(1, suspicion=SORGHUM), "suspected")
    assert severity == "not known"
    assert words == (f"not known: Hay ({SORGHUM}). There is no entry for that result")
    both = seen(suspected(2, suspicion="mold or dust", second_suspicion=SORGHUM), "suspected")
    assert both[1].startswith(f"not known: Other 2 (mold or dust; {SORGHUM}). ")
    assert seen(suspected(1), "suspected")[0] == ""


def test_a_suspicion_whose_result_is_judged_elsewhere_is_no_second_hazard():
    assert seen(suspected(1, suspicion="grass tetany in spring"), "suspected")[0] == ""


# --- protein will not fix it
POOR = {"reported.cp": 8, "reported.tdn": 44, "reported.ndf": 78}


def energy(hay, **more):
    typed = ranch(hay=hay, **{"diet": {"known_intake": None}, **more})
    return column(typed, "protein_words") or ""


def test_protein_will_not_fix_a_hay_that_is_short_of_energy():
    cp = {"own_need.cp": 1}
    assert energy({}) == ""
    short = energy({"reported.tdn": 44, "reported.ndf": 40}, diet={"known_intake": None, **cp})
    assert short.startswith("protein will not fix this forage: it is short of energy (")
    assert short.endswith("TDN a day short, protein met)")
    fiber = energy(POOR, diet={"known_intake": None, **cp})
    assert fiber.endswith("and its fiber fills them first")
    both = energy({**POOR, "reported.cp": 4})
    assert both.startswith("protein first; yet protein will not fix this forage")


def test_protein_will_not_fix_a_hay_of_which_there_is_too_little():
    words = energy({}, diet={"known_intake": None, "put_out": 14, "own_need.cp": 0.5})
    assert words.startswith("protein will not fix this hay; it is short of energy and bulk (")


def test_the_tdn_that_is_short_is_the_balance_of_the_forage_with_protein_met():
    typed = ranch(hay={"reported.tdn": 44, "reported.ndf": 40},
                  diet={"known_intake": 20, "own_need.tdn": 10, "own_need.cp": 1})
    assert "(1.2 lb TDN a day short" in column(typed, "protein_words")  # 10 - 20 * 44 %


def test_the_plan_says_so_while_only_protein_is_planned_and_not_once_energy_is():
    poor = {"hay": {"reported.tdn": 44}, "diet": {"known_intake": 20, "own_need.tdn": 11,
                                                  "own_need.cp": 1}}
    said = "Protein will not fix this forage"
    protein = plan(ranch(**poor, feeds=[{"reported.tdn": 40}]))
    assert any(p.what.startswith(said) for p in protein.problems)
    corn = plan(ranch(**poor, feeds=[{"reported.tdn": 90}], lines={1: {"own_amount": 3}}))
    assert not any(p.what.startswith(said) for p in corn.problems)


# --- how it is said
def test_every_hazard_says_what_to_do_and_whom_to_ask_at_each_severity_it_can_have():
    for row in ROWS:
        assert row["ask"] and row["do_unknown"] and row["source"], row["key"]
        for words, do in (("look", "do_look"), ("danger", "do_danger")):
            assert bool(row[words]) == bool(row[do]), row["key"]


def test_a_hazard_comes_first_among_the_problems_and_names_group_and_months():
    typed = ranch(hay={"reported.no3n": 4500, "reported.cp": None})
    found = plan(typed)
    assert found.problems[0].where == "Safety (Cows, 12 months from Dec 2026)"
    assert found.problems[0].what.startswith("Nitrate, hazard: ")
    assert found.problems[0].do.endswith("Ask local extension, your veterinarian.")
    assert "of the checks want a look" in found.overall


def test_the_frame_of_the_plan_has_a_row_for_each_hazard_that_could_be():
    frame = plan(ranch(hay={"reported.s": 0.52})).safety
    january = frame[frame["month"] == "2027-01-01"].set_index("hazard")
    assert january.loc["Sulfur", "severity"] == "hazard"
    assert january.loc["Sulfur", "what"].endswith("above the limit, 0.50 at this share of forage")
    assert "Gossypol" not in january.index  # no cottonseed is fed


def test_the_worst_of_a_month_and_the_first_thing_to_do_stand_in_front():
    typed = ranch(hay={"reported.s": 0.52, "reported.se": 2.2, "reported.k": None})
    assert column(typed, "worst") == "hazard"
    assert column(typed, "hazard_words") == "Sulfur. "
    assert column(typed, "look_words") == "Copper. Selenium. "  # sulfur binds copper
    assert column(typed, "unknown_words") == "Grass tetany. "
    assert column(typed, "do_words").startswith("Take less by-product feed or other water.")
    assert column(typed, "whom_words") == "a nutritionist, your veterinarian"


def test_a_group_that_is_not_named_says_nothing():
    typed = ranch()
    values = Values(make(typed), typed)
    assert all(words is None for words in values.column("Safety", "worst")[12:])
    assert set(values.column("Safety", "group")[12:]) == {None}

"""The cheapest season: against print, arithmetic, brute force, the sheets; and what it says."""

from __future__ import annotations

import itertools
import json
from dataclasses import replace

import numpy as np
import pytest

from haymow.cli import main
from haymow.evaluate import Values
from haymow.leastcost import MOST_LINES, Wishes, asked, choices, least_cost, limits, lines_needed
from haymow.plan import plan
from haymow.problems import InputError
from haymow.tables.make import make
from haymow.workbook.read import read
from haymow.workbook.rebuild import save
from haymow.workbook.sizes import resized
from least_cost_ranch import fed_ranch, gap_ranch, hay_ranch
from random_ranch import random_ranch
from small_ranch import without

DAYS = 30  # of the one month of a ranch of gaps
PROTEIN_ENERGY = Wishes(needs=("cp", "tdn"))
FEEDS = {  # as fed: CP, TDN, $ a ton; the reference's own five feeds
    "cube38": {"cp": 38, "tdn": 70, "price": 475}, "cube20": {"cp": 20, "tdn": 70, "price": 350},
    "DDGS": {"cp": 27.72, "tdn": 80.1, "price": 260},
    "corn": {"cp": 7.6736, "tdn": 76.3872, "price": 200},
    "alfalfa": {"cp": 17.226, "tdn": 48.024, "price": 180}}


def per_head(result, product):
    rows = result.amounts[result.amounts["product"] == product]
    return float(rows["per_head"].iloc[0]) if len(rows) else 0.0


def price_of(result, nutrient):
    rows = result.prices[result.prices["nutrient"] == nutrient]
    return float(rows["usd_per_unit"].iloc[0]) if len(rows) else 0.0


def written(result, ranch):
    """The ranch with the choices on it, and all its values."""
    lines = max(lines_needed(result), ranch.sizes["line"])
    chosen = choices(result, resized(ranch, {"line": lines})[0])
    return chosen, Values(make(chosen), chosen)


def total_usd(values):
    return float(values.column("Season", "all_usd")[0])


# --- print
@pytest.mark.parametrize(("source", "intake", "hay_cp", "gap", "feed_cp", "printed", "off"), [
    ("Alabama cooperative feeding column: corn for 2.1 lb CP", 10, 9, 2.1, 7.5, 28, 0.1),
    ("Oklahoma county column on alfalfa (2022): 20 % cubes", 36, 2.5, 2.7, 20, 13.5, 0.01),
])
def test_one_feed_for_protein_agrees_with_print(source, intake, hay_cp, gap, feed_cp, printed, off):
    ranch = gap_ranch({"feed": {"cp": feed_cp, "tdn": 70, "price": 435}}, [{"cp": gap}],
                      intake=intake, hay={"cp": hay_cp}, most_tdn_per_cp=1000)
    result = least_cost(ranch, Wishes(needs=("cp",)))
    assert per_head(result, "feed") == pytest.approx(printed, abs=off), source


def test_the_cost_of_cubes_agrees_with_the_oklahoma_county_column_of_2022():
    """13.5 lb of a 20 % cube at $435 a ton are printed as $2.94 a head and day."""
    ranch = gap_ranch({"cube": {"cp": 20, "tdn": 70, "price": 435}}, [{"cp": 2.7}], intake=36,
                      hay={"cp": 2.5})
    usd = least_cost(ranch, Wishes(needs=("cp",))).cost_usd / DAYS
    assert usd == pytest.approx(2.94, abs=0.005)


def test_a_feed_in_the_place_of_hay_agrees_with_montana_states_square():
    """Heifer of 20.4 lb DM: hay 8.95, supplement 40, target 9.8 % CP give 0.55 lb of dry matter."""
    ranch = gap_ranch({"feed": {"dm": 100, "cp": 40, "tdn": 70, "price": 400, "given_up": 1}},
                      [{"cp": 20.4 * (0.098 - 0.0895)}], intake=20.4, hay={"cp": 8.95})
    result = least_cost(ranch, Wishes(needs=("cp",)))
    assert per_head(result, "feed") == pytest.approx(0.55, abs=0.015)


def test_the_cheapest_mix_of_two_feeds_agrees_with_a_textbook_of_operations_research():
    """Taha, Operations Research, example 2.2-2: 470.6 lb of corn and 329.4 of meal, $437.64.

    800 lb with 30 % protein from corn (9 %, $0.30 a lb) and soybean meal (60 %, $0.90), here for
    100 head. Its limit on fiber does not bind and is left out.
    """
    ranch = gap_ranch({"corn": {"dm": 100, "cp": 9, "tdn": 80, "price": 600},
                       "meal": {"dm": 100, "cp": 60, "tdn": 80, "price": 1800}},
                      [{"dm": 8.0, "cp": 2.4}], intake=0.0, head=100)
    result = least_cost(ranch, Wishes(needs=("dm", "cp")))
    assert per_head(result, "corn") == pytest.approx(4.706, abs=0.0005)
    assert per_head(result, "meal") == pytest.approx(3.294, abs=0.0005)
    assert result.cost_usd / DAYS == pytest.approx(437.64, abs=0.02)  # of rounded amounts there


# --- arithmetic
@pytest.mark.parametrize(("gaps", "caps", "amounts", "usd", "prices"), [
    ((0.59, 0), {}, {"DDGS": 2.128}, 0.2767, (0.4690, 0)),
    ((0.59, 1.5), {}, {"DDGS": 2.128}, 0.2767, (0.4690, 0)),
    ((0.59, 3.0), {}, {"DDGS": 1.467, "corn": 2.389}, 0.4296, (0.1278, 0.1181)),
    ((0.30, 4.0), {"corn": 3}, {"corn": 3.0, "DDGS": 2.133}, 0.5773, (0, 0.1623)),
    ((0.80, 4.0), {"corn": 3, "DDGS": 2}, {"corn": 3.0, "DDGS": 2.0, "alfalfa": 0.222}, 0.5799,
     (0, 0.1874)),
])
def test_five_feeds_give_the_amounts_cost_and_shadow_prices_worked_out_by_hand(
        gaps, caps, amounts, usd, prices):
    """Arithmetic, no source: singles and pairs of feeds enumerated by hand."""
    feeds = {name: cells | ({"most": caps[name]} if name in caps else {})
             for name, cells in FEEDS.items()}
    result = least_cost(gap_ranch(feeds, [dict(zip(("cp", "tdn"), gaps, strict=True))]),
                        PROTEIN_ENERGY)
    assert {p: round(per_head(result, p), 3) for p in result.amounts["product"]} == pytest.approx(
        amounts, abs=0.0011)
    assert result.cost_usd / DAYS == pytest.approx(usd, abs=6e-5)
    assert (price_of(result, "CP"), price_of(result, "TDN")) == pytest.approx(prices, abs=6e-5)


def test_feeds_are_valued_as_two_equations_for_corn_and_soybean_meal_value_them():
    """Arithmetic of the two-referee method: $0.2925 a lb CP, $0.1015 a lb TDN, and four feeds."""
    worth = {"midds": (88.8, 18.6, 72.9, 228.06), "DDGS": (90, 30.8, 89.0, 324.79),
             "alfalfa": (87, 19.8, 55.2, 198.28), "cottonseed meal": (88.6, 45, 69.6, 358.42)}
    feeds = {"corn": {"dm": 87.2, "cp": 8.8, "tdn": 87.6, "price": 200},
             "SBM": {"dm": 89.2, "cp": 52.9, "tdn": 79.5, "price": 420}}
    feeds |= {name: {"dm": dm, "cp": cp, "tdn": tdn, "price": usd + 2}
              for name, (dm, cp, tdn, usd) in worth.items()}
    feeds = {name: cells | {"basis": "dry matter"} for name, cells in feeds.items()}
    result = least_cost(gap_ranch(feeds, [{"cp": 0.6, "tdn": 3.0}]), PROTEIN_ENERGY)
    assert set(result.amounts["product"]) == {"corn", "SBM"}
    assert price_of(result, "CP") == pytest.approx(0.2925, abs=6e-5)
    assert price_of(result, "TDN") == pytest.approx(0.1015, abs=6e-5)
    enters = result.enters.set_index("product")["enters_at_usd_per_ton"].to_dict()
    assert enters == pytest.approx({name: usd for name, (*_, usd) in worth.items()}, abs=0.01)


# --- brute force
def corners(a, b):
    """All corners of a @ x <= b, by solving every square part of it."""
    count = a.shape[1]
    parts = np.array(list(itertools.combinations(range(len(a)), count)))
    square, right = a[parts], b[parts]
    fine = np.abs(np.linalg.det(square)) > 1e-9
    x = np.linalg.solve(square[fine], right[fine][..., None])[..., 0]
    return x[(x @ a.T <= b + 1e-7).all(1)]


def drawn(seed):
    """Two months, three feeds, random contents, prices, limits and gaps."""
    draw = np.random.default_rng(seed)
    feeds = {f"feed {k}": {"cp": draw.uniform(8, 40), "tdn": draw.uniform(50, 80),
                           "price": draw.uniform(150, 500), "most": draw.uniform(4, 9)}
             for k in range(3)}
    gaps = [{"cp": draw.uniform(0.1, 0.7), "tdn": draw.uniform(0, 3)} for _ in range(2)]
    return feeds, gaps


def rows_by_hand(feeds, gap):
    """One month's limits as a @ x <= b, pounds as fed, straight from what was typed."""
    cells = list(feeds.values())
    a = [[-c["cp"] / 100 for c in cells], [-c["tdn"] / 100 for c in cells]]
    a += [*np.eye(len(cells)), *-np.eye(len(cells))]
    return np.array(a), np.array([-gap["cp"], -gap["tdn"], *(c["most"] for c in cells), 0, 0, 0])


@pytest.mark.parametrize("seed", range(8))
def test_the_cost_is_that_of_the_best_corner(seed):
    feeds, gaps = drawn(seed)
    result = least_cost(gap_ranch(feeds, gaps), PROTEIN_ENERGY)
    usd = [c["price"] / 2000 for c in feeds.values()]
    best = sum(days * (corners(*rows_by_hand(feeds, gap)) @ usd).min()
               for gap, days in zip(gaps, (30, 31), strict=True))
    assert result.shortages.empty
    assert result.cost_usd == pytest.approx(best, rel=1e-6)


@pytest.mark.parametrize("seed", range(8))
def test_with_one_product_the_cost_is_that_of_the_best_single_feed(seed):
    feeds, gaps = drawn(seed)
    feeds = {name: cells | {"most": 20} for name, cells in feeds.items()}
    result = least_cost(gap_ranch(feeds, gaps), replace(PROTEIN_ENERGY, most_products=1, gap=0))
    singles = [sum(days * max(gap["cp"] / c["cp"], gap["tdn"] / c["tdn"]) * 100 * c["price"] / 2000
                   for gap, days in zip(gaps, (30, 31), strict=True)) for c in feeds.values()]
    assert result.cost_usd == pytest.approx(min(singles), rel=1e-6)
    assert result.sets["cost_usd"].tolist() == pytest.approx(sorted(singles), rel=1e-6)


@pytest.mark.parametrize("seed", range(4))
def test_buying_units_cost_what_the_best_whole_numbers_cost(seed):
    """Every number of units of two feeds, tried in turn; what is needed of each is a corner."""
    feeds, gaps = drawn(seed)
    feeds = dict(list(feeds.items())[:2])
    feeds = {name: cells | {"most": 20} for name, cells in feeds.items()}
    ranch = gap_ranch(feeds, gaps, head=100)
    units = dict.fromkeys(feeds, 1.5)
    result = least_cost(ranch, replace(PROTEIN_ENERGY, units=units, gap=0))
    cells, tons = list(feeds.values()), np.array([[30.0], [31.0]]) * 100 / 2000
    # pounds by month and feed: needs of each month, not below nothing, tons within the units
    need = np.array([[c["cp"] for c in cells], [c["tdn"] for c in cells]]) / 100
    a = np.block([[-need, np.zeros((2, 2))], [np.zeros((2, 2)), -need], [-np.eye(4)],
                  [tons[0, 0] * np.eye(2), tons[1, 0] * np.eye(2)]])
    wants = [-gap[name] for gap in gaps for name in ("cp", "tdn")]
    best = min(1.5 * (i * cells[0]["price"] + j * cells[1]["price"])
               for i, j in itertools.product(range(25), repeat=2)
               if len(corners(a, np.array([*wants, *np.zeros(4), 1.5 * i, 1.5 * j]))))
    assert result.cost_usd == pytest.approx(best, rel=1e-6)
    assert result.orders["units"].sum() * 1.5 == pytest.approx(result.orders["ordered"].sum())


# --- what things are worth
def test_the_price_of_a_need_is_what_a_little_more_of_it_costs():
    ranch, step = fed_ranch(), 0.001
    result = least_cost(ranch, PROTEIN_ENERGY)
    for row in result.prices.to_dict("records"):
        at = (row["month"].month - 11) % 12 + 1  # the plan's months: November is the first
        name = f"own_need.{row['nutrient'].lower()}"
        more = without(ranch, "Diet", at, name, ranch.entries["Diet"][at][name] + step)
        days = row["month"].days_in_month
        change = least_cost(more, PROTEIN_ENERGY).cost_usd - result.cost_usd
        assert change / (step * 100 * days) == pytest.approx(row["usd_per_unit"], rel=1e-4)
    assert len(result.prices) >= 3


@pytest.mark.parametrize(("off", "bought"), [(-0.5, True), (0.5, False)])
def test_a_product_enters_at_its_price_and_not_above(off, bought):
    ranch = fed_ranch()
    row = least_cost(ranch, PROTEIN_ENERGY).enters.iloc[0]
    number = {"Cube": 2, "Alfalfa": 5}[row["product"]]
    cheaper = without(ranch, "Supplements", number, "price", row["enters_at_usd_per_ton"] + off)
    found = least_cost(cheaper, PROTEIN_ENERGY)
    assert (row["product"] in set(found.amounts["product"])) is bought


def test_a_week_of_grazing_saves_what_the_sheet_says_a_week_costs():
    ranch = fed_ranch()
    result = least_cost(ranch, PROTEIN_ENERGY)
    _, values = written(result, ranch)
    daily = values.column("Budget", "month_usd") / values.column("Calendar", "days")
    expected = [week for week in (daily - daily.min()) * 7 if week > 0]
    assert result.grazing["saves_usd"].tolist() == pytest.approx(expected)
    assert any("A week more of grazing saves" in sentence for sentence in result.words)


def test_a_binding_limit_is_named_with_what_a_pound_more_would_save():
    ranch = fed_ranch()
    result = least_cost(ranch, PROTEIN_ENERGY)
    row = result.limits.iloc[-1]
    number = 2 + ["Cube", "Distillers", "Corn", "Alfalfa"].index(row["product"])
    more = without(ranch, "Supplements", number, "most", 3.001)
    months = result.limits[result.limits["product"] == row["product"]]
    saved = sum(each["saves_usd_per_head_day"] * each["month"].days_in_month * 100 * 0.001
                for each in months.to_dict("records"))
    assert row["limit"] == "the product's own limit"
    assert result.cost_usd - least_cost(more, PROTEIN_ENERGY).cost_usd == pytest.approx(
        saved, rel=1e-3)


def test_the_sets_side_by_side_get_dearer_and_differ():
    result = least_cost(fed_ranch(), PROTEIN_ENERGY)
    assert len(set(result.sets["products"])) == 3
    assert result.sets["cost_usd"].is_monotonic_increasing
    assert result.sets["cost_usd"].iloc[0] == pytest.approx(result.cost_usd)
    for row in result.sets.to_dict("records")[1:]:
        alone = replace(PROTEIN_ENERGY, products=tuple(row["products"].split(", ")))
        assert least_cost(fed_ranch(), alone).cost_usd == pytest.approx(row["cost_usd"], rel=1e-6)


# --- the sheets
WISHES = [Wishes(), Wishes(minerals=True), Wishes(most_products=2), Wishes(keep=("Mineral",)),
          Wishes(trip_usd=12, keep=()), Wishes(units={"Corn": 1}, on_hand={"Cube 1": 2})]


@pytest.mark.parametrize("seed", range(10))
def test_the_sheet_comes_to_the_same_cents_and_the_same_shortages(seed):
    """Ranches with a few holes; without a number of head nothing could be planned at all."""
    ranch, wishes = random_ranch(seed, groups=4, months=6, holes=0.01), WISHES[seed % len(WISHES)]
    result = least_cost(ranch, wishes)
    _, values = written(result, ranch)
    assert total_usd(values) == pytest.approx(result.sheet_usd, abs=0.005)
    if ranch.settings.get("size_to_chance") == 1:
        return  # what is called short then is so of what is counted on, not of the mean
    ready, shape = result.facts, values.book.shape(values.book.tables["Balance"])
    for need in ready.needs:
        if need.key not in values.book.dimensions["nutrient"]:
            continue
        on_sheet = values.column("Balance", "still_short", need.key).reshape(shape)[ready.groups]
        told = result.shortages[result.shortages["nutrient"] == need.name]
        assert int(np.nansum(np.where(ready.solved & need.known, on_sheet, 0))) == int(
            sum(~np.isnan(on_sheet[ready.names.index(row["group"])][
                list(ready.first_days).index((row["month"] - np.datetime64("1899-12-30")).days)])
                for row in told.to_dict("records")))


def test_the_choices_are_ordinary_entries_that_the_plan_reads():
    ranch = fed_ranch()
    result = least_cost(ranch, PROTEIN_ENERGY)
    planned = plan(choices(result, ranch))
    lines = planned.lines.set_index("product")
    assert planned.lines["cost_usd"].sum() == pytest.approx(result.feed_usd, abs=0.005)
    assert set(lines.index) == set(result.amounts["product"])
    assert planned.amounts["per_head"].max() == pytest.approx(result.amounts["per_head"].max())


def test_a_line_to_keep_stays_first_and_its_product_is_not_bought_again():
    ranch = random_ranch(3, groups=4, months=6, holes=0)
    lines = ranch.sizes["line"]
    kept = {"product": "Cube 1", "own_amount": 1.0}
    ranch = replace(ranch, entries={**ranch.entries, "Plan": {2: {"product": "Corn"}, 3: kept}})
    result = least_cost(ranch, Wishes(keep=("cube 1",)))
    chosen, values = written(result, ranch)
    assert chosen.entries["Plan"][1] == kept
    assert "Cube 1" not in set(result.amounts["product"])
    assert lines_needed(result) <= chosen.sizes["line"] >= lines
    assert total_usd(values) == pytest.approx(result.sheet_usd, abs=0.005)


def test_a_mineral_that_is_put_out_already_stays_unless_minerals_count():
    feeds = {"Cube": {"cp": 38, "tdn": 70, "price": 475},
             "Mineral": {"cp": 0, "tdn": 0, "price": 900, "label_intake": 0.2}}
    ranch = gap_ranch(feeds, [{"cp": 0.5}])
    ranch = replace(ranch, entries={**ranch.entries, "Plan": {
        1: {"product": "Mineral", "mode": "by its own intake", "purpose": "DM"}}})
    result = least_cost(ranch, PROTEIN_ENERGY)
    assert result.kept_usd == pytest.approx(0.2 * DAYS * 900 / 2000)
    assert "Mineral as planned" in result.words[0]
    assert least_cost(ranch, replace(PROTEIN_ENERGY, minerals=True)).kept_usd == 0


def test_more_products_than_lines_asks_for_lines():
    ranch = fed_ranch()
    short = replace(ranch, sizes={**ranch.sizes, "line": 1})
    result = least_cost(short, PROTEIN_ENERGY)
    with pytest.raises(InputError, match=r"Plan has 1 lines.*rebuild --lines \d"):
        choices(result, short)
    one = least_cost(short, replace(PROTEIN_ENERGY, most_per_group=1))
    assert lines_needed(one) == 1 < MOST_LINES
    assert total_usd(written(one, short)[1]) == pytest.approx(one.sheet_usd, abs=0.005)


def test_intake_that_protein_restores_is_counted_once_and_as_the_sheet_counts_it():
    plain = least_cost(fed_ranch(), PROTEIN_ENERGY)
    ranch = fed_ranch(intake_response_pct=20)
    result = least_cost(ranch, PROTEIN_ENERGY)
    _, values = written(result, ranch)
    assert result.cost_usd < plain.cost_usd
    assert total_usd(values) == pytest.approx(result.sheet_usd, abs=0.005)
    for nutrient in ("cp", "tdn"):
        assert not np.nansum(values.column("Balance", "still_short", nutrient))


# --- limits and the order of work
def test_grain_does_not_meet_an_energy_gap_while_protein_is_short_for_it():
    corn = {"corn": {"cp": 8, "tdn": 80, "price": 100}}
    ranch = gap_ranch(corn, [{"cp": 0, "tdn": 2}], most_tdn_per_cp=7)
    result = least_cost(ranch, PROTEIN_ENERGY)
    assert result.amounts.empty
    assert set(result.shortages["nutrient"]) == {"TDN", "CP for its TDN"}
    with_cube = gap_ranch(corn | {"cube": FEEDS["cube38"]}, [{"cp": 0, "tdn": 2}],
                          most_tdn_per_cp=7)
    result = least_cost(with_cube, PROTEIN_ENERGY)
    _, values = written(result, with_cube)
    assert result.shortages.empty
    assert set(result.amounts["product"]) == {"corn", "cube"}
    assert values.column("Protein", "diet_tdn_per_cp")[0] == pytest.approx(7, abs=1e-4)


def test_where_nothing_is_short_nothing_is_bought_whatever_the_ratio():
    ranch = gap_ranch(FEEDS, [{"cp": -0.1, "tdn": -0.1}], most_tdn_per_cp=7)
    result = least_cost(ranch, PROTEIN_ENERGY)
    assert result.amounts.empty and result.cost_usd == 0
    assert "Nothing more need be bought" in result.words[0]


def test_grain_by_body_weight_agrees_with_the_extension_answer_of_3_lb():
    """0.25 % of a cow of 1,200 lb, as fed (extension questions and answers on corn)."""
    corn = {"corn": {"cp": 8, "tdn": 80, "price": 200, "most_pct_bw": 0.25}}
    ranch = gap_ranch(corn, [{"cp": 0, "tdn": 4}], most_tdn_per_cp=1000)
    ranch = without(ranch, "Herd", 1, "weighed_shrunk", "yes")
    result = least_cost(ranch, PROTEIN_ENERGY)
    assert per_head(result, "corn") == pytest.approx(3.0, abs=0.001)
    assert "now at most 3: the product's limit by body weight" in result.remedies[0]


def test_sulfur_of_the_whole_diet_keeps_its_limit():
    feeds = {"distillers": {"cp": 30, "tdn": 80, "price": 100, "s": 1.4},
             "cube": {"cp": 38, "tdn": 70, "price": 475, "s": 0.3}}
    ranch = gap_ranch(feeds, [{"cp": 2.5, "tdn": 3}], hay={"s": 0.2})
    result = least_cost(ranch, PROTEIN_ENERGY)
    _, values = written(result, ranch)
    most = values.column("Minerals", "most", "s")[0]
    assert set(result.amounts["product"]) == {"distillers", "cube"}
    assert values.column("Minerals", "in_diet", "s")[0] == pytest.approx(most, rel=1e-4)
    assert "sulfur in the whole diet" in set(result.limits["limit"])


def test_a_limit_on_the_diet_joins_by_the_names_of_its_column_and_its_setting(monkeypatch):
    line = limits.DietLimit("dry_matter.fat", "usual_fat_pct", "diet", "fat", forage="fat")
    monkeypatch.setattr(limits, "DIET_LIMITS", (line, replace(line, most="not there yet")))
    feeds = {"rich": {"cp": 30, "tdn": 80, "price": 100, "fat": 9},
             "lean": {"cp": 30, "tdn": 70, "price": 300, "fat": 2}}
    ranch = gap_ranch(feeds, [{"cp": 2.0}], hay={"fat": 2.0}, usual_fat_pct=2.5)
    result = least_cost(ranch, Wishes(needs=("cp",)))
    dry = {p: per_head(result, p) * 0.9 for p in feeds}
    fat = 25 * 0.02 + dry["rich"] * 0.1 + dry["lean"] * 0.02 / 0.9
    assert fat / (25 + sum(dry.values())) == pytest.approx(0.025, abs=1e-6)
    assert min(dry.values()) > 0


def test_an_impossible_season_says_what_is_short_and_what_would_make_it_possible():
    feeds = {"cube": {"cp": 38, "tdn": 70, "price": 475, "most": 1}}
    ranch = gap_ranch(feeds, [{"cp": 0.1}, {"cp": 0.57}])
    result = least_cost(ranch, Wishes(needs=("cp",)))
    row = result.shortages.iloc[0]
    assert (row["group"], f"{row['month']:%b %Y}", row["nutrient"]) == ("Cows", "Dec 2026", "CP")
    assert row["short"] == pytest.approx(0.57 - 0.38, abs=1e-4)
    assert row["pct_of_need"] == pytest.approx((1.25 + 0.38) / (1.25 + 0.57) * 100, abs=0.01)
    assert "CP cannot be met in 1 month; in Dec 2026 it stays 0.19 lb/day a head short" in (
        " ".join(result.words))
    assert result.remedies == ("It would take 1.5 lb of cube a head and day for Cows in Dec 2026;"
                               " now at most 1: the product's own limit.",)
    raised = without(ranch, "Supplements", 2, "most", 1.5)
    assert least_cost(raised, Wishes(needs=("cp",))).shortages.empty


def test_a_need_that_no_feed_serves_asks_for_another_feed():
    result = least_cost(gap_ranch({"urea": {"cp": 280, "tdn": 0, "price": 600}},
                                  [{"cp": 0, "tdn": 2}]), PROTEIN_ENERGY)
    assert result.remedies == ("No feed on Supplements brings enough TDN for Cows; it would take"
                               " another feed, or another forage.",)


@pytest.mark.parametrize("sets", [1, 3])
def test_too_few_products_is_said_and_protein_goes_first(sets):
    feeds = {"protein": {"cp": 60, "tdn": 0, "price": 300},
             "energy": {"cp": 0, "tdn": 90, "price": 300, "most": 10}}
    ranch = gap_ranch(feeds, [{"cp": 0.5, "tdn": 2}])
    result = least_cost(ranch, replace(PROTEIN_ENERGY, most_products=1, sets=sets))
    assert result.remedies == ("All needs could be met if more products were allowed.",)
    assert set(result.shortages["nutrient"]) == {"TDN"}


# --- buying, trips, forage
def test_what_is_on_hand_is_fed_first_and_not_paid_again():
    plain = least_cost(fed_ranch(), PROTEIN_ENERGY)
    result = least_cost(fed_ranch(), replace(PROTEIN_ENERGY, on_hand={"CUBE": 2}))
    row = result.orders.set_index("product").loc["Cube"]
    assert row["needed"] == pytest.approx(2) and row["ordered"] == pytest.approx(0, abs=1e-6)
    assert result.cost_usd < plain.cost_usd


def test_prices_by_month_and_storage_decide_when_to_buy():
    ranch = fed_ranch()
    ranch.entries["Supplements"][3].update({f"month_price.{m}": usd for m, usd in (
        (1, 200), (2, 300), (3, 300))})
    wish = replace(PROTEIN_ENERGY, products=("Distillers", "Corn"))
    as_fed = least_cost(ranch, wish)
    cheap = least_cost(ranch, replace(wish, storage_usd_per_ton_month=1)).cost_usd
    dear = least_cost(ranch, replace(wish, storage_usd_per_ton_month=200)).cost_usd
    assert cheap < as_fed.cost_usd
    assert dear == pytest.approx(as_fed.cost_usd)
    _, values = written(as_fed, ranch)
    assert total_usd(values) == pytest.approx(as_fed.sheet_usd, abs=0.005)


def test_trips_are_counted_as_their_formula_says():
    """Arithmetic: 3 a week over 30, 31 and 31 days, each rounded up, are 13 + 14 + 14 trips."""
    result = least_cost(fed_ranch(), replace(PROTEIN_ENERGY, trip_usd=20, times_per_week=3))
    assert result.trips == 41
    assert result.cost_usd == pytest.approx(result.feed_usd + 41 * 20)
    assert choices(result, fed_ranch()).entries["Plan"][1]["times_per_week"] == 3


def test_the_better_hay_goes_to_the_group_that_needs_it():
    ranch, both = hay_ranch(), ("Good hay", "Poor hay")
    wishes = Wishes(needs=("rdp", "cp", "tdn"))
    shared = replace(wishes, forages={"Dry cows": both, "Cows in milk": both},
                     forage_on_hand={"Good hay": 130, "Poor hay": 200})
    result = least_cost(ranch, shared)
    chosen, values = written(result, ranch)
    tons = result.forages.groupby(["group", "forage"])["fed"].sum()
    assert result.cost_usd < 0.2 * least_cost(ranch, wishes).cost_usd
    assert tons["Cows in milk", "Good hay"] > tons["Dry cows", "Good hay"]
    assert result.forages.groupby("forage")["fed"].sum()["Good hay"] <= 130.01
    assert total_usd(values) == pytest.approx(result.sheet_usd, abs=0.005)
    assert not any(values.column("Balance", "still_short", n)[:6].any() for n in wishes.needs)
    assert ranch.entries.get("Diet") is None and len(chosen.entries["Diet"]) == 6


def test_too_little_hay_is_put_out_in_part_and_made_up_with_feed():
    both = ("Good hay", "Poor hay")
    wishes = Wishes(needs=("rdp", "cp", "tdn"), forages={"Dry cows": both, "Cows in milk": both},
                    forage_on_hand={"Good hay": 50, "Poor hay": 100})
    result = least_cost(hay_ranch(), wishes)
    chosen, values = written(result, hay_ranch())
    fed = result.forages.groupby("forage")["fed"].sum()
    assert fed.to_dict() == pytest.approx({"Good hay": 50, "Poor hay": 100}, rel=1e-3)
    assert any("put_out" in cells for cells in chosen.entries["Diet"].values())
    assert total_usd(values) == pytest.approx(result.sheet_usd, abs=0.005)


def test_wishes_on_the_sheets_are_asked_of_the_cheapest_season():
    ranch = hay_ranch()
    ranch.settings.update(least_products=2, least_margin_pct=5, least_storage_usd=0, trip_hours=0.5,
                           wage_usd=20)
    ranch.entries["Supplements"][2]["buying_unit"] = 24.0
    for lot in ranch.entries["Forages"].values():
        lot["shared"] = "yes"
    both = ("Good hay", "Poor hay")
    wishes = asked(ranch, sets=1)
    assert wishes == Wishes(
        most_products=2, margin_pct=5, trip_usd=10, storage_usd_per_ton_month=0, sets=1,
        units={"Cube": 24.0}, forages={"Dry cows": both, "Cows in milk": both})
    result = least_cost(ranch, wishes)
    assert any(said.startswith("Order 1 x 24 tons of Cube") for said in result.words)
    assert any(said.startswith("Good hay: ") and "to Cows in milk" in said
               for said in result.words)


# --- bad wishes
@pytest.mark.parametrize(("wishes", "words"), [
    ({"products": ("Gold",)}, "'Gold' is not on Supplements; expected one of: none, Cube"),
    ({"forages": {"Bulls": ("Hay",)}}, "'Bulls' is not on Herd; expected one of: Cows"),
])
def test_a_wish_for_what_is_not_there_is_refused(wishes, words):
    with pytest.raises(InputError, match=words):
        least_cost(fed_ranch(), Wishes(**wishes))


@pytest.mark.parametrize(("wishes", "words"), [
    ({"margin_pct": -1}, "margin_pct is -1 %; expected 0 to 50 %"),
    ({"needs": ()}, "needs has ''; expected some of dm, rdp"),
    ({"units": {"Cube": 0}}, "a buying unit is 0 tons"),
])
def test_a_wish_that_makes_no_sense_is_refused(wishes, words):
    with pytest.raises(InputError, match=words):
        Wishes(**wishes)


def test_a_ranch_of_which_nothing_is_known_is_refused_in_a_sentence():
    blank = replace(fed_ranch(), entries={})
    with pytest.raises(InputError, match="No group can be planned"):
        least_cost(blank)


# --- the command
@pytest.fixture
def workbook(tmp_path):
    path = tmp_path / "ranch.xlsx"
    ranch = fed_ranch()
    save(replace(ranch, sizes={**ranch.sizes, "line": 1, "group": 2}), path)
    return path


def run(capfd, *words):
    code = main(["plan", *map(str, words)])
    printed = capfd.readouterr()
    return code, printed.out, printed.err


def test_the_command_shows_the_cheapest_season_and_writes_nothing(capfd, workbook):
    before = workbook.read_bytes()
    _, out, err = run(capfd, workbook, "--least-cost")
    assert "Feeds for $" in out and "The cheapest sets of products" in out
    assert "Looking for the cheapest season ..." in err
    assert workbook.read_bytes() == before


def test_the_command_writes_the_choices_with_lines_enough_after_a_backup(capfd, workbook):
    _, out, _ = run(capfd, workbook, "--least-cost", "--write", "--products", "2")
    ranch = read(workbook).ranch
    names = {cells["product"] for cells in ranch.entries["Plan"].values()}
    assert len(names) == 2 == ranch.sizes["line"]
    assert (workbook.parent / out.splitlines()[-1].rpartition(" ")[2]).exists()


def test_json_of_the_command_is_for_a_program(capfd, workbook):
    _, out, _ = run(capfd, workbook, "--least-cost", "--json")
    found = json.loads(out)
    assert found["amounts"][0]["month"] == "2026-11-01"
    assert found["sheet_usd"] == pytest.approx(sum(r["cost_usd"] for r in found["amounts"]))
    assert [row["rank"] for row in found["sets"]] == [1, 2, 3]


def test_writing_without_least_cost_is_refused(capfd, workbook):
    code, _, err = run(capfd, workbook, "--write")
    assert code == 2 and "belong to --least-cost" in err

"""One quantity worked out from typed values; numbers from print or by hand."""

from __future__ import annotations

import pytest

from haymow.calc import calculate, handbook
from haymow.problems import InputError
from haymow.units import KG_PER_LB


def test_pregnancy_on_day_250_is_that_of_the_printed_table():
    """NRC 2000, table 4-2: 3.333 Mcal/day for a calf of 38.5 kg."""
    found = calculate("pregnancy_nem_mcal_per_day",
                      {"day_of_gestation": "250", "birth_weight_kg": "38.5"})
    assert found.result.value == pytest.approx(3.333, abs=0.005)
    assert found.steps == ()


@pytest.mark.parametrize(("values", "us"), [
    ({"birth_weight": "85lb"}, False), ({"birth_weight": "85 lbs"}, False),
    ({"birth_weight_kg": "85 lb"}, False), ({"birth_weight": "85"}, True),
    ({"birth_weight_kg": str(85 * KG_PER_LB)}, False),
])
def test_pounds_and_kilograms_mean_the_same_calf(values, us):
    found = calculate("pregnancy_nem", {"day_of_gestation": "250", **values}, us)
    assert found.given[1].value == pytest.approx(85 * KG_PER_LB)


def test_a_result_is_there_in_us_units_too():
    found = calculate("shrunk_weight", {"full_weight": "1000 lb"})
    assert found.result.value_us == pytest.approx(960)  # 4 % shrink, by hand
    assert found.result.value == pytest.approx(960 * KG_PER_LB)


def test_what_is_not_given_is_worked_out_on_the_way_in_order():
    found = calculate("lactation_nem", {"milk_kg_per_day": "10", "milk_fat_pct": "4",
                                        "milk_snf_pct": "8.3"})
    assert [step.quantity.name for step in found.steps] == ["milk_energy_mcal_per_kg"]
    assert found.result.value == pytest.approx(10 * (0.092 * 4 + 0.049 * 8.3 - 0.0569))


def test_a_given_value_is_used_even_where_it_could_be_worked_out():
    found = calculate("metabolic_weight", {"shrunk_weight_kg": "625"})
    assert found.steps == ()
    assert found.result.value == pytest.approx(125)  # the fourth root of 625 is 5


@pytest.mark.parametrize(("name", "values", "said"), [
    ("pregnancy_nem", {"day_of_gestation": "250"},
     r"pregnancy_nem_mcal_per_day also needs birth_weight_kg \(Birth weight, kg or lb\)\."),
    ("maintenance_nem", {"full_weight": "1300lb", "breed_factor": "1", "sex_factor": "1"},
     r"also needs lactation_factor \(.*; or lactating_share and lactation_maintenance\)"),
    ("shrunk_gain", {"equivalent_weight_kg": "300"},
     r"shrunk_gain_kg_per_day also needs retained_energy_mcal_per_day \("),
    ("lactation_nem", {"milk": "10 kg/day", "milk_fat_pct": "4"}, r"also needs milk_snf_pct"),
    ("pregnency_nem", {}, r"did you mean pregnancy_nem_mcal_per_day"),
    ("weight of the moon", {}, r"is not a quantity of the handbook; 'haymow calc --list'"),
    ("pregnancy_nem", {"day_of_gestatoin": "250"}, r"did you mean day_of_gestation\?"),
    ("pregnancy_nem", {"birth_weight": "85"},
     r"'85' without a unit; write birth_weight=85lb or birth_weight_kg=85"),
    ("pregnancy_nem", {"birth_weight": "85 stone"}, r"expected a number in kg or lb"),
    ("pregnancy_nem", {"birth_weight": "heavy"}, r"'heavy'; expected a number"),
    ("pregnancy_nem", {"day_of_gestation": "400"},
     r"Day of gestation is 400 .*; expected 0 to 283"),
    ("shrunk_weight", {"full_weight": "nan"}, r"'nan'; expected a number"),
])
def test_what_cannot_be_worked_out_is_told_in_one_sentence(name, values, said):
    with pytest.raises(InputError, match=said):
        calculate(name, values)


def test_the_list_holds_what_can_be_worked_out_by_hand_and_finds_words_of_labels():
    names = [equation.name for equation in handbook()]
    assert "pregnancy_nem_mcal_per_day" in names
    assert names == sorted(set(names))
    assert "tdn_from_adf_pct_dm" in [equation.name for equation in handbook("tdn adf")]
    assert handbook("unicorn") == []

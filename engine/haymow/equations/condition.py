"""Body condition: what a score weighs, what energy it holds, and how scores change."""

import numpy as np

from ..dialect import equation, working

__all__ = [
    "body_energy_change_mcal", "body_energy_mcal", "body_fat_pct", "body_protein_pct",
    "condition_at_energy", "condition_change_days", "condition_factor",
    "condition_nem_mcal_per_day", "condition_weight_kg", "condition_weight_pct",
    "score_energy_mcal", "weight_at_score_5_kg",
]

FAT_PER_SCORE = 3.7683  # % of empty weight
PROTEIN = (20.0886, 0.66762)  # % of empty weight without any score, and less per score
RELATIVE = (13.0, 18.0)  # weight beside that at score 5: 13 / (18 - score)
EMPTY_COW = 0.851  # kg of empty per kg of shrunk mature cow
MCAL_PER_KG_FAT = 9.4
MCAL_PER_KG_PROTEIN = 5.7
DIET_PER_LOST = 0.80  # Mcal of diet NEm that 1 Mcal lost from the body stands for


@equation("NRC2000", "body reserves; remembered, gives the printed column to 0.06 %", seen=False)
def body_fat_pct(condition_score):
    """Fat in the empty body of a cow by her condition score.

    Any shape; score 1 to 9; % of empty weight out.

    fat = 3.7683 * score

    >>> round(body_fat_pct(4), 2)
    15.07
    """
    return FAT_PER_SCORE * condition_score


@equation("NRC2000", "body reserves; remembered, gives the printed energy of scores", seen=False)
def body_protein_pct(condition_score):
    """Protein in the empty body of a cow by her condition score.

    Any shape; score 1 to 9; % of empty weight out.

    protein = 20.0886 - 0.66762 * score

    >>> round(body_protein_pct(5), 2)
    16.75
    """
    none, per_score = PROTEIN
    return none - per_score * condition_score


@equation("MISSISSIPPI-BCS", "table 1, weight beside score 5; form fitted to it", seen=False)
def condition_weight_pct(condition_score):
    """Shrunk weight of a cow beside her weight at score 5.

    Any shape; score 1 to 9; % out.

    weight = 1300 / (18 - score)

    >>> [round(condition_weight_pct(score)) for score in range(1, 10)]
    [76, 81, 87, 93, 100, 108, 118, 130, 144]
    """
    at_five, limit = RELATIVE
    return 100 * at_five / (limit - condition_score)


@equation("MISSISSIPPI-BCS", "table 1, weight beside score 5; form fitted to it", seen=False)
def weight_at_score_5_kg(shrunk_weight_kg, condition_score):
    """Weight that a cow of this weight and score would have at score 5.

    Any shape; kg and score in, kg out.

    weight at 5 = weight * (18 - score) / 13

    >>> round(weight_at_score_5_kg(432, 6), 3)
    398.769
    """
    at_five, limit = RELATIVE
    return shrunk_weight_kg * (limit - condition_score) / at_five


@working
def condition_weight_kg(mature_weight_kg, condition_weight_pct):
    """Weight of a cow at a score, from her weight at score 5.

    Any shape; kg, shrunk, and % in, kg out.

    weight = weight at 5 * percent / 100

    >>> condition_weight_kg(500, 93)
    465.0
    """
    return mature_weight_kg * condition_weight_pct / 100


@equation("NRC2000", "body reserves; remembered, gives the printed energy of scores", seen=False)
def body_energy_mcal(mature_weight_kg, condition_score):
    """Energy in the body of a cow at a condition score.

    Any shape; kg, shrunk, at score 5, and score 1 to 9 in, Mcal out.

    E = 0.851 weight at the score (9.4 fat + 5.7 protein)

    >>> round(body_energy_mcal(498.95, 5) - body_energy_mcal(498.95, 4))  # 1,100 lb; 207 printed
    207
    """
    energy_pct = (MCAL_PER_KG_FAT * body_fat_pct(condition_score)
                  + MCAL_PER_KG_PROTEIN * body_protein_pct(condition_score))
    weight = mature_weight_kg * condition_weight_pct(condition_score) / 100
    return EMPTY_COW * weight * energy_pct / 100


@equation("NRC2000", "body reserves, solved for the score; form remembered", seen=False)
def condition_at_energy(body_energy_mcal, mature_weight_kg):
    """Condition score of a cow whose body holds this energy.

    Any shape; Mcal and kg, shrunk, at score 5 in, score out.

    score with E(score) = E

    >>> round(condition_at_energy(body_energy_mcal(500, 4.6), 500), 9)
    4.6
    """
    at_five, limit = RELATIVE
    held, per_score = _energy_line()
    empty_at_limit = EMPTY_COW * at_five * mature_weight_kg
    return ((limit * body_energy_mcal - empty_at_limit * held)
            / (empty_at_limit * per_score + body_energy_mcal))


@equation("NRC2000", "body reserves; remembered, gives the printed energy of scores", seen=False)
def score_energy_mcal(mature_weight_kg, condition_from, condition_to):
    """Energy between two condition scores: to be laid on if positive, set free if negative.

    Any shape; kg, shrunk, at score 5, and scores in, Mcal of NEm out. Printed tables label the
    step by its higher score.

    E(to) - E(from)

    >>> round(score_energy_mcal(544.3, 5, 6))  # 1,200 lb; 264 printed
    264
    """
    return (body_energy_mcal(mature_weight_kg, condition_to)
            - body_energy_mcal(mature_weight_kg, condition_from))


@equation("NRC2000", "use of reserves; remembered", seen=False)
def condition_nem_mcal_per_day(score_energy_mcal, days_to_change):
    """Diet energy that a wanted change of condition takes (+) or spares (-) in a day, as NEm.

    Any shape; Mcal and days in, Mcal/day out. A Mcal lost stands for 0.8 of the diet's, a Mcal
    gained takes one.

    NEm = E / days gained, 0.8 E / days lost

    >>> float(condition_nem_mcal_per_day(200, 100)), float(condition_nem_mcal_per_day(-200, 100))
    (2.0, -1.6)
    """
    used = np.where(score_energy_mcal > 0, 1.0, DIET_PER_LOST)
    return score_energy_mcal * used / days_to_change


@equation("NRC2000", "use of reserves; remembered", seen=False)
def condition_change_days(score_energy_mcal, nem_surplus_mcal_per_day):
    """Days until a surplus (+) or shortage (-) of diet energy has changed the condition as wanted.

    Any shape; Mcal and Mcal/day (not 0) in, days out; negative where the condition moves the other
    way, so that it is never reached.

    days = E / surplus, 0.8 E / shortage

    >>> float(condition_change_days(207, 2)), float(condition_change_days(-200, -1.6))
    (103.5, 100.0)
    """
    used = np.where(nem_surplus_mcal_per_day > 0, 1.0, DIET_PER_LOST)
    return score_energy_mcal * used / nem_surplus_mcal_per_day


@equation("NRC2000", "use of reserves; remembered", seen=False)
def body_energy_change_mcal(nem_surplus_mcal_per_day, days):
    """Energy that the body gains (+) or loses (-) over days of diet surplus or shortage.

    Any shape; Mcal/day and days in, Mcal out.

    change = surplus * days, shortage / 0.8 * days

    >>> float(body_energy_change_mcal(-0.8, 30))
    -30.0
    """
    used = np.where(nem_surplus_mcal_per_day > 0, 1.0, DIET_PER_LOST)
    return nem_surplus_mcal_per_day / used * days


@equation("NRC2000", "previous plane of nutrition; remembered, not in tables", seen=False)
def condition_factor(condition_score):
    """Maintenance of a thin or fat animal beside one at score 5.

    Any shape; score 1 to 9; factor out. Off by default: printed tables use 1.

    COMP = 0.8 + 0.05 * (score - 1)

    >>> condition_factor(5)
    1.0
    """
    return 0.8 + 0.05 * (condition_score - 1)


def _energy_line():
    """Mcal in a kg of empty body without any score, and more per score."""
    none, less = PROTEIN
    held = MCAL_PER_KG_PROTEIN * none / 100
    return held, (MCAL_PER_KG_FAT * FAT_PER_SCORE - MCAL_PER_KG_PROTEIN * less) / 100

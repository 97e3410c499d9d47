"""What an animal needs in calcium and phosphorus."""

from ..dialect import equation

__all__ = ["ca_need_g_per_day", "p_need_g_per_day"]

LATE_DAYS = 90.0  # the conceptus is charged with minerals in these last days only


@equation("NRC2000", "ch. 5; remembered, within 1 % of a printed column", seen=False)
def ca_need_g_per_day(shrunk_weight_kg, milk_kg_per_day, gain_net_protein_g_per_day,
                      birth_weight_kg, last_90_days_share):
    """Calcium that an animal needs in its feed, of which half is absorbed.

    Any shape; g/day out; share 0 to 1 of the time spent in the last 90 days of pregnancy.

    Ca = (0.0154 SBW + 1.23 Yn + 0.071 NPg + CBW 13.7 / 90 in the last 90 days) / 0.5

    >>> ca_need_g_per_day(500, 0, 0, 0, 0)
    15.4
    """
    return _need((0.0154, 1.23, 0.071, 13.7), 0.5, shrunk_weight_kg, milk_kg_per_day,
                 gain_net_protein_g_per_day, birth_weight_kg * last_90_days_share)


@equation("NRC2000", "ch. 5; remembered, 68 % absorption read in J. Anim. Sci. 80:1690", seen=False)
def p_need_g_per_day(shrunk_weight_kg, milk_kg_per_day, gain_net_protein_g_per_day,
                     birth_weight_kg, last_90_days_share):
    """Phosphorus that an animal needs in its feed, of which 68 % is absorbed.

    Any shape; g/day out; share 0 to 1 of the time spent in the last 90 days of pregnancy.
    Tables of the 1980s ask for 14 to 20 % more.

    P = (0.016 SBW + 0.95 Yn + 0.039 NPg + CBW 7.6 / 90 in the last 90 days) / 0.68

    >>> round(p_need_g_per_day(425, 0, 0, 0, 0), 3)
    10.0
    """
    return _need((0.016, 0.95, 0.039, 7.6), 0.68, shrunk_weight_kg, milk_kg_per_day,
                 gain_net_protein_g_per_day, birth_weight_kg * last_90_days_share)


def _need(grams, absorbed, weight, milk, net_protein, calf):
    body, per_milk, per_gain, per_calf = grams
    return (body * weight + per_milk * milk + per_gain * net_protein
            + per_calf / LATE_DAYS * calf) / absorbed

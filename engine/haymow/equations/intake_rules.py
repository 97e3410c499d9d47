"""Other rules of intake: by class of forage, by protein, by forage on offer, by pens."""

import numpy as np

from ..dialect import equation, piecewise

__all__ = [
    "hibberd_thrift_intake_pct_bw", "intake_availability_factor", "oklahoma_intake_pct_bw",
    "pen_intake_factor",
]


@equation("HIBBERD-THRIFT", "table 1; straight lines between class middles are ours", seen=True)
def hibberd_thrift_intake_pct_bw(tdn_pct_dm, lactating_share):
    """Dry matter that a cow can hold by the class of her forage, if its protein is enough.

    Any shape; % of DM and share 0 to 1 in, % of body weight a day out. About 6 lb/day high for dry
    cows on recent pen data.

    1.8, 2.2, 2.5 % dry and 2.2, 2.5, 2.7 % in milk at TDN 48.5, 55.5, 62.5 %

    >>> float(hibberd_thrift_intake_pct_bw(55.5, 1))
    2.5
    """
    return piecewise(tdn_pct_dm, tuple(
        (middle, dry + more_in_milk * lactating_share)
        for middle, dry, more_in_milk in ((48.5, 1.8, 0.4), (55.5, 2.2, 0.3), (62.5, 2.5, 0.2))))


@equation("OSU-HAY", "classes by protein; the line between 6 and 8 % is ours", seen=True)
def oklahoma_intake_pct_bw(cp_pct_dm, good_forage):
    """Dry matter that a cow eats by the protein of her hay; good_forage 1: alfalfa, silage, green.

    Any shape; % of DM and 0 or 1 in, % of body weight a day out.

    1.5 % below 6 % CP, 2.0 % above 8 %, 2.5 % of good forage

    >>> float(oklahoma_intake_pct_bw(5, 0)), float(oklahoma_intake_pct_bw(9, 0))
    (1.5, 2.0)
    """
    by_protein = piecewise(cp_pct_dm, ((6.0, 1.5), (8.0, 2.0)))
    return np.where(good_forage > 0, 2.5, by_protein)


@equation("OSU-THESIS", "abstract: equation 13.9 % low dry and 16.6 % low in milk", seen=True)
def pen_intake_factor(lactating_share):
    """What cows in pens of 2002 to 2022 ate beside the cow equation: off by default.

    Any shape; share 0 to 1 in, factor out.

    1 / (1 - 0.139) dry, 1 / (1 - 0.166) in milk

    >>> round(pen_intake_factor(0), 2), round(pen_intake_factor(1), 2)
    (1.16, 1.2)
    """
    return 1 / (1 - (0.139 + (0.166 - 0.139) * lactating_share))


@equation("NRC2000", "grazing, forage on offer; remembered", seen=False)
def intake_availability_factor(forage_mass_kg_per_ha):
    """Intake where little forage stands beside that where there is plenty.

    Any shape; kg of DM per hectare in, factor out; below 1,150 kg intake falls.

    (0.17 M - 0.000074 M**2 + 2.4) / 100, at most 1

    >>> round(float(intake_availability_factor(450.0)), 2)
    0.64
    """
    mass = forage_mass_kg_per_ha
    return np.where(mass < 1150, (0.17 * mass - 0.000074 * mass**2 + 2.4) / 100, 1.0)

"""How minerals act on each other: ratios and the levels that follow from them."""

import numpy as np

from ..dialect import equation, piecewise, ratio, working

__all__ = [
    "ca_p_ratio", "copper_alarms", "copper_target_ppm_dm", "cu_mo_ratio", "sulfur_most_pct_dm",
    "tetany_ratio",
]

MEQ_PER_PCT = {"k": 255.74, "ca": 499.0, "mg": 822.64}  # per kg of DM; as printed


@equation("CA-P-TRIAL", "abstract", seen=True)
def ca_p_ratio(ca_pct_dm, p_pct_dm):
    """Calcium beside phosphorus in the whole diet; 1.5 to 7 is fine, below 1 is not.

    Any shape; both in the same unit; 0 where there is no phosphorus.

    Ca / P

    >>> round(float(ca_p_ratio(2.43, 0.17)), 1)
    14.3
    """
    return ratio(ca_pct_dm, p_pct_dm, 0.0)


@equation("MANITOBA-TETANY", "table 1 and text", seen=True)
def tetany_ratio(k_pct_dm, ca_pct_dm, mg_pct_dm):
    """Grass tetany index of a forage in milliequivalents; risk above 2.2.

    Any shape; % of DM in. A screen: forage below 2.2 with little magnesium is not cleared by it.

    K 255.74 / (Ca 499.0 + Mg 822.64)

    >>> round(tetany_ratio(3.29, 0.39, 0.19), 2)  # 2.45 is the mean of 27 sites' ratios
    2.4
    """
    bases = MEQ_PER_PCT["ca"] * ca_pct_dm + MEQ_PER_PCT["mg"] * mg_pct_dm
    return MEQ_PER_PCT["k"] * k_pct_dm / bases


@equation("KSU96", "classes of US forage; cutoffs remembered", seen=False)
def cu_mo_ratio(cu_ppm_dm, mo_ppm_dm):
    """Copper beside molybdenum in the whole diet; below 4 is poor, below 2 harmful.

    Any shape; ppm of DM in; 99 where no molybdenum was found.

    Cu / Mo

    >>> float(cu_mo_ratio(8.0, 2.0))
    4.0
    """
    return ratio(cu_ppm_dm, mo_ppm_dm, 99.0)


@working
def copper_alarms(cu_mo_ratio, mo_ppm_dm, s_pct_dm, fe_ppm_dm):
    """How many things in the diet bind copper.

    Any shape; 0 to 4: Cu:Mo below 4, Mo over 3 ppm, S over 0.30 %, Fe over 400 ppm.

    >>> int(copper_alarms(3.0, 2.0, 0.35, 100.0))
    2
    """
    return (np.where(cu_mo_ratio < 4, 1.0, 0.0) + np.where(mo_ppm_dm > 3, 1.0, 0.0)
            + np.where(s_pct_dm > 0.30, 1.0, 0.0) + np.where(fe_ppm_dm > 400, 1.0, 0.0))


@equation("KSU96", "15 and 20 ppm of extension practice; remembered", seen=False)
def copper_target_ppm_dm(copper_alarms):
    """Copper to aim at in the whole diet: never beyond 40 ppm, and confirmed by liver samples.

    Any shape; count in, ppm of DM out.

    10; 15 with one alarm, 20 with two or more

    >>> float(copper_target_ppm_dm(1))
    15.0
    """
    return 10 + 5 * np.minimum(copper_alarms, 2)


@equation("VETMANUAL", "0.30 to 0.50 %; the line from 15 to 40 % is ours", seen=True)
def sulfur_most_pct_dm(forage_in_diet_pct):
    """Most sulfur that the whole diet should hold, water included.

    Any shape; % of the diet's dry matter in, % of DM out.

    0.30 below 15 % forage, 0.50 above 40 %, a straight line between

    >>> float(sulfur_most_pct_dm(100))
    0.5
    """
    return piecewise(forage_in_diet_pct, ((15.0, 0.30), (40.0, 0.50)))

"""Bringing feed out: how often it must be fed, and the room at a bunk."""

import numpy as np

from ..dialect import chosen, equation, piecewise
from ..units import KG_PER_LB

__all__ = ["least_usual_per_week", "salt_of_mix_pct", "trough_space_m"]

M_PER_IN = 0.0254
SPACE_IN = ((800.0, 24.0), (1000.0, 27.0), (1300.0, 28.0), (1500.0, 33.0))  # lb; mean of the range
PROTEIN_PCT = 30.0  # crude protein as fed
ENERGY_PCT = 20.0


@equation("CARE-GUIDE-2020", "space at a bunk, once-daily limited access; middles of its ranges",
          seen=True)
def trough_space_m(shrunk_weight_kg):
    """Room each animal needs at a trough so that all eat at once.

    Any shape; kg in, m out. Level below 800 and above 1,500 lb.

    22-26 in at 800 lb, 24-30 at 1,000, 26-30 at 1,300, 30-36 at 1,500 (bulls)

    >>> round(float(trough_space_m(1000 * 0.45359237)) / 0.0254, 1)
    27.0
    """
    return M_PER_IN * piecewise(shrunk_weight_kg / KG_PER_LB, SPACE_IN)


@equation("OSU-ANSI-3008", "salt-limited mixes: salt over salt and feed", seen=True)
def salt_of_mix_pct(salt_limit_kg_per_day, mix_feed_kg_per_day):
    """Salt in a mix that holds cattle to so much feed; plain white salt, with water at hand.

    Any shape; kg/day in, % of the mix out. Change to it over two to three weeks.

    salt / (salt + feed)

    >>> round(salt_of_mix_pct(1.0, 2.0), 1)
    33.3
    """
    return salt_limit_kg_per_day / (salt_limit_kg_per_day + mix_feed_kg_per_day) * 100


@equation("TAMU-FREQUENCY", "30 % CP and more: as seldom as weekly; less: daily or every other day;"
          " starch daily. Under 20 % CP we count a feed as energy, with urea as daily", seen=True)
def least_usual_per_week(cp_pct_as_fed, npn_pct_of_cp):
    """How many times a week a feed should be brought out at least.

    Any shape; % as fed and % of CP in, times a week out.

    1 from 30 % CP, 3.5 from 20 %, else 7; 7 with nonprotein nitrogen

    >>> [float(least_usual_per_week(cp, npn)) for cp, npn in ((38, 0), (25, 0), (9, 0), (38, 20))]
    [1.0, 3.5, 7.0, 7.0]
    """
    richer = 1 + (cp_pct_as_fed >= ENERGY_PCT) + (cp_pct_as_fed >= PROTEIN_PCT)
    return np.where(npn_pct_of_cp > 0, 7.0, chosen(richer, 7.0, 3.5, 1.0))

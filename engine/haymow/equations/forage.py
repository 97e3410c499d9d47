"""What a forage test says: basis, protein, digestibility and energy."""

import numpy as np

from ..dialect import equation

__all__ = [
    "cp_from_nitrogen_pct_dm", "ddm_pct_dm", "feed_de_mcal_per_kg", "feed_me_mcal_per_kg",
    "feed_neg_mcal_per_kg", "feed_nem_mcal_per_kg", "tdn_at_nem_pct_dm", "tdn_from_adf_pct_dm",
    "value_pct_as_fed", "value_pct_dm",
]

DE_PER_TDN = 0.04409  # Mcal of DE in 1 % of TDN in a kg, which is 4.409 Mcal per kg of TDN
ME_PER_DE = 0.82
NEM_CUBIC = (-1.12, 1.37, -0.138, 0.0105)  # of ME, from the constant to the cube
NEG_CUBIC = (-1.65, 1.42, -0.174, 0.0122)


@equation("STANDARD", "arithmetic of the dry matter basis", seen=True)
def value_pct_dm(value_pct_as_fed, dm_pct_as_fed):
    """Content in the dry matter of what was reported as fed.

    Any shape; % as fed in, % of DM out. Dividing is right: a reprinted table says to multiply.

    DM basis = as fed / (DM / 100)

    >>> round(value_pct_dm(3.5, 90.3), 1)  # wheat straw
    3.9
    """
    return value_pct_as_fed / dm_pct_as_fed * 100


@equation("STANDARD", "arithmetic of the dry matter basis", seen=True)
def value_pct_as_fed(value_pct_dm, dm_pct_as_fed):
    """Content as fed of what was reported in the dry matter.

    Any shape; % of DM in, % as fed out.

    as fed = DM basis * DM / 100

    >>> round(value_pct_as_fed(42.1, 85.15), 1)
    35.8
    """
    return value_pct_dm * dm_pct_as_fed / 100


@equation("OK-ALFALFA", "crude protein", seen=True)
def cp_from_nitrogen_pct_dm(nitrogen_pct_dm):
    """Crude protein from total nitrogen.

    Any shape; % of DM in and out.

    CP = 6.25 * N

    >>> cp_from_nitrogen_pct_dm(1.6)
    10.0
    """
    return 6.25 * nitrogen_pct_dm


@equation("NFTA-A3", "table 1, legume and grass", seen=True)
def ddm_pct_dm(adf_pct_dm):
    """Digestible dry matter from acid detergent fiber.

    Any shape; % of DM in and out.

    DDM = 88.9 - 0.779 * ADF

    >>> round(ddm_pct_dm(30), 1)
    65.5
    """
    return 88.9 - 0.779 * adf_pct_dm


@equation("NFTA-A3", "table 1; the line of each kind stands in forage_kinds.csv", seen=True)
def tdn_from_adf_pct_dm(adf_pct_dm, tdn_at_no_adf_pct, tdn_per_adf):
    """Total digestible nutrients (TDN) from acid detergent fiber by the line of the forage kind.

    Any shape; % of DM in and out; ADF 18 to 60. The choice of line moves TDN by 5 to 10 points,
    more than sampling does, so its name stands beside the value.

    TDN = TDN without any ADF - TDN lost per % of ADF * ADF

    >>> round(tdn_from_adf_pct_dm(30, 87.84, 0.70), 1)  # corn silage
    66.8
    """
    return tdn_at_no_adf_pct - tdn_per_adf * adf_pct_dm


@equation("NRC2000", "p. 126", seen=True)
def feed_de_mcal_per_kg(tdn_pct_dm):
    """Digestible energy (DE) of a feed from its TDN.

    Any shape; % of DM in, Mcal/kg DM out.

    DE = 4.409 * TDN / 100

    >>> round(feed_de_mcal_per_kg(100), 3)
    4.409
    """
    return DE_PER_TDN * tdn_pct_dm


@equation("NRC2000", "p. 126", seen=True)
def feed_me_mcal_per_kg(feed_de_mcal_per_kg):
    """Metabolizable energy (ME) of a feed from its digestible energy.

    Any shape; Mcal/kg DM in and out.

    ME = 0.82 * DE

    >>> round(feed_me_mcal_per_kg(2.0), 2)
    1.64
    """
    return ME_PER_DE * feed_de_mcal_per_kg


@equation("NRC2000", "cubic of ME; remembered, gives the 0.576 of p. 43", seen=False)
def feed_nem_mcal_per_kg(feed_me_mcal_per_kg):
    """Net energy for maintenance (NEm) of a feed from its metabolizable energy.

    Any shape; Mcal/kg DM in and out; ME 1.4 to 3.4 (TDN of about 40 to 90 %).

    NEm = 1.37 ME - 0.138 ME**2 + 0.0105 ME**3 - 1.12

    >>> round(feed_nem_mcal_per_kg(2.0) / 2.0, 3)
    0.576
    """
    return cubic(NEM_CUBIC, feed_me_mcal_per_kg)


@equation("NRC2000", "cubic of ME; remembered, gives printed TDN of bulls", seen=False)
def feed_neg_mcal_per_kg(feed_me_mcal_per_kg):
    """Net energy for gain (NEg) of a feed from its metabolizable energy.

    Any shape; Mcal/kg DM in and out; ME 1.4 to 3.4. Negative below a TDN of about 38 %: no gain
    is possible on such a feed.

    NEg = 1.42 ME - 0.174 ME**2 + 0.0122 ME**3 - 1.65

    >>> round(feed_neg_mcal_per_kg(2.53), 2)
    1.03
    """
    return cubic(NEG_CUBIC, feed_me_mcal_per_kg)


@equation("NRC2000", "cubic of ME, solved for the TDN; form remembered", seen=False)
def tdn_at_nem_pct_dm(feed_nem_mcal_per_kg):
    """TDN of a feed that has the given net energy for maintenance.

    Any shape; Mcal/kg DM in, % of DM out; exact from TDN 30 to 95. The cubic always rises, so it
    has one real root; this is Cardano's, written so that nothing cancels in that range.

    TDN = ME(NEm) / 0.82 / 0.04409

    >>> round(float(tdn_at_nem_pct_dm(0.968)), 1)
    50.0
    """
    _, c, b, a = NEM_CUBIC
    middle = -b / (3 * a)  # ME where the cubic bends
    steepness = (c / a - 3 * middle**2) / 3
    half = (feed_nem_mcal_per_kg - cubic(NEM_CUBIC, middle)) / (2 * a)
    root = (np.sqrt(half**2 + steepness**3) - half) ** (1 / 3)
    return (middle + steepness / root - root) / ME_PER_DE / DE_PER_TDN


def cubic(coefficients, x):
    """Value of a cubic whose coefficients run from the constant to the cube."""
    constant, first, second, third = coefficients
    return first * x + second * x**2 + third * x**3 + constant

"""Measures worked out from a forage test: indexes, carbohydrate, bound protein, summative TDN."""

import numpy as np

from ..dialect import equation
from .forage import ddm_pct_dm

__all__ = [
    "adjusted_cp_pct_dm", "available_cp_pct_dm", "bound_cp_pct_of_cp",
    "coastal_digestible_protein_pct_dm", "fiber_to_nfc_pct_dm", "hemicellulose_pct_dm",
    "ivtd_pct_dm", "nfc_pct_dm", "nfc_with_ndicp_pct_dm", "nsc_pct_dm", "organic_matter_pct_dm",
    "rfq", "rfq_grass_intake_pct_bw", "rfq_legume_intake_pct_bw", "rfv",
    "tdn_summative_grass_pct_dm", "tdn_summative_legume_pct_dm", "usual_fiber_to_nfc_pct_dm",
]

FULL_BLOOM = 1.29  # % of weight as digestible dry matter that full-bloom alfalfa gives: index 100
FULL_BLOOM_TDN = 1.23
NDF_FILL = 120.0


@equation("NFTA-A3", "relative feed value, as in many extension pages", seen=True)
def rfv(adf_pct_dm, ndf_pct_dm):
    """Relative feed value: an index of hay on which full-bloom alfalfa is about 100.

    Any shape; % of DM in. It takes no account of protein and underrates grass; for trade, not for
    the plan. Never averaged, never put on another basis.

    RFV = DDM * (120 / NDF) / 1.29

    >>> round(rfv(30, 40))
    152
    """
    return ddm_pct_dm(adf_pct_dm) * NDF_FILL / ndf_pct_dm / FULL_BLOOM


@equation("MOORE-UNDERSANDER", "legume intake of relative forage quality; remembered", seen=False)
def rfq_legume_intake_pct_bw(ndf_pct_dm, ndfd48_pct_of_ndf):
    """Intake by which relative forage quality rates legumes.

    Any shape; % of DM and % of NDF in, % of body weight a day out.

    DMI = 120 / NDF + (NDFD48 - 45) * 0.374 / 1350 * 100

    >>> round(rfq_legume_intake_pct_bw(40, 45), 2)
    3.0
    """
    return NDF_FILL / ndf_pct_dm + (ndfd48_pct_of_ndf - 45) * 37.4 / 1350


@equation("MOORE-UNDERSANDER", "grass intake of relative forage quality; remembered", seen=False)
def rfq_grass_intake_pct_bw(cp_pct_dm, tdn_pct_dm, adf_pct_dm):
    """Intake by which relative forage quality rates grasses.

    Any shape; % of DM in, % of body weight a day out.

    DMI = -2.318 + 0.442 CP - 0.01 CP**2 - 0.0638 TDN + 0.000922 TDN**2 + 0.18 ADF
    - 0.00196 ADF**2 - 0.00529 CP ADF

    >>> round(rfq_grass_intake_pct_bw(10, 55.3, 38), 2)
    2.39
    """
    cp, tdn, adf = cp_pct_dm, tdn_pct_dm, adf_pct_dm
    return (-2.318 + 0.442 * cp - 0.01 * cp**2 - 0.0638 * tdn + 0.000922 * tdn**2 + 0.18 * adf
            - 0.00196 * adf**2 - 0.00529 * cp * adf)


@equation("MOORE-UNDERSANDER", "relative forage quality; divisor remembered", seen=False)
def rfq(rfq_intake_pct_bw, tdn_pct_dm):
    """Relative forage quality: an index on the scale of relative feed value that counts digestion.

    Any shape; % of body weight and % of DM in. For trade, not for the plan.

    RFQ = DMI * TDN / 1.23

    >>> round(rfq(2.46, 60), 1)
    120.0
    """
    return rfq_intake_pct_bw * tdn_pct_dm / FULL_BLOOM_TDN


@equation("PMC10188088", "table 2", seen=True)
def nfc_pct_dm(cp_pct_dm, ndf_pct_dm, fat_pct_dm, ash_pct_dm):
    """Non-fiber carbohydrate by difference.

    Any shape; % of DM in and out.

    NFC = 100 - (CP + NDF + fat + ash)

    >>> round(nfc_pct_dm(20.64, 49.09, 1.59, 12.21), 2)
    16.47
    """
    return 100 - (cp_pct_dm + ndf_pct_dm + fat_pct_dm + ash_pct_dm)


@equation("LAB-REPORT", "carbohydrate of the report", seen=True)
def nfc_with_ndicp_pct_dm(nfc_pct_dm, ndicp_pct_dm):
    """Non-fiber carbohydrate by difference, the protein in the fiber counted once.

    Any shape; % of DM in and out. Laboratories use both forms: say which.

    NFC = 100 - (CP + NDF - NDICP + fat + ash)

    >>> nfc_with_ndicp_pct_dm(16.4, 2.1)
    18.5
    """
    return nfc_pct_dm + ndicp_pct_dm


@equation("LAB-REPORT", "carbohydrate of the report", seen=True)
def nsc_pct_dm(starch_pct_dm, sugar_pct_dm):
    """Non-structural carbohydrate.

    Any shape; % of DM in and out. Laboratories have two sugars, by water and by ethanol.

    NSC = starch + sugar

    >>> round(nsc_pct_dm(1.8, 9.9), 1)
    11.7
    """
    return starch_pct_dm + sugar_pct_dm


@equation("PMC10188088", "table 2", seen=True)
def organic_matter_pct_dm(ash_pct_dm):
    """Organic matter.

    Any shape; % of DM in and out.

    OM = 100 - ash

    >>> round(organic_matter_pct_dm(5.21), 2)
    94.79
    """
    return 100 - ash_pct_dm


@equation("STANDARD", "definition", seen=False)
def hemicellulose_pct_dm(ndf_pct_dm, adf_pct_dm):
    """Hemicellulose, roughly, as the fiber that the acid takes away.

    Any shape; % of DM in and out.

    NDF - ADF

    >>> round(hemicellulose_pct_dm(71.9, 45.3), 1)
    26.6
    """
    return ndf_pct_dm - adf_pct_dm


@equation("LAB-REPORT", "available protein of the report", seen=True)
def available_cp_pct_dm(cp_pct_dm, adicp_pct_dm):
    """Crude protein that heat has not bound to fiber.

    Any shape; % of DM in and out.

    CP - ADICP

    >>> round(available_cp_pct_dm(6.4, 0.8), 1)
    5.6
    """
    return cp_pct_dm - adicp_pct_dm


@equation("LAB-REPORT", "bound share of the report's protein", seen=True)
def bound_cp_pct_of_cp(adicp_pct_dm, cp_pct_dm):
    """Share of the crude protein that is bound to fiber; above 10 to 14 % hay was heated.

    Any shape; % of DM in, % of CP out.

    100 * ADICP / CP

    >>> round(bound_cp_pct_of_cp(0.8, 6.4), 1)
    12.5
    """
    return 100 * adicp_pct_dm / cp_pct_dm


@equation("LAB-REPORT", "rule of 14 and 20 %; remembered, the report fits it", seen=False)
def adjusted_cp_pct_dm(cp_pct_dm, adicp_pct_dm, bound_cp_pct_of_cp):
    """Crude protein lowered for what heat has bound, where the laboratory prints none.

    Any shape; % of DM and % of CP in, % of DM out. Other laboratories start at 10 %: a printed
    value goes first.

    CP up to 14 % bound; CP (100 - (bound - 7)) / 100 up to 20 %; CP - ADICP above

    >>> round(float(adjusted_cp_pct_dm(15, 2.7, 18)), 2)
    13.35
    """
    some = cp_pct_dm * (bound_cp_pct_of_cp - 7) / 100
    return (cp_pct_dm - np.where(bound_cp_pct_of_cp > 14, some, 0.0)
            - np.where(bound_cp_pct_of_cp > 20, adicp_pct_dm - some, 0.0))


@equation("JDS-47-865", "abstract", seen=True)
def coastal_digestible_protein_pct_dm(cp_pct_dm):
    """Digestible protein of Coastal bermudagrass hay.

    Any shape; % of DM in and out; CP 6 to 15 %.

    DP = 0.821 * CP - 2.57

    >>> round(coastal_digestible_protein_pct_dm(10), 2)
    5.64
    """
    return 0.821 * cp_pct_dm - 2.57


@equation("STANDARD", "definition of true digestibility; remembered", seen=False)
def ivtd_pct_dm(ndf_pct_dm, ndfd_pct_of_ndf):
    """In vitro true digestibility from the fiber and its digestibility over the same hours.

    Any shape; % of DM and % of NDF in, % of DM out. Some 10 to 12 points above the apparent
    digestibility and above TDN.

    IVTD = 100 - NDF (1 - NDFD / 100)

    >>> round(ivtd_pct_dm(64, 52), 1)
    69.3
    """
    return 100 - ndf_pct_dm * (1 - ndfd_pct_of_ndf / 100)


@equation("GEORGIA-FORAGES", "T: total digestible nutrients", seen=True)
def fiber_to_nfc_pct_dm(ndf_pct_dm, ndicp_pct_dm):
    """Fiber without its protein, as the summative TDN takes it.

    Any shape; % of DM in and out; 0.93 of the NDF where NDICP was not measured.

    NDFn = NDF - NDICP

    >>> fiber_to_nfc_pct_dm(42, 3)
    39
    """
    return ndf_pct_dm - ndicp_pct_dm


@equation("GEORGIA-FORAGES", "T: total digestible nutrients", seen=True)
def usual_fiber_to_nfc_pct_dm(ndf_pct_dm):
    """Fiber without its protein where the protein in the fiber was not measured.

    Any shape; % of DM in and out.

    NDFn = 0.93 NDF

    >>> round(usual_fiber_to_nfc_pct_dm(42), 2)
    39.06
    """
    return 0.93 * ndf_pct_dm


@equation("GEORGIA-FORAGES", "T: total digestible nutrients; fat less 1 remembered", seen=False)
def tdn_summative_legume_pct_dm(nfc_with_ndicp_pct_dm, cp_pct_dm, fat_pct_dm, fiber_to_nfc_pct_dm,
                                ndfd48_pct_of_ndf):
    """TDN of legume and legume-grass forage as a sum of what is digested.

    Any shape; % of DM and % of NDF (48 hours) in, % of DM out.

    TDN = 0.98 NFC + 0.93 CP + 0.97 * 2.25 (fat - 1) + NDFn NDFD48 / 100 - 7

    >>> round(tdn_summative_legume_pct_dm(30.14, 19, 2.3, 39.06, 46), 1)
    61.0
    """
    return (0.98 * nfc_with_ndicp_pct_dm + 0.93 * cp_pct_dm + 0.97 * 2.25 * (fat_pct_dm - 1)
            + fiber_to_nfc_pct_dm * ndfd48_pct_of_ndf / 100 - 7)


@equation("GEORGIA-FORAGES", "T: total digestible nutrients; fat less 1 remembered", seen=False)
def tdn_summative_grass_pct_dm(nfc_with_ndicp_pct_dm, cp_pct_dm, fat_pct_dm, fiber_to_nfc_pct_dm,
                               ndfd48_pct_of_ndf):
    """TDN of grass as a sum of what is digested.

    Any shape; % of DM and % of NDF (48 hours) in, % of DM out.

    TDN = 0.98 NFC + 0.87 CP + 0.97 * 2.25 (fat - 1) + NDFn (22.7 + 0.664 NDFD48) / 100 - 10

    >>> round(tdn_summative_grass_pct_dm(20.28, 10, 2.2, 59.52, 52), 1)
    55.3
    """
    digested = 22.7 + 0.664 * ndfd48_pct_of_ndf
    return (0.98 * nfc_with_ndicp_pct_dm + 0.87 * cp_pct_dm + 0.97 * 2.25 * (fat_pct_dm - 1)
            + fiber_to_nfc_pct_dm * digested / 100 - 10)

"""Nitrate: its three forms, its share in a mix, and what water adds."""

from ..dialect import equation, working

__all__ = [
    "kno3_ppm_dm", "nitrate_ppm_dm", "no3n_diluted_share", "no3n_from_kno3_ppm_dm",
    "no3n_from_nitrate_ppm_dm", "no3n_with_water_ppm_dm",
]

N, O, K = 14.007, 15.999, 39.098  # atomic weights  # noqa: E741
NO3_PER_N = (N + 3 * O) / N
KNO3_PER_N = (K + N + 3 * O) / N


@equation("STANDARD", "atomic weights; NEBRASKA-NITRATE prints 0.226", seen=True)
def no3n_from_nitrate_ppm_dm(nitrate_ppm_dm):
    """Nitrate-nitrogen from nitrate (NO3): the form in which limits are compared.

    Any shape; ppm of DM. The same number means 4.4 times as much in the other form.

    NO3-N = 0.2259 * NO3

    >>> round(no3n_from_nitrate_ppm_dm(10000))
    2259
    """
    return nitrate_ppm_dm / NO3_PER_N


@equation("STANDARD", "atomic weights; VIRGINIA-SPES201 prints 7.216", seen=True)
def no3n_from_kno3_ppm_dm(kno3_ppm_dm):
    """Nitrate-nitrogen from nitrate reported as potassium nitrate.

    Any shape; ppm of DM.

    NO3-N = KNO3 / 7.218

    >>> round(no3n_from_kno3_ppm_dm(7218))
    1000
    """
    return kno3_ppm_dm / KNO3_PER_N


@equation("STANDARD", "atomic weights; NEBRASKA-NITRATE prints 4.43", seen=True)
def nitrate_ppm_dm(no3n_ppm_dm):
    """Nitrate (NO3) from nitrate-nitrogen.

    Any shape; ppm of DM.

    NO3 = 4.427 * NO3-N

    >>> round(nitrate_ppm_dm(1000))
    4427
    """
    return no3n_ppm_dm * NO3_PER_N


@equation("STANDARD", "atomic weights; VIRGINIA-SPES201 prints 7.216", seen=True)
def kno3_ppm_dm(no3n_ppm_dm):
    """Potassium nitrate from nitrate-nitrogen.

    Any shape; ppm of DM.

    KNO3 = 7.218 * NO3-N

    >>> round(kno3_ppm_dm(1000))
    7218
    """
    return no3n_ppm_dm * KNO3_PER_N


@equation("STANDARD", "mixture of two", seen=True)
def no3n_diluted_share(no3n_most_ppm_dm, no3n_low_ppm_dm, no3n_high_ppm_dm):
    """Largest share of a high-nitrate feed in a mix with a low one, on dry matter.

    Any shape; ppm of DM in, 0 to 1 out where low < most < high. Only if truly mixed: one high and
    one low bale side by side do not dilute.

    share = (most - low) / (high - low)

    >>> round(no3n_diluted_share(1000, 300, 3200), 3)
    0.241
    """
    return (no3n_most_ppm_dm - no3n_low_ppm_dm) / (no3n_high_ppm_dm - no3n_low_ppm_dm)


@working
def no3n_with_water_ppm_dm(no3n_ppm_dm, water_no3n_ppm, water_l_per_day, intake_kg_per_day):
    """Nitrate-nitrogen of the whole diet with what the water carries.

    Any shape; ppm of DM, mg/L, L/day and kg/day in, ppm of DM out.

    feed + mg/L * L / intake

    >>> no3n_with_water_ppm_dm(900, 60, 50, 12)
    1150.0
    """
    return no3n_ppm_dm + water_no3n_ppm * water_l_per_day / intake_kg_per_day

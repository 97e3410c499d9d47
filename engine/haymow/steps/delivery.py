"""Bringing feed out: what one feeding is, whether all can eat, trips and what they cost."""

import numpy as np

from ..dialect import is_missing, only_if, ratio, typed_or, working

__all__ = [
    "cp_pct_as_fed", "delivery_day_usd_per_head_day", "delivery_usd", "interval_no",
    "last_fed_on", "least_used_per_week", "loads_per_feeding", "meal_kg", "room_measured_no",
    "room_no", "seldom", "sheet_care_no", "sheet_fed", "sheet_fed_no", "sheet_fed_used",
    "sheet_feeding_kg", "sheet_from_on", "sheet_holds_cp", "sheet_loads", "sheet_loads_no",
    "sheet_may_hold_npn", "sheet_meal_kg", "sheet_npn", "sheet_times", "sheet_until_on",
    "too_short", "travel_usd", "travel_used_usd", "trip_usd", "trips", "trips_for",
    "trough_needed_m", "trough_per_head_m", "wage_trip_usd", "wage_used_usd", "work_hours",
]

DAILY = 7.0
ALMOST = 1e-9  # 3 times a week in 28 days are 12 trips, not 13
ENOUGH = 0.999  # share of the room wanted from which there is enough


@working
def cp_pct_as_fed(dry_matter_cp, dm_known_pct_as_fed):
    """Crude protein as fed."""
    return dry_matter_cp * dm_known_pct_as_fed / 100


@working
def least_used_per_week(least_times_per_week, least_usual_per_week):
    """How often a feed should be brought out at least: the user's own, else what is usual."""
    return typed_or(least_times_per_week, least_usual_per_week)


@working
def last_fed_on(known_season_tonne, end_on):
    """Last day of feeding, where anything is fed."""
    return only_if(known_season_tonne > 0, end_on - 1)


@working
def meal_kg(per_feeding_kg, head):
    """Each animal's share at one feeding, in the month that needs most."""
    return ratio(per_feeding_kg, head, 0.0)


@working
def loads_per_feeding(per_feeding_kg, load_kg):
    """Feeder clicks, scoops, sacks or bales at one feeding."""
    return ratio(per_feeding_kg, load_kg, 0.0)


@working
def trough_needed_m(at_trough, head, trough_space_m, per_feeding_kg):
    """Trough at which all of the group can eat at once; none where nothing is fed at one."""
    return np.where((per_feeding_kg > 0) & (at_trough > 0), head * trough_space_m, 0.0)


@working
def trough_per_head_m(trough_m, head):
    """Trough that there is for each animal."""
    return ratio(trough_m, head, 0.0)


@working
def room_measured_no(trough_m, trough_needed_m):
    """2 where all can eat at once, 3 where they cannot."""
    return np.where(trough_m < trough_needed_m * ENOUGH, 3.0, 2.0)


@working
def room_no(trough_needed_m, room_measured_no):
    """0 not at a trough, 1 not said how long it is, 2 all can eat at once, 3 they cannot."""
    return np.where(trough_needed_m > 0, typed_or(room_measured_no, 1.0), 0.0)


@working
def seldom(times_used, least_used_per_week):
    """1 where a feed is brought out less often than it should be."""
    return np.where(times_used < least_used_per_week, 1.0, 0.0)


@working
def interval_no(mode_no, known_season_tonne, times_used, seldom):
    """1 where a feed is brought out less often than it should be, 2 where that is not known."""
    brought = (mode_no < 3) & (known_season_tonne > 0) & (times_used < DAILY)
    return np.where(brought, typed_or(seldom, 2.0), 0.0)


@working
def too_short(room_no):
    """1 where not all can eat at once."""
    return np.where(room_no > 2, 1.0, 0.0)


@working
def trips_for(mode_no, goes_along_no, times_used):
    """Trips a week of its own: none for what is eaten as they like, or goes out with another."""
    return np.where((mode_no < 3) & (goes_along_no < 2), times_used, 0.0)


@working
def trips(known_season_tonne, season_days, trips_for):
    """Trips in the season: those begun count whole."""
    counted = np.floor(season_days * trips_for / 7 - ALMOST) + 1
    return np.where(known_season_tonne > 0, counted, 0.0)


@working
def wage_trip_usd(trip_hours, wage_usd):
    """Labor of a trip."""
    return trip_hours * wage_usd


@working
def travel_usd(trip_distance, distance_usd):
    """Fuel and truck of a trip."""
    return trip_distance * distance_usd


@working
def wage_used_usd(wage_trip_usd):
    """Labor of a trip; none counted where it is not said."""
    return typed_or(wage_trip_usd, 0.0)


@working
def travel_used_usd(travel_usd):
    """Travel of a trip; none counted where it is not said."""
    return typed_or(travel_usd, 0.0)


@working
def trip_usd(wage_trip_usd, travel_usd, wage_used_usd, travel_used_usd):
    """What a trip costs, of what is said on Start; not known where nothing is."""
    known = is_missing(wage_trip_usd) + is_missing(travel_usd) < 2
    return only_if(known, wage_used_usd + travel_used_usd)


@working
def delivery_usd(trips, trip_usd):
    """What bringing the feed out costs in the season."""
    return trips * trip_usd


@working
def work_hours(trips, trip_hours):
    """Labor of the season."""
    return trips * trip_hours


@working
def delivery_day_usd_per_head_day(delivery_usd, head, season_days):
    """The same per head and day of feeding."""
    return ratio(delivery_usd, head * season_days, 0.0)


@working
def sheet_feeding_kg(per_head_or_none_kg_per_day, head, times_used, fed_days_used):
    """As fed for the whole group at one feeding of the month, where it is fed."""
    fed = (fed_days_used > 0) & (per_head_or_none_kg_per_day > 0)
    return only_if(fed, per_head_or_none_kg_per_day * head * 7 / times_used)


@working
def sheet_fed(sheet_feeding_kg):
    """1 where anything is fed in the month."""
    return np.where(sheet_feeding_kg > 0, 1.0, 0.0)


@working
def sheet_fed_used(sheet_fed):
    """The same, 0 where nothing is."""
    return typed_or(sheet_fed, 0.0)


@working
def sheet_fed_no(used, cost_usd, sheet_fed_used):
    """0 nothing is fed in the month, 1 fed, 2 not known."""
    return used * np.where(is_missing(cost_usd) > 0, 2.0, sheet_fed_used)


@working
def sheet_meal_kg(sheet_feeding_kg, head):
    """Each animal's share of it."""
    return ratio(sheet_feeding_kg, head, 0.0)


@working
def sheet_loads(sheet_feeding_kg, load_kg):
    """Feeder clicks, scoops, sacks or bales of it."""
    return ratio(sheet_feeding_kg, load_kg, 0.0)


@working
def sheet_from_on(sheet_feeding_kg, start_on, first_day):
    """First day of feeding in the month."""
    return only_if(sheet_feeding_kg > 0, np.maximum(start_on, first_day))


@working
def sheet_until_on(sheet_feeding_kg, end_on, first_day, days):
    """Last day of feeding in the month."""
    return only_if(sheet_feeding_kg > 0, np.minimum(end_on, first_day + days) - 1)


@working
def sheet_npn(npn_used_pct_of_cp):
    """1 where it holds nonprotein nitrogen."""
    return np.where(npn_used_pct_of_cp > 0, 1.0, 0.0)


@working
def sheet_holds_cp(product_cp):
    """1 where it holds crude protein at all."""
    return np.where(product_cp > 0, 1.0, 0.0)


@working
def sheet_may_hold_npn(sheet_holds_cp):
    """The same; 1 where it is not known."""
    return typed_or(sheet_holds_cp, 1.0)


@working
def sheet_care_no(sheet_fed_used, sheet_may_hold_npn, sheet_npn):
    """1 where what is fed holds nonprotein nitrogen, 2 where it is not known, else 0."""
    return np.where(sheet_fed_used * sheet_may_hold_npn > 0, typed_or(sheet_npn, 2.0), 0.0)


@working
def sheet_times(sheet_feeding_kg, times_used):
    """Feedings a week, where anything is fed."""
    return only_if(sheet_feeding_kg > 0, times_used)


@working
def sheet_loads_no(sheet_loads):
    """1 where it can be said in loads."""
    return np.where(sheet_loads > 0, 1.0, 0.0)

"""How sure it is that needs are met, and how much of each forage is eaten."""

from ..dialect import typed_or, working

__all__ = [
    "cp_short_used", "eaten_short_all_kg", "eaten_used_kg_per_day", "main_short_kg",
    "second_short_kg", "third_short_kg", "usual_eaten_kg_per_day",
]

USUAL_EATEN_PCT_BW = 2.0  # common practice; only where intake is not known, to weigh a test's worth


# --- how much of a forage is eaten while protein is short
@working
def cp_short_used(cp_short):
    """1 in a month in which forage alone is short of protein, or that is not known."""
    return typed_or(cp_short, 1.0)


@working
def usual_eaten_kg_per_day(shrunk_weight_kg):
    """What cattle of that weight about eat."""
    return shrunk_weight_kg * USUAL_EATEN_PCT_BW / 100


@working
def eaten_used_kg_per_day(intake_kg_per_day, usual_eaten_kg_per_day):
    """Intake of the plan; where it is not known yet, about what cattle of that weight eat."""
    return typed_or(intake_kg_per_day, usual_eaten_kg_per_day)


@working
def main_short_kg(main_pct, cp_short_used, eaten_used_kg_per_day, head, days):
    """Main forage the group eats in a month short of protein, dry matter."""
    return main_pct / 100 * cp_short_used * eaten_used_kg_per_day * head * days


@working
def second_short_kg(second_pct_used, cp_short_used, eaten_used_kg_per_day, head, days):
    """Second forage the group eats in a month short of protein, dry matter."""
    return second_pct_used / 100 * cp_short_used * eaten_used_kg_per_day * head * days


@working
def third_short_kg(third_pct_used, cp_short_used, eaten_used_kg_per_day, head, days):
    """Third forage the group eats in a month short of protein, dry matter."""
    return third_pct_used / 100 * cp_short_used * eaten_used_kg_per_day * head * days


@working
def eaten_short_all_kg(main_eaten_all_kg, second_eaten_all_kg, third_eaten_all_kg):
    """What all groups eat of it in months short of protein."""
    return main_eaten_all_kg + second_eaten_all_kg + third_eaten_all_kg

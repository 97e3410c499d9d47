"""What each group eats of each lot, and what of it the lot that follows gives."""

from ..dialect import is_missing, only_if, working

__all__ = [
    "group_forage_kg", "handed_kg", "kept_kg", "lot_used_kg", "main_not_known", "main_used_kg",
    "named_kg", "named_unknown", "second_not_known", "second_used_kg", "third_not_known",
    "third_used_kg",
]


@working
def group_forage_kg(forage_eaten_kg_per_day, head, days):
    """Forage that the group eats in the month, dry matter."""
    return forage_eaten_kg_per_day * head * days


@working
def main_used_kg(group_forage_kg, main_pct):
    """Of the main forage."""
    return group_forage_kg * main_pct / 100


@working
def second_used_kg(group_forage_kg, second_pct_used):
    """Of the second forage."""
    return group_forage_kg * second_pct_used / 100


@working
def third_used_kg(group_forage_kg, third_pct_used):
    """Of the third forage."""
    return group_forage_kg * third_pct_used / 100


@working
def main_not_known(main_used_kg):
    """1 where a group's part of the main forage is not known."""
    return is_missing(main_used_kg)


@working
def second_not_known(second_used_kg):
    """1 where a group's part of the second forage is not known."""
    return is_missing(second_used_kg)


@working
def third_not_known(third_used_kg):
    """1 where a group's part of the third forage is not known."""
    return is_missing(third_used_kg)


@working
def named_kg(main_named_kg, second_named_kg, third_named_kg):
    """What all groups eat under this lot's name in the month."""
    return main_named_kg + second_named_kg + third_named_kg


@working
def named_unknown(main_unknown, second_unknown, third_unknown):
    """Groups of which that is not known."""
    return main_unknown + second_unknown + third_unknown


@working
def kept_kg(named_kg, next_share_used):
    """Of it from this lot, not the one that follows."""
    return named_kg * (1 - next_share_used)


@working
def handed_kg(named_kg, next_share_used):
    """Of it from the lot that follows."""
    return named_kg * next_share_used


@working
def lot_used_kg(kept_kg, handed_in_kg, named_unknown):
    """Eaten of this lot in the month; not known where a group's is not."""
    return only_if(named_unknown < 1, kept_kg + handed_in_kg)

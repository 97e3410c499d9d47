"""Least cost: the cheapest season that meets what can be met, over groups, months and products."""

from .asked import asked
from .choices import MOST_LINES, choices, lines_needed
from .fitting import fitting
from .result import LeastCost
from .search import least_cost
from .wishes import Wishes

__all__ = ["MOST_LINES", "LeastCost", "Wishes", "asked", "choices", "fitting", "least_cost",
           "lines_needed"]

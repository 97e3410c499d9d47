"""Haymow: plan a beef herd's feeding season from forage tests."""

__version__ = "0.1.0"

"""Haymow inside Excel: functions for cells, macros for links, and what they need installed."""

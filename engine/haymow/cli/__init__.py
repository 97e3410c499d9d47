"""The command line ``haymow``."""

from .commands import app, main

__all__ = ["app", "main"]

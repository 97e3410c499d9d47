"""The command line ``haymow``."""

from . import sample_commands
from .commands import app, main

__all__ = ["app", "main", "sample_commands"]

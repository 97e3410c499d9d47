"""Tables over arrays: one axis per dimension, worked out on demand; the stepped one by slices."""

from .arrays import UNKNOWN, as_text, conversions, target_of
from .values import Values

__all__ = ["UNKNOWN", "Values", "as_text", "conversions", "target_of"]

"""Small content folders, written as text and weighed."""

from weighing import weighed

__all__ = ["weighed"]

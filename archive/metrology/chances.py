"""Chances of a figure: by the normal distribution, or Student's where its error is a guess."""

from __future__ import annotations

import math

COVER = 1.96


def within(t: float, freedom: int | None) -> float:
    """The chance that a figure lies within ± t of its own standard uncertainties.

    By the normal distribution, or Student's with so many degrees of freedom (M. Abramowitz and
    I. A. Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4).

    >>> round(within(2.228, 10), 3)
    0.95
    """
    if freedom is None:
        return math.erf(t / math.sqrt(2))
    angle = math.atan2(t, math.sqrt(freedom))
    sine, cosine = math.sin(angle), math.cos(angle)
    odd = freedom % 2
    term, total = (cosine if odd else 1.0), 0.0
    for k in range(1 + odd, freedom, 2):
        total += term
        term *= cosine * cosine * k / (k + 1)
    if odd:
        return 2 / math.pi * (angle + sine * total)
    return sine * total


def cover_factor(freedom: int | None) -> float:
    """How many standard uncertainties a 95 % half-width is: 1.96, or Student's t.

    >>> round(cover_factor(2), 3)
    4.303
    """
    if freedom is None:
        return COVER
    low, high = COVER, 13.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if within(middle, freedom) < 0.95 else (low, middle)
    return high


def chance_within(off: float, tolerance: float, u: float, freedom: int | None = None) -> float:
    """The chance that the truth lies within ± tolerance of a figure.

    The figure stands `off` from the best estimate, whose standard uncertainty is `u` (all in one
    unit); `freedom` are its degrees of freedom, None where u is known.

    >>> round(chance_within(0.0, 1.96, 1.0), 3)
    0.95
    """
    if u <= 0:
        return 1.0 if abs(off) <= tolerance else 0.0
    near, far = (tolerance - abs(off)) / u, (tolerance + abs(off)) / u
    one, other = within(abs(near), freedom), within(far, freedom)
    return (other + one) / 2 if near >= 0 else (other - one) / 2

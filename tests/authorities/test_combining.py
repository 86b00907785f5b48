"""Combining figures against published values: means, scale factors, spreads, worked examples."""

from __future__ import annotations

import math

import numpy as np
import pytest

from archive.metrology.chances import cover_factor, within
from archive.metrology.combine import combine, combine_things, spread_between
from archive.metrology.judge import chi2_tail

# The constant of gravitation, sixteen determinations: value and u in the last digits, 1e-11 SI
# (CODATA 2018; as typed in the tests of a general statistics library).
GRAVITY = (
    *((6.67248, 0.00043), (6.6729, 0.0005), (6.67398, 0.00070), (6.674255, 0.000092)),
    *((6.67559, 0.00027), (6.67422, 0.00098), (6.67387, 0.00027), (6.67222, 0.00087)),
    *((6.67425, 0.00012), (6.67349, 0.00018), (6.67554, 0.00016), (6.67191, 0.00099)),
    *((6.67435, 0.00013), (6.674184, 0.000078), (6.674484, 0.000077), (6.67260, 0.00025)),
)
# Planck's constant, three determinations, 1e-34 J s (same place).
PLANCK = ((6.62607013300, 6.00e-8), (6.62607005883, 1.65e-7), (6.62606993400, 8.90e-8))


def alone(figures):
    """Values, and an error source of its own for each."""
    return [v for v, _ in figures], [((f"own|{i}|", u),) for i, (_, u) in enumerate(figures)]


def test_two_figures_that_disagree():
    """Weighted mean and scale factor of 10 ± 4 and 30 ± 5, as T. Dorigo prints them (“What PDG
    weighted average means”): 17.80 and 3.12, S² = χ²/(N − 1); here 9.756.
    """
    found = combine(*alone([(10, 4), (30, 5)]))
    assert found.value == pytest.approx(17.80, abs=0.005)
    assert found.u / found.scaled == pytest.approx(3.12, abs=0.005)
    assert found.chi2 == pytest.approx(9.756, abs=1e-3)
    assert found.scaled == pytest.approx(math.sqrt(9.756), abs=1e-3)


def test_a_scale_factor_of_the_particle_data_group():
    """Ω_b mass: 6054.4 ± 6.8 ± 0.9 and 6165 ± 10 ± 13 MeV: 6071 ± 40, S = 6.2 (PDG, from memory;
    the inputs as in the experiments' abstracts).
    """
    figures = [(6054.4, math.hypot(6.8, 0.9)), (6165.0, math.hypot(10, 13))]
    found = combine(*alone(figures))
    assert round(found.value) == 6071
    assert found.scaled == pytest.approx(6.2, abs=0.05)
    assert found.u == pytest.approx(40, abs=1)


def test_loose_figures_are_left_out_of_the_scale_factor():
    """PDG, Introduction 5.2.2 (from memory): only errors below 3 √N δ enter S. A figure a hundred
    times as loose agrees with anything, and would hide that the other two don't agree.
    """
    two = combine(*alone([(10, 4), (30, 5)]))
    three = combine(*alone([(10, 4), (30, 5), (20, 400)]))
    assert three.scaled == pytest.approx(two.scaled, rel=1e-3)


def test_the_constant_of_gravitation():
    """χ² 197.8399 (metafor's test of Cochran's Q); CODATA 2018: 6.674 30(15), Birge ratio 3.6 to
    3.63, expanded by 3.9.
    """
    found = combine(*alone(GRAVITY))
    assert found.chi2 == pytest.approx(197.8399, abs=1e-3)
    assert math.sqrt(found.chi2 / found.dof) == pytest.approx(3.63, abs=0.01)
    assert found.value == pytest.approx(6.67430, abs=2e-5)
    assert found.u / found.scaled * 3.9 == pytest.approx(1.5e-4, abs=0.05e-4)
    backwards = combine(*alone(GRAVITY[::-1]))
    assert backwards.chi2 == pytest.approx(found.chi2)


def test_plancks_constant():
    """Q = 3.442127, p = 0.1788758 (metafor's test of Cochran's Q)."""
    found = combine(*alone(PLANCK))
    assert found.chi2 == pytest.approx(3.442127, abs=1e-5)
    assert found.chance == pytest.approx(0.1788758, abs=1e-6)
    assert found.chance == chi2_tail(found.chi2, 2)


def clasp():
    """Log odds ratios of six trials and their variances (DerSimonian and Kacker 2007)."""
    n1, n2 = np.array([156, 303, 565, 1570, 103, 4659]), np.array([74, 303, 477, 1565, 105, 4650])
    a, c = np.array([5, 5, 12, 69, 9, 313]), np.array([8, 17, 9, 94, 11, 352])
    odds = np.log(a * (n2 - c) / (c * (n1 - a)))
    return odds, 1 / a + 1 / c + 1 / (n1 - a) + 1 / (n2 - c)


def test_spreads_between_six_trials():
    """R. DerSimonian and R. Kacker, Contemporary Clinical Trials 28:105 (2007), Tables 3 and 4:
    moments τ .2323, μ −.3240, se .1540; Paule-Mandel τ .3681, μ −.3811, se .2060.
    """
    odds, variance = clasp()
    assert math.sqrt(spread_between(odds, np.diag(variance), rounds=0)) == pytest.approx(
        0.2323, abs=5e-5
    )
    found = combine_things(*alone(list(zip(odds, np.sqrt(variance), strict=True))))
    assert found.spread == pytest.approx(0.3681, abs=5e-5)
    assert found.value == pytest.approx(-0.3811, abs=5e-5)
    assert found.u == pytest.approx(0.2060, abs=5e-5)


def test_moments_estimate_of_nine_trials():
    """S.-L. T. Normand, Statistics in Medicine 18:321 (1999), Table IX: τ² 218.72; fixed −3.49
    [−5.03, −1.96].
    """
    y = np.array([-20, -2, -55, -71, -4, 1, 11, -10, 7.0])
    v = np.array([40.5863, 2.0468, 15.2809, 150.2222, 20.1923, 1.2235, 95.3756, 8.0321, 20.6936])
    assert spread_between(y, np.diag(v), rounds=0) == pytest.approx(218.7216, abs=3e-3)
    fixed = combine(*alone(list(zip(y, np.sqrt(v), strict=True))))
    u = fixed.u / fixed.scaled
    assert fixed.value == pytest.approx(-3.4939, abs=1e-3)
    assert fixed.value - 1.95996 * u == pytest.approx(-5.0265, abs=2e-3)


def test_paule_and_mandels_two_laboratories():
    """R. C. Paule and J. Mandel, J. Res. NBS 87:377 (1982), second example (inputs as printed;
    the result recomputed, 112.7375, 209.0406, 7.5085).
    """
    figures = [(201.533, 0.154 / math.sqrt(6)), (216.55, 0.25 / math.sqrt(2))]
    found = combine_things(*alone(figures))
    assert found.spread**2 == pytest.approx(112.7375, abs=1e-3)
    assert found.value == pytest.approx(209.0406, abs=1e-3)
    assert found.u == pytest.approx(7.5085, abs=1e-3)


def test_the_end_gauge_with_second_order():
    """JCGM 100:2008, H.1.7: two products of doubtful factors, of which one estimate is nought, add
    11.7 nm and 1.7 nm: u = 34 nm instead of 32.
    """
    length = 50_000_623.0
    first = {
        "standard": 25.0,
        "compared": 9.7,
        "expansion": 0.1e-6 * length / math.sqrt(3),
        "warm": 0.05 / math.sqrt(3) * 11.5e-6 * length,
    }
    u_difference, u_room = 1e-6 / math.sqrt(3), math.hypot(0.2, 0.5 / math.sqrt(2))
    u_expansion, u_warm = 2e-6 / math.sqrt(3), 0.05 / math.sqrt(3)
    second = (length * u_difference * u_room, length * u_expansion * u_warm)
    assert second == (pytest.approx(11.7, abs=0.05), pytest.approx(1.7, abs=0.05))
    assert math.sqrt(sum(u * u for u in first.values())) == pytest.approx(32, abs=0.4)
    assert math.hypot(*first.values(), *second) == pytest.approx(34, abs=0.4)


def test_correlated_results_combine_with_what_they_share():
    """JCGM 100:2008, H.2: R and X share their readings (r = −0.588); a sum weighted by least
    squares needs that covariance. Against numpy's own generalised least squares.
    """
    v = np.array([5.007, 4.994, 5.005, 4.990, 4.999])
    i = np.array([19.663, 19.639, 19.640, 19.685, 19.678]) * 1e-3
    p = np.array([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])
    r, x = v * np.cos(p) / i, v * np.sin(p) / i
    both = np.stack([r - r.mean(), x - x.mean()]) / math.sqrt(20)
    cover = both @ both.T
    assert cover[0, 1] / math.sqrt(cover[0, 0] * cover[1, 1]) == pytest.approx(-0.591, abs=5e-3)
    errors = [tuple((f"set|{k}|", float(e)) for k, e in enumerate(row)) for row in both]
    figures = [0.0, 0.2]
    found = combine(figures, errors)
    weight = np.linalg.inv(cover)
    mean = weight.sum(0) @ figures / weight.sum()
    assert found.value == pytest.approx(mean, rel=1e-6)
    assert found.u / found.scaled == pytest.approx(weight.sum() ** -0.5, rel=1e-6)


@pytest.mark.parametrize(
    ("freedom", "t95"), [(1, 12.706), (2, 4.303), (3, 3.182), (10, 2.228), (16, 2.120), (30, 2.042)]
)
def test_students_t(freedom, t95):
    """JCGM 100:2008, Table G.2, 95 %."""
    assert cover_factor(freedom) == pytest.approx(t95, abs=5e-4)


def test_students_t_for_the_end_gauge():
    """JCGM 100:2008, H.1.6: t₉₉(16) = 2.92, U = 93 nm."""
    assert within(2.9208, 16) == pytest.approx(0.99, abs=1e-5)
    assert 92 <= 2.9208 * 32 <= 94

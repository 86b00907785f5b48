"""Uncertainty against the guides' worked examples and reference data."""

from __future__ import annotations

import math

import numpy as np
import pytest

from archive.core.findings import Finding
from archive.core.lengths import parse_length
from archive.core.verdicts import Measured
from archive.metrology.judge import chi2_tail
from archive.metrology.outcome import Estimate
from archive.metrology.simulate import spread
from archive.metrology.solve import Problem, fit
from archive.reasoning.measurements import apart_u


def test_the_end_gauge():
    """JCGM 100:2008 (GUM), H.1: first-order components in nm, and the combined u of 32 nm."""
    length = 50_000_623.0
    u_d = math.sqrt(5.8**2 + 3.9**2 + 6.7**2)
    assert u_d == pytest.approx(9.7, abs=0.05)
    lean = 0.1 * 1e-6 * length / math.sqrt(3) * 1.0  # θ̄ −0.1 °C, δα rectangular ±1e-6 /°C
    warm = 0.05 / math.sqrt(3) * 11.5e-6 * length
    found = Estimate(
        length + 215,
        (("standard", 25.0), ("compared", u_d), ("expansion", lean), ("temperature", warm)),
    )
    assert lean == pytest.approx(2.9, abs=0.05)
    assert warm == pytest.approx(16.6, abs=0.05)
    assert found.value == 50_000_838
    assert found.u == pytest.approx(31.66, abs=0.02)


def test_correlated_results_from_shared_readings():
    """JCGM 100:2008, H.2: R, X and Z from five sets of V, I and φ, shared by name."""
    v = np.array([5.007, 4.994, 5.005, 4.990, 4.999])
    i = np.array([19.663, 19.639, 19.640, 19.685, 19.678]) * 1e-3
    p = np.array([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])
    vm, im, pm = v.mean(), i.mean(), p.mean()
    slopes = {
        "R": (math.cos(pm) / im, -vm * math.cos(pm) / im**2, -vm * math.sin(pm) / im),
        "X": (math.sin(pm) / im, -vm * math.sin(pm) / im**2, vm * math.cos(pm) / im),
        "Z": (1 / im, -vm / im**2, 0.0),
    }
    values = {"R": vm * math.cos(pm) / im, "X": vm * math.sin(pm) / im, "Z": vm / im}
    each = np.stack([v - vm, i - im, p - pm]) / math.sqrt(5 * 4)
    found = {}
    for name, slope in slopes.items():
        errors = tuple((f"set|{k}|", float(e)) for k, e in enumerate(np.array(slope) @ each))
        u = Estimate(values[name], errors).u
        found[name] = Measured(
            name, "", values[name], u, 1.96 * u, (), "", "", None, "", Finding("measured"), errors
        )
    assert [round(found[n].value_mm, 3) for n in "RXZ"] == [127.732, 219.847, 254.26]
    assert found["R"].u_mm == pytest.approx(0.071, abs=5e-4)
    assert found["X"].u_mm == pytest.approx(0.296, abs=5e-4)
    assert found["Z"].u_mm == pytest.approx(0.236, abs=5e-4)

    def correlation(one, other):
        a, b = found[one], found[other]
        shared = a.u_mm**2 + b.u_mm**2 - apart_u(a, b) ** 2
        return shared / (2 * a.u_mm * b.u_mm)

    assert correlation("R", "X") == pytest.approx(-0.588, abs=1e-3)
    assert correlation("R", "Z") == pytest.approx(-0.485, abs=1e-3)
    assert correlation("X", "Z") == pytest.approx(0.993, abs=1e-3)


def test_a_sum_of_normal_and_of_rectangular_inputs():
    """JCGM 101:2008, 9.2.2 and 9.2.3: u 2.0 both; ±3.92, and ±3.88 for rectangular inputs."""
    chance = np.random.default_rng(9)
    normal = spread(chance.standard_normal((400_000, 4)).sum(1))
    flat = spread(chance.uniform(-math.sqrt(3), math.sqrt(3), (400_000, 4)).sum(1))
    assert normal.u == pytest.approx(2.0, abs=0.01)
    assert (normal.low, normal.high) == pytest.approx((-3.92, 3.92), abs=0.03)
    assert flat.u == pytest.approx(2.0, abs=0.01)
    edge = 2 * math.sqrt(3) * (2 - (3 / 5) ** 0.25)
    assert (flat.low, flat.high) == pytest.approx((-edge, edge), abs=0.03)


def test_a_mass_calibrated_in_air():
    """JCGM 101:2008, 9.3 (printed values from memory): 1.2341 mg, u 0.0754 mg by simulation; the
    first-order formula gives 0.0539, since the air's density drops out at its estimate."""
    chance = np.random.default_rng(93)
    n = 400_000
    reference, small = chance.normal(100_000, 0.050, n), chance.normal(1.234, 0.020, n)
    air, weight, other = (
        chance.uniform(low, high, n) for low, high in ((1.1, 1.3), (7000, 9000), (7950, 8050))
    )
    drawn = (reference + small) * (1 + (air - 1.2) * (1 / weight - 1 / other)) - 100_000
    found = spread(drawn)
    assert drawn.mean() == pytest.approx(1.2341, abs=5e-4)
    assert found.u == pytest.approx(0.0754, abs=5e-4)
    # The shortest interval is printed, 1.0834 to 1.3825; ours leaves as much on either side.
    assert (found.low, found.high) == pytest.approx((1.0834, 1.3825), abs=3e-3)
    assert Estimate(1.234, (("reference", 0.050), ("small", 0.020))).u == pytest.approx(
        0.0539, abs=5e-5
    )


def test_a_gauge_block_by_simulation():
    """JCGM 101:2008, 9.5 (printed values from memory): 838 nm, u 36 nm, where first order has 32.

    Student's t for standard, mean and corrections; an arcsine for the room's cycle; a rectangle of
    inexact bounds for the temperatures.
    """
    chance = np.random.default_rng(95)
    n = 400_000

    def rectangle(middle, half, inexact):
        halves = chance.uniform(half - inexact, half + inexact, n)
        return middle + halves * chance.uniform(-1, 1, n)

    standard = 50_000_623 + 25 * chance.standard_t(18, n)
    compared = 215 + 6 * chance.standard_t(24, n)
    compared += 4 * chance.standard_t(5, n) + 7 * chance.standard_t(8, n)
    expansion = chance.uniform(9.5e-6, 13.5e-6, n)
    room = chance.normal(-0.1, 0.2, n) + 0.5 * np.cos(chance.uniform(0, np.pi, n))
    unlike, warmer = rectangle(0, 1e-6, 0.1e-6), rectangle(0, 0.05, 0.025)
    drawn = standard + compared - standard * (unlike * (room + warmer) + expansion * warmer)
    assert drawn.mean() - 50_000_000 == pytest.approx(838, abs=0.5)
    assert spread(drawn).u == pytest.approx(36, abs=0.5)


def test_a_hard_bound_is_a_rectangle():
    """JCGM 100:2008, 4.3.7: u is the half-width over √3."""
    assert parse_length("10 mm +/- 0.3 mm limit").u_mm == pytest.approx(0.3 / math.sqrt(3))


def test_chi_square_of_known_sets():
    """Q and p of values of the Planck constant, as a meta-analysis library's tests have them."""
    assert chi2_tail(3.442127, 2) == pytest.approx(0.1788758, abs=2e-7)
    assert chi2_tail(26.63226, 17) == pytest.approx(0.06368617, abs=1e-7)


def test_the_solver_on_reference_data():
    """NIST Statistical Reference Datasets, nonlinear regression, Misra1a, from the far start."""
    y = [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47,
         81.78]  # fmt: skip
    x = [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1,
         760.0]  # fmt: skip
    places, values = np.array(x), np.array(y)

    def predict(b):
        decay = np.exp(-b[..., 1:] * places)
        jacobian = np.stack([1 - decay, b[..., :1] * places * decay], -1)
        return b[..., :1] * (1 - decay), jacobian

    problem = Problem(predict, values, np.ones(14), ("",) * 14, np.arange(14))
    found = fit(problem, np.array([500.0, 1e-4]), most=200)
    assert found.x == pytest.approx([2.3894212918e2, 5.5015643181e-4], rel=1e-6)
    assert found.chi2 == pytest.approx(1.2455138894e-1, rel=1e-7)
    deviation = math.sqrt(found.chi2 / found.dof) * np.sqrt(np.diag(found.covariance))
    assert deviation == pytest.approx([2.7070075241, 7.2668688436e-6], rel=1e-4)

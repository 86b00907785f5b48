"""Gauge tables against printed ones: each source is named beside its figures."""

from __future__ import annotations

import pytest

from archive.core.gauges import SYSTEMS, thickness_in
from archive.core.lengths import parse_length


def numbered(first: int, figures: str) -> dict[int, float]:
    """A printed column: the number given first, and the thicknesses that follow one by one."""
    return {first + step: float(figure) for step, figure in enumerate(figures.split())}


# Printed thousandths of an inch for 0000 to 8 (a wire maker's table of the American wire gauge).
PRINTED_MILS = "459.99 409.63 364.79 324.85 289.29 257.62 229.42 204.30 181.94 162.02"
# Recomputed from the rule of ASTM B258, 0.005 in x 92^((36 - n)/39), to five places.
RECOMPUTED = (
    ".46000 .40964 .36480 .32486 .28930 .25763 .22942 .20431 .18194 .16202 .14429 .12849 .11442 "
    ".10190 .09074 .08081 .07196 .06408 .05707 .05082 .04526 .04030 .03589 .03196 .02846 .02535 "
    ".02257 .02010 .01790 .01594 .01420 .01264 .01126 .01003"
)
# Birmingham or Stubs iron: Holtzapffel's table, and a present handbook table that agrees with it.
BIRMINGHAM = (
    ".500 .454 .425 .380 .340 .300 .284 .259 .238 .220 .203 .180 .165 .148 .134 .120 .109 .095 "
    ".083 .072 .065 .058 .049 .042 .035 .032 .028 .025 .022 .020 .018 .016 .014 .013 .012 .010 "
    ".009 .008 .007 .005 .004"
)
# US Standard: the table in the Act of 3 March 1893, 15 U.S.C. 206, 0000000 to 22.
STATUTE = (
    ".5 .46875 .4375 .40625 .375 .34375 .3125 .28125 .265625 .25 .234375 .21875 .203125 .1875 "
    ".171875 .15625 .140625 .125 .109375 .09375 .078125 .0703125 .0625 .05625 .05 .04375 .0375 "
    ".034375 .03125"
)
# Further lines of the same table.
STATUTE_FINE = {23: 0.028125, 24: 0.025, 25: 0.021875, 26: 0.01875, 28: 0.015625, 30: 0.0125}
# British imperial standard wire gauge, 0000000 to 40: handbook tables after BS 3737:1964.
BRITISH = (
    ".500 .464 .432 .400 .372 .348 .324 .300 .276 .252 .232 .212 .192 .176 .160 .144 .128 .116 "
    ".104 .092 .080 .072 .064 .056 .048 .040 .036 .032 .028 .024 .022 .020 .018 .0164 .0148 .0136 "
    ".0124 .0116 .0108 .0100 .0092 .0084 .0076 .0068 .0060 .0052 .0048"
)


def test_brown_and_sharpe_against_a_printed_table() -> None:
    for number, mils in numbered(-3, PRINTED_MILS).items():
        assert thickness_in("B&S", number) * 1000 == pytest.approx(mils, abs=0.02)


def test_brown_and_sharpe_against_its_rule() -> None:
    for number, inches in numbered(-3, RECOMPUTED).items():
        assert thickness_in("B&S", number) == pytest.approx(inches, abs=6e-6)
    assert thickness_in("B&S", -3) == pytest.approx(0.46, abs=1e-12)
    assert thickness_in("B&S", 36) == pytest.approx(0.005, abs=1e-12)
    assert thickness_in("B&S", 40) == pytest.approx(0.00314, abs=6e-6)


def test_six_brown_and_sharpe_numbers_double_the_thickness() -> None:
    """92^(6/39) = 2.005."""
    assert thickness_in("B&S", 12) / thickness_in("B&S", 18) == pytest.approx(2.005, abs=5e-4)


def test_shop_decimals_of_sheet() -> None:
    """Common practice, no source: the decimals that shops use for B&S 26 to 12."""
    for number, inches in zip(
        range(26, 10, -2), (0.016, 0.020, 0.025, 0.032, 0.040, 0.051, 0.064, 0.081), strict=True
    ):
        assert thickness_in("B&S", number) == pytest.approx(inches, abs=5.1e-4)


@pytest.mark.parametrize(
    ("system", "first", "figures"),
    [("BWG", -4, BIRMINGHAM), ("USS", -6, STATUTE), ("SWG", -6, BRITISH)],
)
def test_tables_against_printed_ones(system: str, first: int, figures: str) -> None:
    for number, inches in numbered(first, figures).items():
        assert thickness_in(system, number) == pytest.approx(inches, abs=1e-12)


def test_finer_numbers_of_the_us_standard() -> None:
    for number, inches in STATUTE_FINE.items():
        assert thickness_in("USS", number) == pytest.approx(inches, abs=1e-12)


def test_us_standard_is_not_the_later_manufacturers_standard() -> None:
    """No. 20 is .0359 in of the manufacturers' standard (sizes.com) and .0375 of the statute."""
    assert thickness_in("USS", 20) == pytest.approx(0.0375)


def test_one_number_four_thicknesses() -> None:
    """No. 18 in the tables above: the reason why a bare gauge number is refused."""
    assert {system: round(thickness_in(system, 18), 4) for system in SYSTEMS} == {
        "B&S": 0.0403,
        "BWG": 0.049,
        "USS": 0.05,
        "SWG": 0.048,
    }


def test_usual_tube_walls_are_birmingham_numbers() -> None:
    """From memory: the usual series of aircraft steel tube walls, BWG 22 to 11."""
    walls = {22: ".028", 20: ".035", 18: ".049", 17: ".058", 16: ".065", 14: ".083", 13: ".095"}
    for number, wall in {**walls, 11: ".120"}.items():
        assert parse_length(f"{number} BWG").mm == pytest.approx(parse_length(f"{wall} in").mm)


def test_the_inch() -> None:
    """The international yard and pound agreement of 1959: an inch is 25.4 mm."""
    assert parse_length("1 in").mm == 25.4
    assert parse_length("1 ft").mm == pytest.approx(304.8, abs=1e-12)

"""Wood Handbook, FPL-GTR-190 (2010), chapters 4 and 13: moisture and movement of wood.

The equation for equilibrium moisture (eq. 4-5, its number from memory) was checked against two
public transcriptions. Of Table 4-2 the cell 70 °F, 40 % was read in an extension manual (FOR-128);
all other cells are from memory. The table proves the transcription, not the physics: FPL-GTR-229
(2014) finds its data poorly documented.
"""

import psychrolib
import pytest

from passport.climate.moisture import equilibrium_pct
from passport.climate.wood import RED_MAPLE, SUGAR_MAPLE, width_change_mm
from passport.table import Board

HUMIDITIES = range(5, 100, 5)
TABLE_4_2 = {  # °F: % MC at 5 to 95 % RH; from memory but for 70 °F, 40 %
    30: "1.4 2.6 3.7 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.4 11.3 12.4 13.5 14.9 16.5 18.5 21.0 24.3",
    40: "1.4 2.6 3.7 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.4 11.3 12.3 13.5 14.9 16.5 18.5 21.0 24.3",
    50: "1.4 2.6 3.6 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.3 11.2 12.3 13.4 14.8 16.4 18.4 20.9 24.3",
    60: "1.3 2.5 3.6 4.6 5.4 6.2 7.0 7.8 8.6 9.4 10.2 11.1 12.1 13.3 14.6 16.2 18.2 20.7 24.1",
    70: "1.3 2.5 3.5 4.5 5.4 6.2 6.9 7.7 8.5 9.2 10.1 11.0 12.0 13.1 14.4 16.0 17.9 20.5 23.9",
    80: "1.3 2.4 3.5 4.4 5.3 6.1 6.8 7.6 8.3 9.1 9.9 10.8 11.7 12.9 14.2 15.7 17.7 20.2 23.6",
    90: "1.2 2.3 3.4 4.3 5.1 5.9 6.7 7.4 8.1 8.9 9.7 10.5 11.5 12.6 13.9 15.4 17.3 19.8 23.3",
    100: "1.2 2.3 3.3 4.2 5.0 5.8 6.5 7.2 7.9 8.7 9.5 10.3 11.2 12.3 13.6 15.1 17.0 19.5 22.9",
    140: "0.9 1.9 2.8 3.6 4.3 5.0 5.7 6.3 7.0 7.7 8.4 9.1 10.0 11.0 12.1 13.6 15.3 17.7 21.0",
}
CELLS = [
    (fahrenheit, humidity, float(cell))
    for fahrenheit, row in TABLE_4_2.items()
    for humidity, cell in zip(HUMIDITIES, row.split(), strict=True)
]
UNROUNDED = [  # °C, % RH, % MC: computed apart from the project with the °C coefficients
    (20, 30, 6.1882),
    (20, 40, 7.7224),
    (20, 50, 9.2711),
    (20, 60, 10.9998),
    (20, 65, 11.9963),
    (20, 70, 13.1291),
    (21, 50, 9.2452),
]
FAHRENHEIT_SET = [  # °F, % RH, % MC: computed apart with the °F coefficients of the same equation
    (30, 50, 9.5189),
    (50, 50, 9.4704),
    (70, 20, 4.4934),
    (70, 50, 9.2463),
    (70, 65, 11.9638),
    (70, 80, 15.9970),
    (90, 30, 5.9327),
    (100, 95, 22.8907),
]
SHRINKAGE = [(SUGAR_MAPLE.tangential, 9.9), (SUGAR_MAPLE.radial, 4.8)]  # % green to ovendry, T. 4-3


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


@pytest.mark.parametrize(("fahrenheit", "humidity", "cell"), CELLS)
def test_moisture_agrees_with_table_4_2(fahrenheit, humidity, cell):
    """FPL-GTR-190 (2010), Table 4-2: rounded to 0.1; worst cell 0.056 off, so 0.06 allowed."""
    assert equilibrium_pct(celsius(fahrenheit), humidity) == pytest.approx(cell, abs=0.06)


@pytest.mark.parametrize(("temperature", "humidity", "moisture"), UNROUNDED)
def test_moisture_agrees_with_the_equation_worked_apart(temperature, humidity, moisture):
    """FPL-GTR-190 (2010), eq. 4-5 in °C."""
    assert equilibrium_pct(temperature, humidity) == pytest.approx(moisture, abs=5e-5)


@pytest.mark.parametrize(("fahrenheit", "humidity", "moisture"), FAHRENHEIT_SET)
def test_moisture_agrees_with_the_fahrenheit_coefficients(fahrenheit, humidity, moisture):
    """FPL-GTR-190 (2010), eq. 4-5 in °F: the two published sets differ by up to 0.013 % MC."""
    found = equilibrium_pct(celsius(fahrenheit), humidity)

    assert found == pytest.approx(moisture, abs=0.014)


@pytest.mark.parametrize(("outside_c", "moisture"), [(0.0, 4.43), (-10.0, 2.11)])
def test_winter_air_that_is_heated_dries_wood(outside_c, moisture):
    """Outdoor air of 80 % warmed to 21 °C; humidity by psychrolib (ASHRAE Fundamentals 2017)."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    ratio = psychrolib.GetHumRatioFromRelHum(outside_c, 0.80, 101325)
    humidity = psychrolib.GetRelHumFromHumRatio(21.0, ratio, 101325) * 100

    assert equilibrium_pct(21.0, humidity) == pytest.approx(moisture, abs=0.01)


@pytest.mark.parametrize(("coefficient", "shrinkage"), SHRINKAGE)
def test_movement_of_maple_follows_from_its_total_shrinkage(coefficient, shrinkage):
    """FPL-GTR-190 (2010), Table 13-5 from Table 4-3: 1 / (3000 / S - 30 + 10) at 10 % MC."""
    assert coefficient == pytest.approx(1 / (3000 / shrinkage - 30 + 10), abs=5e-6)


def test_maple_board_grows_across_as_formula_a_says():
    """FPL-GTR-190 (2010), ch. 13 formula A: 20 in, 8 to 11 %, 0.0990 and 0.2118 in."""
    board = Board(6700, 508, 76.2, "sugar maple")

    assert width_change_mm(board, 3.0) == pytest.approx((0.0990 * 25.4, 0.2118 * 25.4), abs=2e-3)


def test_red_maple_moves_less():
    """FPL-GTR-190 (2010), Table 13-5: 0.00137 and 0.00289."""
    assert (RED_MAPLE.radial, RED_MAPLE.tangential) == (0.00137, 0.00289)

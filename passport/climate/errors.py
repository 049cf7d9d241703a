"""What can be wrong with readings of the air.

passport.errors.PassportError
└── ClimateError
    ├── HumidityImpossible    outside 0 to 100 %
    └── TemperatureOutside    outside the range of the published equation
"""

from passport.errors import PassportError


class ClimateError(PassportError):
    """Something about the air of a room."""


class HumidityImpossible(ClimateError):
    """A relative humidity that no air has."""

    def __init__(self, found_pct: float):
        self.found_pct = found_pct
        super().__init__(
            f"The air's humidity is given as {found_pct:g} %; it lies between 0 and 100 %. "
            "Read the hygrometer again, in the shade, and correct the value."
        )


class TemperatureOutside(ClimateError):
    """A temperature for which the moisture of wood is not published."""

    def __init__(self, found_c: float, low_c: float, high_c: float):
        self.found_c, self.low_c, self.high_c = found_c, low_c, high_c
        super().__init__(
            f"The air's temperature is given as {found_c:g} °C; the moisture of wood is published "
            f"from {low_c:g} to {high_c:g} °C. Check the value and its unit."
        )

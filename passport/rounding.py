"""How many places a printed value deserves: its uncertainty or its instrument says."""


def places_by(around: float, most: int) -> int:
    """Count the decimals that a value deserves: two significant digits of its uncertainty.

    Parameters
    ----------
    around : float
        Uncertainty or tolerance, in the unit that is printed.
    most : int
        Decimals that the instrument is good for: never more.

    References
    ----------
    JCGM 100:2008 (GUM), 7.2.6: two significant digits of an uncertainty usually do.
    """
    if around <= 0:
        return most
    exponent = int(f"{around:.1e}".partition("e")[2])  # of the rounded number: 0.0996 is 0.10
    return max(0, min(most, 1 - exponent))


def set_text(value: float, tolerance: float, least: int) -> str:
    """Print what was set, or its tolerance: two more decimals at most, as the tolerance has them.

    ``0.020`` of 0.020 ± 0.0075 and ``0.0075`` with three decimals at least; 0.29 of 0.2939.
    """
    said = f"{value:.{max(least, places_by(tolerance, least + 2))}f}"
    while len(said.partition(".")[2]) > least and said.endswith("0"):
        said = said[:-1]
    return said

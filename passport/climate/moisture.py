"""Equilibrium moisture of wood: what it comes to in still air of one temperature and humidity."""

import math

LOW_C, HIGH_C = -1.2, 71.2  # 30 to 160 °F, the range of the handbook's table

# How far a board may be from the equation: drying wood stays above, wetted wood below
# (the handbook gives 0.8 to 0.9 of one another; from memory). About 1 % MC either way.
EQUATION_U_PCT = 1.0


def is_published(temperature_c: float, humidity_pct: float) -> bool:
    """Whether air is of a kind that the moisture of wood is published for."""
    return 0 <= humidity_pct <= 100 and LOW_C <= temperature_c <= HIGH_C


def equilibrium_pct(temperature_c: float, humidity_pct: float) -> float:
    """Equilibrium moisture content of wood.

    Parameters
    ----------
    temperature_c : float
        Of the air. [°C]
    humidity_pct : float
        Relative humidity of the air. [%]

    Returns
    -------
    float
        Moisture in per cent of the ovendry mass, ± ``EQUATION_U_PCT``. [% MC] Not a number for
        air that can't be or for which nothing is published; see ``is_published``.

    Notes
    -----
    One coefficient set is used, that of degrees Celsius; the one of degrees Fahrenheit differs
    from it by up to 0.013 % MC.

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), eq. 4-5 (number from memory); Simpson 1998, FPL-RN-0268.
    """
    if not is_published(temperature_c, humidity_pct):
        return math.nan
    t, h = temperature_c, humidity_pct / 100
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    return 1800 / w * (_free(k * h) + _bound(k * h, k1, k2))


def equilibrium_u_pct(
    temperature_c: float, humidity_pct: float, temperature_u_c: float, humidity_u_pct: float
) -> float:
    """Give the standard uncertainty of ``equilibrium_pct`` from the readings alone. [% MC].

    The equation's own error is common to all readings of a room and moves no board: see
    ``EQUATION_U_PCT``. First order, by central differences over one standard uncertainty
    (JCGM 100:2008, 5.1.3, note 2).
    """
    low, high = humidity_pct - humidity_u_pct, humidity_pct + humidity_u_pct
    by_humidity = _halved(temperature_c, temperature_c, low, high)
    cold, warm = temperature_c - temperature_u_c, temperature_c + temperature_u_c
    by_temperature = _halved(cold, warm, humidity_pct, humidity_pct)
    return float((by_humidity**2 + by_temperature**2) ** 0.5)


def _halved(cold: float, warm: float, dry: float, damp: float) -> float:
    """Half the change from one state of the air to another, kept within the equation's range."""
    first = equilibrium_pct(max(LOW_C, cold), max(0.0, dry))
    second = equilibrium_pct(min(HIGH_C, warm), min(100.0, damp))
    return (second - first) / 2


def _free(kh: float) -> float:
    """Dissolved water of the two-hydrate sorption model."""
    return kh / (1 - kh)


def _bound(kh: float, k1: float, k2: float) -> float:
    """Hydrated water of the two-hydrate sorption model."""
    one, two = k1 * kh, k1 * k2 * kh**2
    return (one + 2 * two) / (1 + one + two)

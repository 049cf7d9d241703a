"""What is published on lifting by hand, as information for whoever assesses the lift.

Nothing here says that a lift may be made: crew and aids come from the employer's lifting
assessment.

References
----------
Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH) 94-110 (revised 2021).
HSE, Manual Handling Operations Regulations 1992, Guidance L23: team handling.
"""

from dataclasses import dataclass
from fractions import Fraction

LOAD_CONSTANT_KG = 23.0  # NIOSH 94-110, Table 5: the most under the best conditions
# L23: a team can lift about this part of the sum of what its members can lift alone.
TEAM_FRACTION = {2: Fraction(2, 3), 3: Fraction(1, 2)}
TEAM_MOST = 4  # L23: teams of more than four are unlikely to work well
STEPS_MOST = 2  # NIOSH 94-110, 1.3: carrying one or two steps at most


@dataclass(frozen=True)
class Lift:
    """One lift with two hands, as the equation asks for it. Lengths in cm, angle in degrees.

    Attributes
    ----------
    horizontal_cm : float
        From between the ankles to the hands, at the origin. [cm]
    vertical_cm : float
        Height of the hands at the origin. [cm]
    travel_cm : float
        How far the hands move up or down. [cm]
    twist_deg : float
        Angle of asymmetry. [deg]
    frequency : float
        Multiplier of Table 5 for how often and how long.
    coupling : float
        Multiplier of Table 7 for the grip: 1.00, 0.95 or 0.90.
    """

    horizontal_cm: float
    vertical_cm: float
    travel_cm: float
    twist_deg: float = 0.0
    frequency: float = 1.0
    coupling: float = 1.0


def recommended_kg(lift: Lift) -> float:
    """Recommended weight limit of one person's lift.

    Returns
    -------
    float
        RWL = LC × HM × VM × DM × AM × FM × CM; 0 beyond the equation's bounds. [kg]

    References
    ----------
    NIOSH 94-110, 1.1 and Tables 1 to 7, metric.
    """
    if lift.horizontal_cm > 63 or not 0 <= lift.vertical_cm <= 175 or lift.twist_deg > 135:
        return 0.0
    horizontal = 25 / max(25.0, lift.horizontal_cm)
    vertical = 1 - 0.003 * abs(lift.vertical_cm - 75)
    travel = 0.82 + 4.5 / max(25.0, lift.travel_cm)
    twist = 1 - 0.0032 * lift.twist_deg
    multipliers = horizontal * vertical * travel * twist * lift.frequency * lift.coupling
    return LOAD_CONSTANT_KG * multipliers


def alone_kg(mass_kg: float, people: int) -> float | None:
    """Share of each of a team: what he would have to lift alone, by the team fractions.

    Returns
    -------
    float or None
        mass / (people × fraction) [kg]; None where no fraction is published.
    """
    fraction = TEAM_FRACTION.get(people)
    return None if fraction is None else mass_kg / float(people * fraction)


def why_not_niosh(people: int, steps: int) -> tuple[str, ...]:
    """List why the lifting equation does not apply to a carried part; empty where it may."""
    reasons = []
    if people > 1:
        reasons.append("the load is lifted by more than one person")
    if steps > STEPS_MOST:
        reasons.append("it is carried more than a step or two")
    return tuple(reasons)


def lifting_lines(what: str, most_kg: float) -> tuple[str, ...]:
    """Say of a long part that a team carries what is published, and what is not.

    Parameters
    ----------
    what : str
        The part, as the sentence begins.
    most_kg : float
        Its mass plus twice its uncertainty. [kg]
    """
    reasons = " and ".join(why_not_niosh(2, 10))
    teams = ", ".join(
        f"{people} people: each {alone_kg(most_kg, people):.0f} kg alone"
        for people in TEAM_FRACTION
    )
    return (
        f"{what}: the NIOSH 94-110 lifting equation does not apply: {reasons}. For scale: its "
        f"best conditions end at {LOAD_CONSTANT_KG:.0f} kg for one person.",
        f"HSE L23 team fractions, as information: {teams}. None is published for more; more than "
        f"{TEAM_MOST} are unlikely to work well together, and stairs make it worse: use aids.",
        "Crew and aids come from the employer’s lifting assessment; without them: stop.",
    )

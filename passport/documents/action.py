"""One line of the work list, and the steps of the work in their order."""

from dataclasses import dataclass
from enum import IntEnum

from passport.documents.texts import Caution
from passport.table import Steps


class Step(IntEnum):
    """The order of the work: common practice, no source."""

    USE = 1  # out of use until checked
    LOOK_AGAIN = 2  # stations turned last time, read before anything is touched
    CLEAR = 3  # supporting feet off the floor
    LEGS = 4
    BRACKETS = 5
    LEGS_AGAIN = 6
    RISE = 7
    TOUCH_DOWN = 8  # supporting feet back to touch
    PROVE = 9
    SURFACE = 10


STEP_NAMES = {
    Step.USE: "Before anything else",
    Step.LOOK_AGAIN: "Look again first",
    Step.CLEAR: "Supporting feet clear",
    Step.LEGS: "Legs",
    Step.BRACKETS: "Hollow",
    Step.LEGS_AGAIN: "Legs again",
    Step.RISE: "Rise of the ends",
    Step.TOUCH_DOWN: "Supporting feet down",
    Step.PROVE: "Test shots",
    Step.SURFACE: "Surface",
}


@dataclass(frozen=True)
class Action:
    """One line of the work list.

    ``id`` stays the same however often the list is made from the same visits. ``turns``, in
    steps of ``by``, is None where nothing is turned; positive: the board goes up, or hollower.
    ``value`` and ``u`` are the expected result and its standard uncertainty. [mm or mm/m]
    ``stations`` are the legs, brackets and ends that ``station`` names in words.
    """

    id: str
    step: Step
    station: str
    where: str
    condition: str
    what: str
    why: str
    turns: int | None = None
    direction: str = ""
    expected: str = ""
    value: float | None = None
    u: float | None = None
    cautions: tuple[Caution, ...] = ()
    stations: tuple[str, ...] = ()
    by: Steps = Steps.QUARTERS

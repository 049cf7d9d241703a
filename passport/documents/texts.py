"""Words that stand on the documents: care, cautions, what to bring.

Care and cautions are the trade's common practice (no source) unless a line names one; they defer
to containers' labels, makers, local rules and licensed people.
"""

from dataclasses import dataclass
from enum import StrEnum

from passport.leveling.advice import Verdict

HUMIDITY_RANGE = (35, 55)  # % relative humidity; common practice, no source


@dataclass(frozen=True)
class Advised:
    """One thing to do and the reason for it."""

    what: str
    why: str


EACH_TIME = (
    Advised(
        "Look over the surface and refill bare spots with wax during play.",
        "Weights slow down and scratch where the wax has gone.",
    ),
    Advised(
        "Sweep up wax that fell on the floor at once.",
        "It is very slippery underfoot.",
    ),
)
WEEKLY = (
    Advised(
        "Sweep the whole board with a soft brush or a dry cloth, then put on fresh wax.",
        "Dust and old wax turn grey and slow the weights.",
    ),
    Advised(
        "Read the hygrometer near the table, out of the sun, and note what it shows.",
        "A change in the air shows days before the board does.",
    ),
    Advised(
        "Never use water or a household cleaner on the board.",
        "Wood that takes up water on one side bends.",
    ),
)
MONTHLY = (
    Advised(
        "Slide one weight slowly down the middle from each end and watch where it drifts.",
        "A drift to the same side of the room from both ends means the table has tilted.",
    ),
    Advised(
        "Look along the board for cracks, lifted finish and a step at its ends.",
        "Found early, they are small repairs.",
    ),
    Advised(
        "Look at each foot from where you stand: none should have sunk or moved.",
        "Floors settle; leave the feet as they are and call.",
    ),
)
SILICONE = Advised(
    "After two to three months of average use the silicone is due: sweep clean, spray a fine mist "
    "that settles from about 300 mm (12 in), never a jet at the wood, wipe lightly, wax twice. "
    "Follow the container's label, and keep flames, heaters and smoking away.",
    "It carries the wax and keeps the finish from drying out.",
)
HEATING = (
    "While the heating runs, indoor air gets dry. Raise the humidity of the room slowly, "
    "and keep radiators and hot air from blowing at the table."
)
HEAT_WAVE = (
    "Keep windows near the table shut, the sun off the board, "
    "and let the air conditioning run evenly rather than on and off."
)
CALL_WHEN = (
    "the table rocks, or a foot no longer touches the floor",
    "the board cracks, or its finish lifts",
    "a wire is bare or a lamp flickers: touch nothing there; a licensed electrician looks at it",
    "weights drift to the same side of the room from both ends",
    "the table was bumped hard, flooded or moved, or the floor or heating was changed",
    "the humidity stayed outside the range for more than two weeks",
)

CUSTOMER_CAUTIONS = (
    "Children: no climbing, sitting or lying on the table and no crawling under it. "
    "Keep them with an adult, and spray cans and wax locked away from them.",
    "Never lift, move, jack or lean on the table, not even a little: it is far heavier than it "
    "looks and can come off its feet.",
    "Never undo a nut or turn a foot. They hold the board in shape under load.",
    "Keep fingers off the board's ends and out of the gutter during play: weights arrive hard.",
    "Sweep up wax from the floor at once: it is very slippery.",
    "Spray cans stay away from heat, flames and the sun, and locked away.",
    "If the table rocks or cracks, or a wire is bare: stop playing, keep people away and call.",
)
OUT_OF_USE = "Out of use until checked"
OUT_OF_USE_CUSTOMER = (
    "Our technician found something on this table that has to be looked at first. "
    "Please do not play on it, keep everyone away from it, and do not try to repair it."
)


LAST_VISIT = {  # how it left the table, to the customer
    Verdict.IN: "It was left as level and as hollow as it should be.",
    Verdict.OUT: "Some places still have to be set; the next visit goes on with them.",
    Verdict.UNDECIDED: "Not every place could be told closely enough; the next visit looks again.",
    Verdict.UNKNOWN: "It was not measured then.",
}


class Caution(StrEnum):
    """A caution to the technician, by the step that it stands beside."""

    AREA = (
        "Close the area first: children, guests and pets out, nobody playing or leaning, "
        "until it stands on all its legs and the tools are away."
    )
    UNDER = (
        "Under the table only when it stands on all its legs, frame joined, nobody leaning or "
        "playing. Eye protection, light; mind your head."
    )
    FOOT = (
        "Jam nut: loosen first, tighten last. A quarter turn a foot at a time, alternating. "
        "Two feet must bear; fingers out of the gap; jack only as its maker says. "
        "Aid or helper missing: stop."
    )
    NUT = (
        "Turns count from the moment the inner nut bears. Lock with two spanners, "
        "then measure after locking."
    )
    AEROSOL = (
        "The container's label and safety data sheet decide. Air the room; no flame, pilot light, "
        "heater, hot lamp or smoking; not near food or people; cover the floor and wipe up: very "
        "slippery. Don't breathe wax dust; cans away from heat and children."
    )
    UNSAFE = (
        "Nobody plays or stands at the table until what was noted is checked. The customer is told "
        "by telephone on the same day."
    )

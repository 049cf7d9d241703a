"""The stages of an installation, in order; each is signed before the next begins."""

from collections.abc import Callable
from dataclasses import dataclass

from passport.table import Role, Table

UNDER = (
    "Under the table only when it stands on all its legs, frame joined, nobody leaning or playing: "
    "eye protection, light, mind the head."
)
FOOT = (
    "Raise a foot only while both feet of the leg bear, fingers out of the gap; jack only as its "
    "maker says; stop where the thread left in the leg ends."
)
WAX = (
    "Aerosol and wax: the label and the safety data sheet decide. Air the room; no flame, pilot "
    "light, heater, hot lamp or smoking; not near food or people. Cover the floor, wipe up: very "
    "slippery. Don’t breathe wax dust. Cans away from heat and children."
)


def _always(table: Table) -> bool:
    return True


def _has_supports(table: Table) -> bool:
    return any(leg.role is Role.SUPPORTING for leg in table.legs)


def _has_rise(table: Table) -> bool:
    return table.targets.rise_mm is not None


def _has_brackets(table: Table) -> bool:
    return bool(table.brackets)


@dataclass(frozen=True)
class Stage:
    """One stage: what is done, its caution, and the tables that have it."""

    key: str
    title: str
    how: str
    care: str = ""
    applies: Callable[[Table], bool] = _always


STAGES = (
    Stage(
        "area", "Area",
        "Area closed, floor covered. Wood, frame and board have taken the room’s air.",
        "Children, guests and pets stay out until the table stands on all its legs. No tools, "
        "sprays or screws left lying.",
    ),
    Stage(
        "legs", "Legs",
        "Legs on the turned-over frame, feet screwed in alike.",
        "Turning a frame is a team lift; crew and aids come from the employer’s lifting "
        "assessment. A half frame on its legs tips: prop it until joined.",
    ),
    Stage(
        "frame", "Frame",
        "Frame joined, in its final place, end A where the label goes, run-up clear at both ends.",
    ),
    Stage(
        "wires", "Wires",
        "Accessories and wires as their makers say.",
        "Unplug before laying or moving wires; none where a nut, foot or edge can crush it. Mains "
        "and fixed lights: a licensed electrician. Overhead: ladder on firm floor, fixings as the "
        "maker says.",
    ),
    Stage(
        "first_level", "First level",
        "End and centre legs near enough: sides and turns, no counts. Supporting feet clear.",
        FOOT,
    ),
    Stage(
        "brackets", "Brackets",
        "Brackets fixed; a spanner reaches every nut.", UNDER, _has_brackets,
    ),
    Stage(
        "board", "Board down",
        "One calls: READY – LIFT – OVER – DOWN – HANDS OUT. Board on purpose-made blocks first, "
        "blocks drawn out from the side by tape, one at a time. Signed when it lies.",
        "Nobody lies, sits or reaches under a board that is held by people or not yet on firm "
        "blocks; no hand between board and frame; never held up with legs or back; never lowered "
        "alone or short-handed. Aid or helper missing: stop.",
    ),
    Stage(
        "hollow", "Hollow", "Rows and look-ups of the service form that came along.", UNDER,
        _has_brackets,
    ),
    Stage("legs_again", "Legs again", "Cross level at every leg once more, same form.",
        FOOT,
    ),
    Stage(
        "rise", "End rise", "Both ends, same form.",
        "Both feet alike, a quarter turn each, fingers out of the gap. Taut line: weight hung low "
        "and away from feet, nobody in line with it, eye protection.",
        _has_rise,
    ),
    Stage(
        "supports", "Supports",
        "Supporting feet down to touch; neighbours read again.", UNDER, _has_supports,
    ),
    Stage(
        "trial", "Trial wax",
        "Trial wax and test shots. Nobody at the far end with hands on the board or in the gutter.",
        WAX,
    ),
    Stage("as_left", "As left", "Every row read once more on the service form or its pass sheet."),
    Stage("surface", "Surface", "Cleaned, silicone, wax; floor swept.", WAX),
    Stage(
        "hand_over", "Hand-over",
        "Label on end A, passport handed over, care talked through. A visit within weeks is due.",
        "Never lift, move, jack or lean on the table, never undo a nut or foot; no climbing, "
        "sitting or crawling under. If it rocks, cracks or a wire is bare: stop playing and call.",
    ),
)  # fmt: skip


def stages_of(table: Table) -> tuple[Stage, ...]:
    """List the stages that apply to a table."""
    return tuple(stage for stage in STAGES if stage.applies(table))

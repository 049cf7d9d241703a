"""What can be wrong with a table's description, and what the user is told.

PassportError
├── DescriptionUnusable     all problems of one file; nothing of it is stored
├── NotToml                 the file as a whole can't be read
└── DescriptionProblem      one line of DescriptionUnusable: key, value, cure
"""

from collections.abc import Sequence
from difflib import get_close_matches

from passport.errors import PassportError


class NotToml(PassportError):
    """A file that isn't TOML."""

    def __init__(self, source: str, place: str):
        self.source, self.place = source, place
        super().__init__(
            f"{source} can't be read {place}. Each line is a key, an equals sign and a value, and "
            f'text stands in double quotes, like length = "22 ft"; correct it there.'
        )


class DescriptionUnusable(PassportError):
    """A description with problems, all of them named."""

    def __init__(self, source: str, problems: Sequence[PassportError]):
        self.source, self.problems = source, tuple(problems)
        count = "1 thing" if len(problems) == 1 else f"{len(problems)} things"
        lines = "".join(f"\n- {problem}" for problem in problems)
        super().__init__(f"{source} has {count} to put right; nothing of it was stored.{lines}")


class DescriptionProblem(PassportError):
    """One problem of a description."""


class UnknownKey(DescriptionProblem):
    """A key that means nothing here."""

    def __init__(self, key: str, known: Sequence[str]):
        self.key, self.known = key, tuple(known)
        close = get_close_matches(key.rpartition(".")[2], known, n=1)
        cure = f"Did you mean {close[0]}?" if close else f"Known here: {', '.join(known)}."
        super().__init__(f"{key} is not a known key. {cure}")


class MissingKey(DescriptionProblem):
    """A value that nobody can assume."""

    def __init__(self, key: str, what: str):
        self.key = key
        super().__init__(f"{key} is missing. Write {what}.")


class WrongType(DescriptionProblem):
    """A value of another sort than asked for."""

    def __init__(self, key: str, found: object, wanted: str):
        self.key, self.found = key, found
        super().__init__(f"{key} is {_shown(found)}. Write {wanted}.")


class UnknownChoice(DescriptionProblem):
    """A word that isn't among those that are understood."""

    def __init__(self, key: str, found: str, choices: Sequence[str]):
        self.key, self.found, self.choices = key, found, tuple(choices)
        listed = f"{', '.join(choices[:-1])} or {choices[-1]}"
        super().__init__(f"{key} is '{found}', which is not understood. Write {listed}.")


class UnprintableText(DescriptionProblem):
    """A character that no paper can show."""

    def __init__(self, key: str, character: str):
        self.key, self.character = key, character
        super().__init__(
            f"{key} holds a character that can't be printed (U+{ord(character):04X}). "
            f"Type the text again without it."
        )


class TextTooLong(DescriptionProblem):
    """A text that no printed line holds."""

    def __init__(self, key: str, found: int, most: int):
        self.key, self.found, self.most = key, found, most
        super().__init__(f"{key} has {found} characters; {most} fit on a printed line. Shorten it.")


class NotPositive(DescriptionProblem):
    """A size of zero or less."""

    def __init__(self, key: str, found: str):
        self.key, self.found = key, found
        super().__init__(
            f"{key} is '{found}'; it must be more than zero. Measure it and correct it."
        )


class BelowZero(DescriptionProblem):
    """A size below zero, where zero is possible."""

    def __init__(self, key: str, found: str):
        self.key, self.found = key, found
        super().__init__(f"{key} is '{found}'; it can't be below zero. Measure it and correct it.")


class TooLarge(DescriptionProblem):
    """Something larger than what has to hold it."""

    def __init__(self, key: str, found: str, limit: str):
        self.key, self.found, self.limit = key, found, limit
        super().__init__(
            f"{key} is '{found}', more than {limit}. Measure both again and correct the wrong one."
        )


class NotReckonable(DescriptionProblem):
    """Numbers that the calculator can't use."""

    def __init__(self, why: str):
        super().__init__(why)


class KitBeyondUse(DescriptionProblem):
    """A zero or a bow that no level in use has."""

    def __init__(self, key: str, found: str):
        self.key, self.found = key, found
        super().__init__(
            f"{key} is '{found}', more than a level in use has (5 mm/m, 5 mm). Correct its unit; "
            f"if it is so, have the level adjusted and check it again."
        )


class CardTooThick(DescriptionProblem):
    """A card that is none."""

    def __init__(self, key: str, found: str):
        self.key, self.found = key, found
        super().__init__(
            f"{key} is '{found}'; no card is thicker than 3 mm (0.118 in). "
            f"Measure a stack of ten with a micrometer and divide by ten."
        )


class FeelersUnordered(DescriptionProblem):
    """Feelers that make no scale: too few or too many, or not from the thinnest on."""

    def __init__(self, key: str, found: str, fewest: int, most: int):
        self.key, self.found, self.fewest, self.most = key, found, fewest, most
        super().__init__(
            f"{key} is {found}; a form's scale holds {fewest} to {most} feelers, each thicker than "
            f"the one before. Write those that you use, thinnest first."
        )


class FeelersTooFarApart(DescriptionProblem):
    """A tolerance that no two neighbours of a kit's feelers can prove."""

    def __init__(self, key: str, found: str, stations: str, asked: str):
        self.key, self.found, self.stations, self.asked = key, found, stations, asked
        super().__init__(
            f"{key} is {found}, but no two neighbours of this kit's feelers can prove that "
            f"{stations} are within it. Put finer ones about {asked} into kit.feelers, or write a "
            f"wider tolerance."
        )


class BeyondBoard(DescriptionProblem):
    """A leg or bracket where there is no board."""

    def __init__(self, key: str, found: str, length: str):
        self.key, self.found, self.length = key, found, length
        super().__init__(
            f"{key} is '{found}', but the board reaches from 0 at end A to '{length}' at end B. "
            f"Measure its distance from end A along the board."
        )


class SamePlace(DescriptionProblem):
    """Two legs, or two brackets, in one place."""

    def __init__(self, key: str, found: str, other: str, other_found: str):
        self.key, self.found, self.other, self.other_found = key, found, other, other_found
        super().__init__(
            f"{key} is '{found}' and {other} is '{other_found}': both would stand in one place "
            f"(less than 1 in, 25.4 mm, apart). Measure both from end A, or take one out."
        )


class TooFewLegs(DescriptionProblem):
    """A table that can't stand."""

    def __init__(self, found: int):
        self.found = found
        super().__init__(
            f"legs has {found} of the 2 legs that a table needs at least. Describe each leg under "
            f"its own [[legs]], or leave all out to have them assumed from the board's length."
        )


class RoleMisplaced(DescriptionProblem):
    """A role that doesn't fit where the leg stands."""

    def __init__(self, key: str, found: str, fitting: str):
        self.key, self.found, self.fitting = key, found, fitting
        super().__init__(
            f"{key} is '{found}', which doesn't fit there: the first and the last leg along the "
            f"board are end legs, those between are supporting, at most one of them centre. "
            f"Write {fitting}, or correct where the leg is."
        )


class PlacesMissing(DescriptionProblem):
    """Places given for some of the legs or brackets only."""

    def __init__(self, key: str):
        self.key = key
        super().__init__(
            f"{key} is missing, though others are given. Write its distance from end A, "
            f'like "4 ft 6 in", or leave all of them out to have them assumed.'
        )


class HandWithoutThread(DescriptionProblem):
    """A hand of a thread that isn't named."""

    def __init__(self, key: str, found: str):
        self.key, self.found = key, found
        super().__init__(
            f"{key} is '{found}', but the thread itself is not given. "
            f'Write thread = "3/8-16 UNC" or what it is, or leave the hand out.'
        )


class BothSensitivities(DescriptionProblem):
    """A level described as bubble and display at once."""

    def __init__(self, sensitivity: str, display_step: str):
        self.sensitivity, self.display_step = sensitivity, display_step
        super().__init__(
            f"kit.sensitivity is '{sensitivity}' and kit.display_step is '{display_step}': a "
            f"bubble has the first, a digital level the second. Take out the one that this level "
            f"doesn't have."
        )


class StepUnknown(DescriptionProblem):
    """A way to read the level whose step nobody described."""

    def __init__(self, key: str, found: str, needed: str):
        self.key, self.found, self.needed = key, found, needed
        super().__init__(
            f"{key} is '{found}', but {needed} is not written, so nobody knows how much one of "
            f"them is. Write {needed} as it stands on the level, or take {key} out: the level is "
            f"then levelled with cards."
        )


class RiseWithoutCentre(DescriptionProblem):
    """A rise asked of a table that has no leg to rise from."""

    def __init__(self, key: str, found: str):
        self.key, self.found = key, found
        super().__init__(
            f"{key} is '{found}', but without a centre leg the ends can't be raised by feet. "
            f"Take it out, or give the leg in the middle the role centre."
        )


class RiseFloatsBoard(DescriptionProblem):
    """A rise at which the centre leg carries too little."""

    def __init__(self, key: str, found: str, most: str):
        self.key, self.found, self.most = key, found, most
        super().__init__(
            f"{key} is '{found}', but above {most} this board is about to float off its centre "
            f"leg. Write {most} or less, or leave it out to have it assumed."
        )


class StepsTooCoarse(DescriptionProblem):
    """A tolerance finer than the steps of feet or nuts can set."""

    def __init__(self, key: str, found: str, where: tuple[str, str], least: str):
        self.key, self.found, self.where, self.least = key, found, where, least
        steps, stations = where
        super().__init__(
            f"{key} is {found}, finer than {steps} can set: at {stations} the nearest one "
            f"may be {least} off. Write {least} or more."
        )


class DisplayTooCoarse(DescriptionProblem):
    """A tolerance finer than one step of a digital level."""

    def __init__(self, key: str, found: str, step: str):
        self.key, self.found, self.step = key, found, step
        super().__init__(
            f"{key} is {found}, less than one step of the level's display, {step}. "
            f"Take a level with a finer display and correct kit.display_step, "
            f"or write {step} or more."
        )


class ScaleTooCoarse(DescriptionProblem):
    """A tolerance that no box of this level's scale can prove."""

    def __init__(self, key: str, found: str, scale: tuple[str, str], cards: str | None):
        self.key, self.found, self.scale, self.cards = key, found, scale, cards
        step, by = scale
        cure = "Describe a finer level, or write a wider tolerance."
        if cards is not None:
            cure = (
                f"Cards of {cards} under this level could: take kit.cross_by out; or describe a "
                f"finer level, or write a wider tolerance."
            )
        super().__init__(
            f"{key} is {found}, but one of the {by} that this level is read by is {step}: none of "
            f"them can prove that a leg is within it. {cure}"
        )


class ZeroTooUnsure(DescriptionProblem):
    """A cross tolerance that a level read one way round can't prove, for its zero is too unsure."""

    def __init__(self, key: str, found: str, stations: str, zero: str):
        self.key, self.found, self.stations, self.zero = key, found, stations, zero
        super().__init__(
            f"{key} is {found}, but the zero of this kit's level is known to ± {zero} only: read "
            f"one way round it can't prove that {stations} are within it. Write kit.cross_read = "
            f'"both ways", or have the level checked and write kit.level_zero.'
        )


class CardsTooThick(DescriptionProblem):
    """A tolerance that no count of this kit's cards can prove."""

    def __init__(self, key: str, found: str, stations: str, cards: tuple[str, str | None]):
        self.key, self.found, self.stations, self.cards = key, found, stations, cards
        card, thinner = cards
        cure = "No thinner card could either: write a wider tolerance, or describe a finer kit."
        if thinner is not None:
            cure = (
                f"Cards of {thinner} could: measure such a pack and correct kit.card, "
                f"or write a wider tolerance."
            )
        super().__init__(
            f"{key} is {found}, but no count of cards of {card} can prove that {stations} are "
            f"within it. {cure}"
        )


def _shown(found: object) -> str:
    """Show a value as the file has it."""
    if isinstance(found, bool):
        return "true" if found else "false"
    if isinstance(found, dict):
        return "a section"
    return "a list" if isinstance(found, list) else f"'{found}'"

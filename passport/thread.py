"""Threads as they are written: ``3/8-16 UNC``, ``1/2-13``, ``M10x1.5``, ``M10``.

Pitch is the travel of one turn, since every thread here has a single start. Unified inch threads:
25.4 mm over the threads per inch (ASME B1.1); metric: the pitch in the designation, or the coarse
pitch of ISO 261 where it is left out.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from passport.errors import PassportError
from passport.quantity import INCH_MM, Kind, UnreadableQuantity, parse_number
from passport.table import Hand, Thread

# ASME B1.1, coarse and fine series: threads per inch by nominal size (from memory
# of the table; four public transcriptions agree).
TPI: Mapping[str, Mapping[str, int]] = {
    "UNC": {
        "#4": 40, "#5": 40, "#6": 32, "#8": 32, "#10": 24, "#12": 24,
        "1/4": 20, "5/16": 18, "3/8": 16, "7/16": 14, "1/2": 13, "9/16": 12,
        "5/8": 11, "3/4": 10, "7/8": 9, "1": 8,
    },
    "UNF": {
        "#4": 48, "#5": 44, "#6": 40, "#8": 36, "#10": 32, "#12": 28,
        "1/4": 28, "5/16": 24, "3/8": 24, "7/16": 20, "1/2": 20, "9/16": 18,
        "5/8": 18, "3/4": 16, "7/8": 14, "1": 12,
    },
}  # fmt: skip

# ISO 261, coarse pitch in mm by nominal diameter in mm (from memory of the table; a public
# transcription agrees from M3 to M33).
COARSE_PITCH: Mapping[str, Fraction] = {
    size: Fraction(pitch)
    for size, pitch in {
        "3": "0.5", "4": "0.7", "5": "0.8", "6": "1", "8": "1.25", "10": "1.5", "12": "1.75",
        "14": "2", "16": "2", "18": "2.5", "20": "2.5", "22": "2.5", "24": "3", "27": "3",
        "30": "3.5", "33": "3.5", "36": "4",
    }.items()
}  # fmt: skip

_HAND = re.compile(r"[\s-]*(?P<hand>left|right|lh|rh)(?:[ -]?hand(?:ed)?)?\s*$", re.IGNORECASE)
_SIZE = r"[0-9]{1,3}(?:[.,][0-9]{1,3})?"
_METRIC = re.compile(rf"M\s*(?P<size>{_SIZE})(?:\s*[x×]\s*(?P<pitch>{_SIZE}))?", re.IGNORECASE)
_FRACTION = r"[0-9]{1,2}/[1-9][0-9]?"
_UNIFIED = re.compile(
    rf"(?P<size>#[0-9]{{1,2}}|[0-9][ -]{_FRACTION}|{_FRACTION}|[0-9])\s*(?:\"|in\b)?"
    r"(?:\s*-\s*(?P<tpi>[0-9]{1,3}))?(?:[\s-]*(?P<series>UNC|UNF|UN))?",
    re.IGNORECASE,
)


class PitchNotOfSeries(PassportError):
    """A thread whose count and series contradict each other."""

    def __init__(self, key: str, found: str, series: str, tpi: int):
        self.key, self.found, self.series, self.tpi = key, found, series, tpi
        super().__init__(
            f"{key} is '{found}', but {series} of that size has {tpi} threads to the inch. "
            f"Measure the thread with a pitch gauge, and write the count or the series that fits."
        )


class PitchImpossible(PassportError):
    """A pitch that the thread's own diameter has no room for."""

    def __init__(self, key: str, found: str):
        self.key, self.found = key, found
        super().__init__(
            f"{key} is '{found}': such a pitch doesn't fit its diameter. "
            f"Measure the thread with a pitch gauge, and write it like M10x1.5 or 3/8-16."
        )


class HandsDiffer(PassportError):
    """A thread said to be left-handed in one place and right-handed in the other."""

    def __init__(self, key: str, found: str, hand: Hand):
        self.key, self.found, self.hand = key, found, hand
        super().__init__(
            f"{key} is '{found}', but its hand is given as '{hand}'. "
            f"Look at the thread: rising to the right is a right-hand one; then write it once."
        )


@dataclass(frozen=True)
class WrittenThread:
    """A thread as read, and what its text left to the usual: the coarse pitch, the right hand."""

    thread: Thread
    pitch_assumed: bool
    hand_assumed: bool


def parse_thread(text: str, hand: Hand | None = None, key: str = "thread") -> WrittenThread:
    """Thread as written, with its travel per turn.

    Parameters
    ----------
    text : str
        Unified (``3/8-16 UNC``, ``1/2-13``, ``3/8 UNC``) or metric (``M10x1.5``, ``M10``);
        ``left``, ``right``, ``LH`` or ``RH`` may follow.
    hand : Hand, optional
        The hand, where it is written apart. Right where nothing is said.
    key : str
        What the message calls it.

    Returns
    -------
    WrittenThread
        The thread; whether its pitch is the coarse one because none was written, and whether
        its hand is the right one because none was.

    Raises
    ------
    UnreadableQuantity, PitchNotOfSeries, PitchImpossible, HandsDiffer
        Not a thread, or one that contradicts itself.

    References
    ----------
    ASME B1.1 (unified inch threads); ISO 261 (metric threads, general plan).
    """
    body, written_hand = _hand_of(text)
    if hand and written_hand and hand is not written_hand:
        raise HandsDiffer(key, text, hand)
    if match := _METRIC.fullmatch(body):
        pitch = _metric_pitch(match, text, key)
        assumed = match["pitch"] is None
    elif match := _UNIFIED.fullmatch(body):
        pitch = INCH_MM / _threads_per_inch(match, text, key)
        assumed = match["tpi"] is None and match["series"] is None
    else:
        raise UnreadableQuantity(key, text, Kind.THREAD)
    found = hand or written_hand
    return WrittenThread(Thread(text, float(pitch), found or Hand.RIGHT), assumed, found is None)


def _hand_of(text: str) -> tuple[str, Hand | None]:
    """Split a designation from its hand."""
    match = _HAND.search(text)
    if match is None:
        return text.strip(), None
    hand = Hand.LEFT if match["hand"].lower().startswith("l") else Hand.RIGHT
    return text[: match.start()].strip(), hand


def _metric_pitch(match: re.Match[str], text: str, key: str) -> Fraction:
    size = match["size"].replace(",", ".")
    if match["pitch"] is None:
        if size not in COARSE_PITCH:
            raise UnreadableQuantity(key, text, Kind.THREAD)
        return COARSE_PITCH[size]
    pitch = parse_number(match["pitch"])
    _check_fits(pitch, Fraction(size), text, key)
    return pitch


def _threads_per_inch(match: re.Match[str], text: str, key: str) -> int:
    """Threads per inch: as written, checked against the series; else those of the series."""
    series = (match["series"] or "UNC").upper()
    size = match["size"].replace("-", " ")
    named = TPI.get(series, {}).get(size)
    if match["tpi"] is None:
        if named is None:
            raise UnreadableQuantity(key, text, Kind.THREAD)
        return named
    written = int(match["tpi"])
    if match["series"] and named is not None and named != written:
        raise PitchNotOfSeries(key, text, series, named)
    _check_fits(Fraction(1, written) if written else Fraction(0), _inches(size), text, key)
    return written


def _inches(size: str) -> Fraction:
    """Nominal diameter: of a numbered size 0.060 in and 0.013 in more a number (ASME B1.1)."""
    if size.startswith("#"):
        return Fraction(60 + 13 * int(size[1:]), 1000)
    return parse_number(size)


def _check_fits(pitch: Fraction, diameter: Fraction, text: str, key: str) -> None:
    """See that a pitch is a fiftieth to a third of the diameter; coarse ones take a quarter."""
    if not diameter / 50 <= pitch <= diameter / 3:
        raise PitchImpossible(key, text)

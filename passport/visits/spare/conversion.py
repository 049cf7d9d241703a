"""What a count asks for by the thread of the foot, where no look-up of the table is at hand."""

from collections.abc import Sequence

from forms.form import Block
from passport.leveling.lookup import whole_steps
from passport.quantity_text import FINE, Units, length_text
from passport.thread import parse_thread
from passport.visits.ink import BESIDE, COUNT, SMALL, WIDTH, Ink, centred, label, section, together

THREADS = (("3/8-16", "1/2-13", "5/8-11"), ("M8", "M10", "M12"))
CARD_MM = {Units.IMPERIAL: 0.19812, Units.METRIC: 0.2}  # 0.0078 in; printed, so it can be corrected
COUNTS = (1, 2, 3, 4)
HOW = (
    "Quarter turns of the LOW foot for 1 to 4 cards of {card}, feet as far apart as the level "
    "bears. Feet farther apart: as many times more; thicker cards: as many times more. Thread not "
    "known: one quarter turn, then measure."
)
_LINE = 3.9  # [mm]


def quarters(thread: str, cards: int, card_mm: float, apart: float = 1.0) -> int:
    """Whole quarter turns that lift a foot by some cards.

    Parameters
    ----------
    thread : str
        As written: ``3/8-16``, ``M10``.
    cards : int
        How many cards lie under the level's low end.
    card_mm : float
        Thickness of one. [mm]
    apart : float
        Distance of the feet over the level's bearing length.
    """
    lift = cards * card_mm * apart
    return whole_steps(lift / quarter_mm(thread))


def quarter_mm(thread: str) -> float:
    """Travel of a quarter turn: a quarter of the pitch [mm]."""
    return parse_thread(thread).thread.pitch_mm / 4


def conversion(units: Units) -> Block:
    """Draw the two tables of threads side by side: inch and metric, the form's own first."""
    head = section("Conversion", HOW.format(card=length_text(CARD_MM[units], units, FINE)))
    sides = THREADS if units is Units.IMPERIAL else THREADS[::-1]
    half = (WIDTH - BESIDE) / 2
    ink = head.ink + together(
        *(_side(side, units).moved(BESIDE + n * half, head.height) for n, side in enumerate(sides))
    )
    return ink.block("conversion", head.height + (len(sides[0]) + 1) * _LINE + 0.8)


def _side(threads: Sequence[str], units: Units) -> Ink:
    ink = label(0, 0.6, "thread", SMALL) + label(15.0, 0.6, "a quarter turn", SMALL)
    ink += together(*(centred(_column(n), 0, f"{count}", COUNT) for n, count in enumerate(COUNTS)))
    for row, thread in enumerate(threads, start=1):
        ink += _thread(thread, units).moved(0, row * _LINE)
    return ink


def _thread(thread: str, units: Units) -> Ink:
    travel = length_text(quarter_mm(thread), units, FINE)
    asked = (quarters(thread, count, CARD_MM[units]) for count in COUNTS)
    turns = (centred(_column(n), 0, str(q), COUNT, bold=True) for n, q in enumerate(asked))
    return label(0, 0, thread, COUNT) + label(15.0, 0.5, travel, SMALL) + together(*turns)


def _column(index: int) -> float:
    return 39.0 + index * 7.2

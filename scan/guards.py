"""What stands between a wrong value and the history: each guard's threshold, what an error costs.

A guard only ever turns a value into a doubt, or a page into one that is photographed again. Each
can be loosened alone, to measure what it is worth; forms are read with ``GUARDS`` as they are.

The costs that the thresholds weigh (common practice, no source): a doubt costs one look at a
cut-out, about ten seconds; a page given up, a new photo, or the typing of its forty fields; a wrong
count of turns that nobody sees, a second visit and a board that is out of level until then.
"""

from dataclasses import dataclass
from enum import Enum, auto


class Held(Enum):
    """Whether what two places on the paper say is held against each other."""

    TOGETHER = auto()
    APART = auto()


@dataclass(frozen=True)
class Guards:
    """The thresholds of one reading.

    Attributes
    ----------
    residual_mm : float
        Largest residual of a flattened page at which values may be sure. Boxes of a scale stand
        7 mm apart and are 4.5 mm wide: up to .8 mm, and the .4 mm that a hand strays, a mark is
        found in its own box. Too large: marks are read in a neighbour's box. ``inf`` turns it off.
        [mm]
    outlines_mm : float
        Largest residual of a page at which a number may be sure whose own boxes' outlines were all
        found, on every side, less than 1 mm off their place. Boxes of a number stand 7.2 mm apart,
        numbers above each other 10 mm: no other box is as near. Too large: digits are read in a
        neighbour's box. ``inf`` turns it off. [mm]
    astray : float
        Largest share of a page's marks that may stand beside a box or in two. Of 2,066 photos one
        had more than .23: .52, its boxes lay a millimetre off, their outlines were read as marks,
        and of the others seven silently. ``inf`` turns it off.
    stray_mm : float
        How far one black square may lie from where the others put it. Curl brings up to 6 mm. Too
        large: two half sheets are read as one. ``inf`` turns it off. [mm]
    codes : Held
        QR code and squares must name one page, and the code must stand where it was printed. Apart:
        a page is read with another page's layout.
    faint_band : float
        Share of the band between no ink and a mark that is a doubt; 1 is all of it. Below the band
        paper's grain ends, above it the palest pen of the page begins. 0 takes erased marks and
        stains for marks.
    second_mark : float
        From which share of the darkest box's ink on a second inked box in a row makes a doubt. 0
        doubts every one; ``inf`` reads the darkest.
    domain : float
        How far from the training digits' features a shape may lie, in units of the distance that
        99.5 % of digits keep. Too large: letters and struck-out digits are read as digits. ``inf``
        turns it and the bounds of a digit's shape off.
    unlike : float
        Largest chance of being no digit at all that a digit may have; 1 turns it off. Of 410
        numbers with a digit struck out or written over, .03 and the other gates let 8 pass; .1
        lets 22, .3 lets 34. Corrections look like an eight most often, so an eight is asked for
        .0122 (``scan.network.EIGHTS``): 6 pass.
    beyond : float
        Largest share of a digit's ink above and below its box. Of 13,841 digits .5 % have more; all
        of 35 corrections that were written above the next row's boxes and reach into an empty one
        had more. 1 turns it off.
    digit_chance : float
        Least chance of each digit that stands by itself, among digits. Of 5,232 plain numbers of
        simulated hands and real digits, .995 lets 68 % pass, none of them wrong; .985 78 % and 1;
        .95 83 % and 6; .9, with ``unlike`` .1, 90 % and 23. A wrong one costs a second visit, some
        two hours, as much as 700 doubts: from .985 down a step costs more than it saves. 0 turns it
        off.
    witnessed_chance : float
        Least chance of a digit that a sure ladder or sum confirms: the two err apart from each
        other. A digit of .6 and a witness that is wrong once in a thousand show the same wrong
        digit once in 14,000, by arithmetic; digits that the witness does not show keep their gate.
    expected_chance : float
        Least chance of a digit that the field's bounds or its expectation may confirm: what else
        the shape might be makes a number that was not expected there (``scan/expected.py``). With
        them its chance must reach ``digit_chance``. Of digits between .9 and .98, 96 % are what
        they seem. ``inf`` turns it off.
    witness : Held
        A number must say what its witness (a ladder, a sum) says.
    expectation : float
        Standard uncertainties from what was expected when the form was printed at which a value is
        a doubt; with 4, one true value in 16,000 is looked at for nothing. ``inf`` turns it off.
    """

    residual_mm: float = 0.8
    outlines_mm: float = 2.4
    astray: float = 0.33
    stray_mm: float = 8.0
    codes: Held = Held.TOGETHER
    faint_band: float = 1.0
    second_mark: float = 0.0
    domain: float = 1.0
    unlike: float = 0.03
    beyond: float = 0.15
    digit_chance: float = 0.985
    witnessed_chance: float = 0.60
    expected_chance: float = 0.90
    witness: Held = Held.TOGETHER
    expectation: float = 4.0


GUARDS = Guards()

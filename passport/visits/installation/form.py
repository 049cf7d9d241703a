"""The installation's form: one gate a stage, signed in order."""

from collections.abc import Sequence
from datetime import date

from forms.field import Box, Note
from forms.form import HEADER_DRAWING_MM, Block, Form, Stroke
from passport.drawing import draw
from passport.table import Table
from passport.visit import Visit
from passport.visits.foot import SIDES, foot
from passport.visits.grid import PITCH, tick
from passport.visits.ink import (
    COUNT,
    TITLE,
    WIDTH,
    Ink,
    caution,
    ending,
    label,
    paragraph,
)
from passport.visits.installation.stages import Stage, stages_of
from passport.visits.kind import NOTHING_OPEN, LookFirst
from passport.visits.service import closing
from passport.visits.service.form import header

KIND = "installation"
_GATE = 128.0  # [mm] where the gate's box stands
_SAID = 30.5  # [mm] where a stage's words begin
ORDER = (
    "Each stage is signed before the next begins; nobody signs ahead. The service form that comes "
    "with this one takes every count: its rows first, then its two pass sheets; its last rows are "
    "the table as left."
)
CALLS = {  # common practice, no source
    "BLOCKS": "purpose-made, all of one height, lie on the frame before anyone lifts",
    "READY": "each one answers; who does not answer, stops the lift",
    "LIFT": "all together",
    "OVER": "walk with the one who calls",
    "DOWN": "on to the blocks, hands at the board’s sides, never below it",
    "HANDS OUT": "each one answers; only then blocks are drawn, from the side, by tape",
    "STOP": "anyone may call it; everybody holds still until the one who calls speaks",
}


def done(stage: str) -> str:
    """Name the tick of a stage."""
    return f"stage.{stage}.done"


def sign(stage: str) -> str:
    """Name the place where a stage is signed."""
    return f"stage.{stage}.sign"


def form(
    table: Table,
    *,
    printed_on: date,
    last_visit: Visit | None,
    technicians: Sequence[str],
    look_first: LookFirst = NOTHING_OPEN,
) -> Form:
    """Draw up the installation form of a table; see ``MakesForm``."""
    drawing = draw(table, *HEADER_DRAWING_MM)
    said = paragraph(0, 0.3, WIDTH, ORDER)
    gates = (_gate(number, one) for number, one in enumerate(stages_of(table), start=1))
    return Form(
        KIND,
        "Installation",
        table.number,
        header(table),
        (
            said.ink.block("order", said.height + 1.8),
            *gates,
            _calls(),
            closing.notes(technicians),
            closing.who(printed_on, technicians),
        ),
        foot(SIDES, printed_on),
        drawing.strokes,
        drawing.texts,
    )


def _gate(number: int, stage: Stage) -> Block:
    ink = Ink(strokes=(Stroke(f"M0 0H{WIDTH}", 0.3),))
    ink += label(0, 0.9, f"{number}  {stage.title}", TITLE, bold=True)
    width = _GATE - _SAID - 3.0
    said = paragraph(_SAID, 1.2, width, stage.how)
    ink, y = ink + said.ink, 1.2 + said.height
    if stage.care:
        care = caution(_SAID, y + 0.5, width, stage.care)
        ink, y = ink + care.ink, y + 0.5 + care.height
    ink += tick(done(stage.key), f"{stage.title} done", _GATE, 0.8, "done")
    box = Box(_GATE + 16.0, 1.6, WIDTH - _GATE - 16.0, 8.6)
    ink += Ink(fields=(Note(sign(stage.key), f"{stage.title}, signed", box),))
    return ink.block(f"stage {stage.key}", max(y + 1.4, PITCH + 4.4))


def _calls() -> Block:
    """Card to pin up: the words that one person calls when the board goes down."""
    ink = label(4.0, 4.4, "Board down: ONE person calls", TITLE, bold=True)
    ink += ending(WIDTH - 4.0, 5.2, "Pin this page up where the crew can see it.")
    for index, (word, meaning) in enumerate(CALLS.items()):
        y = 11.4 + index * 6.2
        ink += label(4.0, y, word, TITLE, bold=True) + label(40.0, y + 0.3, meaning, COUNT)
    height = 11.4 + len(CALLS) * 6.2 + 1.0
    frame = Stroke(f"M0.4 2.2H{WIDTH - 0.4}V{height}H0.4Z", 0.25)
    return (ink + Ink(strokes=(frame,))).block("calls", height + 4.0)

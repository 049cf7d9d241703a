"""One station's block: the head with counts and look-ups, the rows found and after, the turns."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from forms.field import Option
from forms.typeface import line_mm
from passport.quantity_text import Units, length_text
from passport.table import Bracket, Leg, Steps, Table
from passport.visits.grid import LABEL, PITCH, column, heads, options, row_name, scale, tick
from passport.visits.ink import COUNT, SMALL, TITLE, Ink, centred, label, rule, together

LINE = line_mm(COUNT)  # [mm] a line of counts or look-ups
HEAD_GAP = -0.4  # a box stands lower in its row than its line of text
FOOT_GAP = 0.2
_SUNK = 1.65  # [mm] of a pass sheet's look-ups: their white and that over a box are one
PASS_FOOT = -0.4  # [mm] a pass sheet's rule stands nearer to the boxes above it
FOUND = "found"
WORDS_MM = 3.0  # [mm] words over the halves of a scale


@dataclass(frozen=True)
class Counts:
    """The counts of a column: values, what is printed over them, which are bounds, what they ask.

    ``lookups`` holds one or two lines of words per count; none where nothing is asked for.
    """

    unit: str
    values: tuple[int, ...]
    words: tuple[str, ...]
    bounds: tuple[int, ...]
    lookups: tuple[tuple[str, ...], ...] = ()

    @property
    def lines(self) -> int:
        """Lines that the look-ups take."""
        return max((len(lines) for lines in self.lookups), default=0)

    @property
    def head_mm(self) -> float:
        """Height of the head: counts, look-ups, a little white [mm]."""
        return (1 + self.lines) * LINE + HEAD_GAP

    def head_below(self, shown: "Counts | None") -> float:
        """Height of what a pass sheet must print of the head below another station's [mm].

        Look-ups stand close over their boxes, so that eight that differ go on one sheet.
        """
        if shown is None:
            return WORDS_MM + self.head_mm
        return 0.4 if shown == self else self.lines * LINE - _SUNK

    def ok(self) -> tuple[int, ...]:
        """List the counts that lie wholly in tolerance."""
        pairs = zip(self.values, self.lookups, strict=False)
        return tuple(value for value, lines in pairs if lines == ("OK",))


def counts_head(counts: Counts) -> Ink:
    """Print the counts, and under each what it asks for."""
    return heads(counts.words, LABEL, 0.0) + lookups_head(counts).moved(0, LINE)


def lookups_head(counts: Counts) -> Ink:
    """Print what each count asks for, on columns whose counts stand above already."""
    lookups = (
        centred(column(index), line * LINE, words, COUNT, bold=words == "OK")
        for index, lines in enumerate(counts.lookups)
        for line, words in enumerate(lines)
    )
    return together(*lookups)


def reading_row(field_id: str, name: str, row: float, counts: Counts, words: str) -> Ink:
    """One row of count boxes; those that mean OK are framed heavily."""
    boxes = scale(field_id, name, counts.unit, _boxes(counts, row, words))
    heavy = frozenset(f"{field_id}={value}" for value in counts.ok())
    return boxes + Ink(heavy=heavy) + row_name(row, words)


def _boxes(counts: Counts, row: float, words: str) -> tuple[Option, ...]:
    """Boxes of a row; those of a count as found keep what they ask for."""
    boxes = options(counts.values, LABEL, row, counts.bounds)
    if words != FOUND or not counts.lookups:
        return boxes
    asked = (" ".join(lines) for lines in counts.lookups)
    return tuple(replace(box, asks=said) for box, said in zip(boxes, asked, strict=True))


def ordinal(walk: int) -> str:
    """Name a pass among others in a list of doubts; nothing for the first."""
    return {1: "", 2: ", 2nd pass", 3: ", 3rd pass"}[walk]


def station_name(table: Table, station: Leg | Bracket, beside: str = "") -> Ink:
    """Name of a station, what it is, and how far it is from end A."""
    name = label(0, 0.0, station.name, TITLE, bold=True)
    return name + label(8.2, 0.8, beside, SMALL) + label(0, LINE + 0.6, place(table, station), 7.5)


def place(table: Table, station: Leg | Bracket) -> str:
    """Say how far a station is from end A."""
    return length_text(station.x_mm, Units(table.units))


def small_name(station: Leg | Bracket, row: float) -> Ink:
    """Name of a station beside its first row, where the head is shared."""
    return label(0, row + PITCH / 2 - line_mm(TITLE) / 2, station.name, TITLE, bold=True)


def untouched_tick(field_id: str, station: str, row: float) -> Ink:
    """OK, as is: nothing was touched, the reason of an empty row."""
    return tick(field_id, f"{station} OK, as is", 0.0, row, "OK,\nas is")


def signed_turns(field_id: str, name: str, row: float, left: float) -> Ink:
    """Quarter turns of one foot, down and up, in one row."""
    return scale(field_id, name, "quarter turn", options(range(-4, 5), left, row))


def two_way_turns(
    field_id: str, name: str, row: float, left: float, by: Steps = Steps.QUARTERS
) -> Ink:
    """Draw steps of a turn in two rows of one scale: the upper one positive, the lower negative."""
    up = options(range(1, 9), left + PITCH, row)
    down = options(range(-1, -9, -1), left + PITCH, row + PITCH)
    return scale(field_id, name, by.one if by is Steps.QUARTERS else by.word, up + down)


def two_way_words(row: float, left: float, words: Sequence[str]) -> Ink:
    """Say what the upper and the lower row of turns mean."""
    right = left + PITCH - 0.4
    return row_name(row, words[0], right) + row_name(row + PITCH, words[1], right)


def ruled(ink: Ink, height: float, *, grey: float = 0.65) -> Ink:
    """Close a station with a thin line below it."""
    return ink + rule(height - 0.1, grey=grey)


def not_measured(field_id: str, name: str) -> Ink:
    """Tick under a section's title: not measured on this visit."""
    return tick(field_id, name, 0.0, 5.2, "not measured\nthis visit")

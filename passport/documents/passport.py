"""The passport: what this table is, how it stands, what was done, how to look after it."""

from dataclasses import dataclass
from datetime import datetime

from forms.booklet import folded
from forms.numbers import grouped
from forms.paper import Paper
from forms.pdf import page_count
from passport.documents import house, texts, wording
from passport.documents.care import bow_words
from passport.documents.codes import code_svg
from passport.documents.courses import courses
from passport.documents.grid import grids
from passport.documents.identity import assumed_words, identity
from passport.documents.log import log
from passport.documents.news import news
from passport.documents.relief import surface_map
from passport.documents.yearly import yearly
from passport.drawing import Drawing, draw
from passport.table import Table

CODE_SIDE_MM = 32.0
_DRAWING_MOST_MM = 44.0  # height
_DRAWING_WORDS_MM = 16.0  # of the height, for names and distances above and below


@dataclass(frozen=True)
class _Fold:
    """How a passport lies on its paper; lengths in mm."""

    name: str
    width: float
    height: float
    inside: float  # width between the margins

    @classmethod
    def flat(cls, paper: Paper) -> "_Fold":
        """Take whole sheets."""
        return cls("flat", paper.width, paper.height, round(paper.width - 36.0, 3))

    @classmethod
    def booklet(cls, paper: Paper) -> "_Fold":
        """Take half sheets, upright."""
        return cls("booklet", paper.height / 2, paper.width, round(paper.height / 2 - 24.0, 3))


def passport_pdf(story: house.Story, paper: Paper, printed: datetime) -> bytes:
    """Print a table's passport on whole sheets.

    Parameters
    ----------
    story : Story
        Table, visits, advice and the record's head; with ``former``, what changed is marked.
    paper : Paper
        Sheet size.
    printed : datetime
        The clock; the same story and clock give the same bytes.
    """
    return _pages(story, _Fold.flat(paper), printed)


def booklet_pdf(story: house.Story, paper: Paper, printed: datetime) -> bytes:
    """Print a table's passport as a booklet: sheets to be folded once and stapled in the fold.

    Print on both sides, turned over the short edge. What the last sheet has room for are pages
    for notes. Parameters as of ``passport_pdf``.
    """
    fold = _Fold.booklet(paper)
    pages = _pages(story, fold, printed)
    missing = -page_count(pages) % 4
    return folded(_pages(story, fold, printed, missing) if missing else pages)


def _pages(story: house.Story, fold: _Fold, printed: datetime, notes: int = 0) -> bytes:
    return house.pdf(
        "passport.html",
        printed,
        paper=fold,
        fold=fold.name,
        notes=notes,
        title=f"Passport of table {grouped(story.table.number)}",
        story=story,
        code=house.picture(code_svg(story.code, CODE_SIDE_MM)),
        drawing=house.picture(house.drawing_svg(_drawing(story.table, fold.inside))),
        drawing_words=_drawing_words(story.table),
        identity=identity(story.table),
        assumed=assumed_words(story.table),
        standing=wording.standing(story.advice.state),
        news=news(story),
        grids=grids(story),
        surface=surface_map(story, fold.inside),
        courses=courses(story),
        year=yearly(story, fold.inside),
        log=log(story),
        next_changed=_next_changed(story),
        bow=bow_words(story.table),
        texts=texts,
    )


def _drawing(table: Table, width: float) -> Drawing:
    """Draw the table over a width, no higher than it needs. [mm]."""
    deepest = max(table.board.width_mm, *(leg.foot_spacing_mm for leg in table.legs))
    height = _DRAWING_WORDS_MM + deepest / table.board.length_mm * width
    return draw(table, width, min(_DRAWING_MOST_MM, height))


def _drawing_words(table: Table) -> str:
    legs = [f"{leg.name} {wording.leg_place(table, leg)}" for leg in table.legs]
    brackets = [f"{b.name} bracket {wording.bracket_place(table, b)}" for b in table.brackets]
    stations = "; ".join(legs + brackets)
    return f"Drawing of the table from above, end A at the left, left side up. {stations}."


def _next_changed(story: house.Story) -> str | None:
    """Say when the next visit was due before, where that differs."""
    former = story.before.next_visit if story.before else None
    now = story.advice.next_visit
    return wording.month(former) if former and now and former != now else None

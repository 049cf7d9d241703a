"""The cover of a day's round: its stops in order, their last values, what to bring."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from forms.paper import Paper
from passport.documents import house, wording
from passport.documents.actions import to_bring
from passport.documents.worklist import action_list

SURE_OF_ITS_PLACE = "this sheet"


@dataclass(frozen=True)
class Sheet:
    """One paper of a stop: what it is, its number if it is a form, how many pages it has."""

    name: str
    number: str
    pages: int


@dataclass(frozen=True)
class Stop:
    """One table of a round. ``values`` are what its last visit left, station by station."""

    table: str
    name: str
    site: str
    on: date | None
    why: str
    unsafe: bool
    last: date | None
    values: tuple[tuple[str, str, str], ...]
    bring: tuple[str, ...]
    sheets: tuple[Sheet, ...] = ()

    @property
    def urgency(self) -> tuple[bool, date]:
        """Sort key: out of use first, then by the day of the next visit."""
        return not self.unsafe, self.on or date.min

    @property
    def pages(self) -> int:
        """How many pages its papers have."""
        return sum(sheet.pages for sheet in self.sheets)


def stop_of(story: house.Story, sheets: Sequence[Sheet] = ()) -> Stop:
    """Keep of a table's story what the cover says of it."""
    table, advice = story.table, story.advice
    actions = action_list(table, story.visits, advice, story.stopped_by)
    bring = (one for one in to_bring(table, actions) if one != SURE_OF_ITS_PLACE)
    return Stop(
        table.number,
        table.name,
        table.site,
        advice.next_visit,
        advice.next_visit_why,
        story.unsafe,
        story.visits[-1].date if story.visits else None,
        tuple(
            (one.station, wording.short(table, one), one.verdict.value)
            for one in advice.state
            if one.value is not None
        ),
        tuple(bring),
        tuple(sheets),
    )


def in_order(stops: Sequence[Stop]) -> tuple[Stop, ...]:
    """Order stops by urgency, all tables of one place together.

    A place comes as early as the most urgent of its tables.
    """
    first: dict[str, tuple[bool, date]] = {}
    for one in stops:
        first[one.site] = min(first.get(one.site, one.urgency), one.urgency)
    return tuple(sorted(stops, key=lambda one: (first[one.site], one.site, one.urgency, one.name)))


def cover_pdf(stops: Sequence[Stop], paper: Paper, printed: datetime) -> bytes:
    """Print the cover of a round whose stops are in order.

    Parameters
    ----------
    stops : sequence of Stop
        As ``in_order`` gives them.
    paper : Paper
        Sheet size.
    printed : datetime
        The clock.
    """
    bring = dict.fromkeys(what for one in stops for what in one.bring)
    return house.pdf(
        "round.html",
        printed,
        paper=paper,
        title=f"Round of {wording.day(printed.date())}",
        stops=_numbered(stops),
        bring=tuple(bring),
        pages=sum(one.pages for one in stops),
    )


def _numbered(stops: Sequence[Stop]) -> list[tuple[int, int, Stop]]:
    """Give each stop its number and the first of its pages behind the cover."""
    numbered, page = [], 1
    for place, one in enumerate(stops, start=1):
        numbered.append((place, page, one))
        page += one.pages
    return numbered

"""Cards four to a sheet that lies on its side: fronts, their backs, lines to cut along."""

from collections.abc import Iterator, Sequence
from datetime import datetime

from forms.content import Spot, cut_content
from forms.misfits import NothingToPrint
from forms.paper import Paper
from forms.place import Placed
from forms.sheet import drawn_part, name_of
from forms.tagged import Drawn, Part, tagged
from forms.typeface import MM_PER_PT

ABREAST, DEEP = 2, 2
ON_A_SHEET = ABREAST * DEEP


def print_cards(cards: Sequence[Placed], paper: Paper, printed_at: datetime) -> bytes:
    """Print cards for cutting: a sheet's fronts, then its backs, and so on.

    Parameters
    ----------
    cards : sequence of Placed
        Copies of one card.
    paper : Paper
        The sheet that they are cut from.
    printed_at : datetime
        As for ``print_form``; the same cards and time give the same bytes.

    Returns
    -------
    bytes
        A PDF file, tagged, to be printed on both sides and turned over the short edge.

    Raises
    ------
    NothingToPrint
        There is no card.
    """
    if not cards:
        raise NothingToPrint
    title = "; ".join(map(name_of, cards))
    return tagged(_sides(cards, paper), lambda: title, printed_at)


def _sides(cards: Sequence[Placed], paper: Paper) -> Iterator[Drawn]:
    for start in range(0, len(cards), ON_A_SHEET):
        four = cards[start : start + ON_A_SHEET]
        for page in range(len(four[0].sheets)):
            yield _side(four, page, paper)


def _side(four: Sequence[Placed], page: int, paper: Paper) -> Drawn:
    width, height = paper.height / MM_PER_PT, paper.width / MM_PER_PT
    parts = list[Part]()
    for at, card in enumerate(four):
        first = sum(len(part.ground.pieces) + len(part.naming.pieces) for part in parts)
        right, up = _corner(at, card, page, paper)
        parts.append(drawn_part(card.sheets[page], Spot(right, up, first)))
    cuts = (width / 2, 0, width / 2, height), (0, height / 2, width, height / 2)
    names = ", ".join(str(card.number) for card in four)
    name = f"{four[0].form.title} {names}, page {page + 1}"
    return Drawn((round(width, 3), round(height, 3)), tuple(parts), name, cut_content(cuts))


def _corner(at: int, card: Placed, page: int, paper: Paper) -> tuple[float, float]:
    """Lower left corner of a card on its sheet [pt]; backs stand mirrored, behind their fronts."""
    across, down = at % ABREAST, at // ABREAST
    if page % 2:
        across = ABREAST - 1 - across
    middle, half = paper.height / 2, paper.width / 2
    left = middle + (across - 1) * card.paper.width
    bottom = half - down * card.paper.height
    return left / MM_PER_PT, bottom / MM_PER_PT

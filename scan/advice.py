"""What is wrong with a photo: the strongest fault of a picture, or of a page, and its side."""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from forms.field import Field, boxes_of
from forms.layout import Page
from forms.marks import NotAFormCode, parse_page_code
from forms.paper import FORMATS
from scan.arrays import Grey, Points
from scan.codes import read_codes
from scan.errors import (
    Blurred,
    CodeUnreadable,
    CutOff,
    EdgeMissing,
    Mirrored,
    Moved,
    Negative,
    NotAForm,
    PageRefused,
    Refused,
    TooDark,
    TooSmall,
)
from scan.fiducials import ENOUGH, Fiducial, Pyramid, by_page, find_fiducials, pyramid
from scan.ink import DARKEST_PAPER, Sight
from scan.light import code_washed, lights, lit
from scan.page import located
from scan.reading import Problem, Reading, Status, Why
from scan.sharpness import sharpness, shows_print
from scan.sheet import blank_page

SOFTEST_EDGE = 0.0035  # of the picture's longer side: 14 pixels of 4,000, a square's module is 13
SOFTEST_MM = 0.9  # on a page that was found: a pen's stroke of half a millimetre is twice as wide
UNREAD_PX_PER_MM = 3.0  # squares of 10 mm are found down to about this
MANY_UNREAD = 0.1  # share of a page's fields from which on the picture's softness is named
EDGES = {
    "left edge": (0, 0.5),
    "right edge": (1, 0.5),
    "upper edge": (0.5, 0),
    "lower edge": (0.5, 1),
}
WHITE_MM = 4.0  # of a page's edge that a scan may lack
UNREAD = (Status.DOUBTFUL, Status.OUTSIDE)


def advise(levels: Pyramid) -> Refused:
    """Name the strongest fault of a picture without squares.

    Parameters
    ----------
    levels : sequence of ndarray
        The picture, its half, quarter and eighth.
    """
    return _dark(levels) or _turned_round(levels[1]) or _soft(levels) or _far_or_none(levels[0])


def cause_of(refusal: PageRefused, levels: Pyramid, found: Sequence[Fiducial]) -> Refused:
    """Name what keeps a page from being named, where that is the picture's or the light's fault.

    In a soft or mirrored picture a few squares may be found, by luck or likeness.
    """
    if isinstance(refusal, EdgeMissing):
        few = refusal.found < ENOUGH
        turned = (_dark(levels) or _turned_round(levels[1])) if few else None
        return turned or _soft(levels) or refusal
    if isinstance(refusal, CodeUnreadable):
        return _soft(levels) or _washed(levels, found) or refusal
    return refusal


def _washed(levels: Pyramid, found: Sequence[Fiducial]) -> Refused | None:
    """Say whether light lies on the code of the page with these squares, on either paper."""
    pages = (blank_page(paper, found[0].page) for paper in FORMATS)
    return next(filter(None, (code_washed(levels, located(found, p), p) for p in pages)), None)


def _dark(levels: Pyramid) -> Refused | None:
    brightest = int(np.percentile(levels[3], 98))
    return TooDark(brightest) if brightest < DARKEST_PAPER else None


def _turned_round(grey: Grey) -> Refused | None:
    """Say whether squares appear in a picture (H, W) that is mirrored or inverted."""
    if _shows_a_page(grey[:, ::-1]):
        return Mirrored()
    return Negative() if _shows_a_page(255 - grey) else None


def _shows_a_page(grey: Grey) -> bool:
    """Tell whether enough squares of one page can be found in a picture (H, W)."""
    pages = by_page(find_fiducials(pyramid(np.ascontiguousarray(grey))))
    return any(len(squares) >= ENOUGH for squares in pages.values())


def _soft(levels: Pyramid) -> Blurred | Moved | None:
    if not shows_print(levels[3]):
        return None
    return sharpness(levels[0]).fault(SOFTEST_EDGE * max(levels[0].shape))


def _far_or_none(grey: Grey) -> Refused:
    if any(_is_ours(text) for text in read_codes(grey)):
        return TooSmall(UNREAD_PX_PER_MM)
    return NotAForm()


def _is_ours(text: str) -> bool:
    try:
        parse_page_code(text)
    except NotAFormCode:
        return False
    return True


def of_page(
    levels: Pyramid, sight: Sight, page: Page, readings: Mapping[str, Reading]
) -> list[Problem]:
    """Say what keeps fields of a page from being read, what takes most of them first.

    Parameters
    ----------
    levels : sequence of ndarray
        The picture, its half, quarter and eighth.
    sight, page
        The flattened page, and where its fields are.
    readings : mapping of str to Reading
        What they say.
    """
    unread = {field.id: field.label or field.id for field in page.fields
              if readings[field.id].status in UNREAD}  # fmt: skip
    if not unread:
        return []
    light = lit(levels, sight, page)
    found: list[tuple[PageRefused, tuple[str, ...]]] = [
        (fault, tuple(fault.labels))
        for fault in (*lights(light, page, unread), *_cut_off(sight, page, readings, unread))
    ]
    told = {name for _, names in found for name in names}
    rest = tuple(name for name in unread if name not in told)
    if len(rest) > MANY_UNREAD * len(page.fields):
        soft = sharpness(levels[0]).fault(SOFTEST_MM * sight.flat.px_per_mm)
        found += [(soft, rest)] if soft else []
    found.sort(key=lambda one: -len(one[1]))
    return [fault.problem(page.page, fields) for fault, fields in found]


def _cut_off(
    sight: Sight, page: Page, readings: Mapping[str, Reading], unread: Mapping[str, str]
) -> Iterator[CutOff]:
    """Say which edges of the page are not in the picture, if fields are lost with them.

    A field may be in it and too far from all squares that are.
    """
    lost = {
        field.id: unread[field.id]
        for field in page.fields
        if field.id in unread
        and (
            readings[field.id].why is Why.PAGE_BENT or not _in_picture(sight, _corners(field)).all()
        )
    }
    size = np.array((page.width, page.height))
    ends = WHITE_MM + np.array(list(EDGES.values())) * (size - 2 * WHITE_MM)
    sides = [name for name, seen in zip(EDGES, _in_picture(sight, ends), strict=True) if not seen]
    if lost and sides:
        yield CutOff(page.page, sides, lost)


def _corners(field: Field) -> Points:
    """Upper left and lower right corners of a field's boxes; (2 N, 2). [mm]."""
    boxes = np.array(boxes_of(field))
    return np.concatenate([boxes[:, :2], boxes[:, :2] + boxes[:, 2:]])


def _in_picture(sight: Sight, mm: Points) -> np.ndarray:  # (N,) bool
    """Tell which points (N, 2) of the page the picture holds. [mm]."""
    most = np.array(sight.source.shape[::-1]) * sight.shrink
    px = sight.flat.at(mm)
    return np.asarray(((px > 0) & (px < most)).all(axis=1))

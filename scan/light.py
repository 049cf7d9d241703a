"""What the light does to each field: print washed out by glare, or paper as dark as a shadow's.

Where a lamp or window is mirrored in toner and paper, its light is added to both: paper comes near
white and print turns pale. A shadow leaves print as dark beside its paper as it was, and less light
to tell it by. So each box is judged by its paper's brightness and by how dark the print around it
is beside that of the page's other fields of its kind.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from forms.field import Box, Field, Note, boxes_of
from forms.layout import Page
from scan.arrays import Points
from scan.errors import Glare, Shadow
from scan.fiducials import Pyramid
from scan.ink import DARKEST_PAPER, Sight
from scan.opencv import cv2, sampled
from scan.page import Flat
from scan.reading import Reading, Status, Why

LEVEL = 2  # a quarter of the picture: an outline is a pixel wide there, and found fast
REACH_MM = 3.8  # from a box's middle, as far as its print is looked for: a digit box is 6.5 wide
USUAL = 75  # percentile of a kind's contrasts that is usual: glare takes less than most of a page
FEW = 4  # boxes of one kind of field, below which they are held against all of the page
NEAREST = 3  # boxes that share their light: a spot is larger than one
PALE, WASHED = 0.7, 0.6  # times the usual contrast: a spot's rim, and what any spot has in it
PLAIN = 60  # percentile of paper that is neither in glare nor in the shadow of a half
BRIGHTER = 1.06  # times it, or nearly white: where a lamp adds to it
LEAST_ADDED = 6  # steps of brightness; on paper that is white already, no light can be seen
IN_SPOT = 0.98  # times the brightest paper with pale print: the middle of the spot
NEARLY_WHITE = 248
SHADED = 0.4  # times the page's brightest paper: a seventh of its light (its power of 2.2)
BRIGHTEST = 95  # percentile of paper that is a page's brightest
NODES = 24  # of the grid, each way, on which the page is looked over for the side
MOST_OF_PAGE = 0.4  # a spot is no larger; brightness alone does not show it then
BURNT, UNBURNT = 253, 240  # brightness of paper in glare, on a page that is usually no brighter
MOST_BURNT = 0.1  # share of a note that glare may cover without hiding what is written
CODE_NODES, MODULES_MM = 8, 2.5  # of a grid over a code, and how far from a node one is black
CODE_PALE, CODE_WASHED = 0.6, 0.15  # contrast of its modules in glare, share of it that stops both
SIDES = (("upper left", "upper side", "upper right"), ("left side", "middle", "right side"),
         ("lower left", "lower side", "lower right"))  # fmt: skip


@dataclass(frozen=True)
class Lit:
    """How the boxes of a page are lit: ``owners`` name their fields, ``places`` (N, 2). [mm].

    ``paper`` (N,) is its brightness there, ``contrast`` (N,) how dark print is, 1 for the kind's
    usual. ``ground`` (NODES, NODES) is the paper's brightness all over the page.
    """

    owners: np.ndarray
    places: Points
    paper: np.ndarray
    contrast: np.ndarray
    ground: np.ndarray

    @property
    def washed(self) -> np.ndarray:  # (N,) bool
        """Tell where print lost its darkness under added light."""
        return np.asarray((self.paper >= self._bright) & (self.contrast < PALE))

    @property
    def shaded(self) -> np.ndarray:  # (N,) bool
        """Tell where paper is dark, beside the page's brightest or at all."""
        return np.asarray(self.paper < self._dark)

    @property
    def _bright(self) -> float:
        return _brighter(float(np.percentile(self.ground, PLAIN)))

    @property
    def _dark(self) -> float:
        return _dark(self.ground)

    def side_washed(self, points: np.ndarray) -> str:
        """Name the side of the page where the light is that washes some points (N,) out."""
        bright = (self.ground >= IN_SPOT * self.paper[points].max()).astype(np.uint8)
        _, spots = cv2.connectedComponents(bright)
        column, row = (NODES * self.places[points]).astype(int).T
        spot = np.isin(spots, np.setdiff1d(spots[row, column], 0))
        lies = self.places[points].mean(axis=0)
        return _side(_middle(spot) if 0 < spot.mean() < MOST_OF_PAGE else lies)

    def side_shaded(self) -> str:
        """Name the side of the page that lies in the shadow."""
        return _side(_middle(self.ground < self._dark))


def lit(levels: Pyramid, sight: Sight, page: Page) -> Lit:
    """Look at the light on every box of a page.

    Parameters
    ----------
    levels : sequence of ndarray
        The picture, its half, quarter and eighth.
    sight : Sight
        The flattened page.
    page : Page
        Where its boxes are.
    """
    size = np.array((page.width, page.height))
    marked = [field for field in page.fields if not isinstance(field, Note)]
    owned = [(field, place) for field in marked for place in _middles(field)]
    places = np.array([place for _, place in owned], np.float64).reshape(-1, 2)
    px = sight.flat.at(places)
    paper = _at(sight.white, px, 8.0)
    shrink = 2.0**LEVEL
    dark = _at(_darkest(levels[LEVEL], sight.flat.px_per_mm / shrink), px, shrink)
    contrast = 1 - dark / np.maximum(paper, 1)
    kinds = np.array([type(field).__name__ for field, _ in owned])
    ground = _over(sight.white, 8.0, sight.flat, page)
    owners = np.array([field.id for field, _ in owned])
    plain = paper >= _dark(ground)  # in the dark grain looks like print
    share = _by_kind(contrast, kinds, plain)
    if len(share):
        share = np.maximum(share, np.median(share[_nearest(places)], axis=1))
    return Lit(owners, places / size, paper, share, ground)


def _brighter(plain: float) -> float:
    """Brightness from which on light is added to paper of this usual brightness."""
    return max(min(BRIGHTER * plain, NEARLY_WHITE), plain + LEAST_ADDED)


def _dark(ground: np.ndarray) -> float:
    """Brightness below which paper lies in a dark shadow."""
    return max(DARKEST_PAPER, SHADED * float(np.percentile(ground, BRIGHTEST)))


def _middles(field: Field) -> Iterator[tuple[float, float]]:
    return ((box.x + box.width / 2, box.y + box.height / 2) for box in boxes_of(field))


def _over(grey: np.ndarray, shrink: float, flat: Flat, page: Page) -> np.ndarray:
    """Brightness of a picture on a grid over the page (NODES, NODES)."""
    along = (np.arange(NODES) + 0.5) / NODES
    nodes = np.stack(np.meshgrid(along * page.width, along * page.height), axis=2)
    return _at(grey, flat.at(nodes.reshape(-1, 2)), shrink).reshape(NODES, NODES)


def _darkest(grey: np.ndarray, px_per_mm: float) -> np.ndarray:
    """Darkest brightness within reach of each pixel (H, W)."""
    side = 2 * max(1, round(REACH_MM * px_per_mm)) + 1
    return np.asarray(cv2.erode(grey, cv2.getStructuringElement(cv2.MORPH_RECT, (side, side))))


def _at(grey: np.ndarray, px: Points, shrink: float) -> np.ndarray:  # (N,)
    places = ((px + 0.5) / shrink - 0.5)[None]
    return np.asarray(sampled(grey, places)[0], np.float64) if len(px) else np.zeros(0)


def _nearest(places: Points) -> np.ndarray:  # (N, K)
    """Numbers of the boxes nearest to each, itself among them: a spot is larger than a box."""
    away = np.linalg.norm(places[:, None] - places, axis=2)
    return np.argpartition(away, min(NEAREST, len(away) - 1), axis=1)[:, :NEAREST]


def _by_kind(contrast: np.ndarray, kinds: np.ndarray, plain: np.ndarray) -> np.ndarray:
    """Contrast as a share of what is usual for its kind of field, where light is plain."""
    share = np.ones_like(contrast)
    for kind in np.unique(kinds):
        mine = kinds == kind
        of = next((one for one in (mine & plain, plain) if one.sum() >= FEW), mine)
        share[mine] = contrast[mine] / max(float(np.percentile(contrast[of], USUAL)), 0.05)
    return share


def _middle(spot: np.ndarray) -> Points:
    """Middle of what is marked on a grid over the page (H, W), as a share of its sides; (2,)."""
    rows, columns = np.nonzero(spot)
    return np.array((columns.mean() + 0.5, rows.mean() + 0.5)) / spot.shape[::-1]


def _side(at: Points) -> str:
    column, row = np.clip((3 * at).astype(int), 0, 2)
    return SIDES[row][column]


def notes_burnt(sight: Sight, page: Page, readings: Mapping[str, Reading]) -> dict[str, Reading]:
    """Doubt that notes are empty upon which light lies: nothing is printed there to show it."""
    empty = [
        note
        for note in page.fields
        if isinstance(note, Note) and readings[note.id].status is Status.EMPTY
    ]
    if not empty:
        return {}
    ground = _over(sight.white, 8.0, sight.flat, page)
    if float(np.median(ground)) > UNBURNT:
        return {}
    size = np.array((page.width, page.height)) / NODES
    return {
        note.id: replace(readings[note.id], status=Status.DOUBTFUL, confidence=0.6, why=Why.HIDDEN)
        for note in empty
        if _within(ground >= BURNT, note.box, size) > MOST_BURNT
    }


def _within(spot: np.ndarray, box: Box, size: Points) -> float:
    """Share of a box that a spot on the page's grid covers; ``size`` is a cell's. [mm]."""
    left, top = (np.array((box.x, box.y)) / size).astype(int)
    right, bottom = np.ceil(np.array((box.x + box.width, box.y + box.height)) / size).astype(int)
    return float(spot[top:bottom, left:right].mean())


def lights(light: Lit, page: Page, unread: Mapping[str, str]) -> Iterator[Glare | Shadow]:
    """Say which light keeps fields of a page from being read.

    Parameters
    ----------
    light : Lit
        The light on its boxes.
    page : Page
        The page.
    unread : mapping of str to str
        Names of the fields that wait, and their labels.
    """
    mine = np.isin(light.owners, list(unread))
    washed, shaded = light.washed & mine, light.shaded & mine
    if washed.any() and light.contrast[washed].min() < WASHED:
        yield Glare(page.page, light.side_washed(washed), _labels(light, washed, unread))
    if shaded.any():
        yield Shadow(page.page, light.side_shaded(), _labels(light, shaded, unread))


def code_washed(levels: Pyramid, flat: Flat, page: Page) -> Glare | None:
    """Say whether light lies on a page's code, of whose modules half are black."""
    box, shrink = page.code.box, 2.0**LEVEL
    along = (np.arange(CODE_NODES) + 0.5) / CODE_NODES
    nodes = np.stack(np.meshgrid(box.x + box.width * along, box.y + box.height * along), axis=2)
    px = flat.at(nodes.reshape(-1, 2))
    reach = max(1, round(MODULES_MM * _px_per_mm(flat, box) / shrink))
    brush = cv2.getStructuringElement(cv2.MORPH_RECT, (2 * reach + 1, 2 * reach + 1))
    dark = _at(np.asarray(cv2.erode(levels[LEVEL], brush)), px, shrink)
    paper = _at(np.asarray(cv2.dilate(levels[LEVEL], brush)), px, shrink)
    bright = _brighter(float(np.percentile(_over(levels[3], 8.0, flat, page), PLAIN)))
    washed = (paper >= bright) & (1 - dark / np.maximum(paper, 1) < CODE_PALE)
    if washed.mean() < CODE_WASHED:
        return None
    at = np.array((box.x + box.width / 2, box.y + box.height / 2)) / (page.width, page.height)
    return Glare(page.page, _side(at), {"code": "its QR code"})


def _px_per_mm(flat: Flat, box: Box) -> float:
    across = flat.px((box.x + box.width, box.y)) - flat.px((box.x, box.y))
    return float(np.linalg.norm(across)) / box.width


def _labels(light: Lit, points: np.ndarray, unread: Mapping[str, str]) -> dict[str, str]:
    taken = set(light.owners[points].tolist())
    return {name: label for name, label in unread.items() if name in taken}

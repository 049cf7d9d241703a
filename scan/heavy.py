"""What heavy outlines blur into their boxes, taken off: it is print, and no mark."""

from collections.abc import Sequence

import numpy as np

from forms.field import Box
from scan.arrays import Floats, percentile
from scan.boxes import EDGE_MM, Cuts, nearest, outlines
from scan.ink import PX_PER_MM, grown

HEAVY = 2.0  # times thin outlines
FEW = 3  # of them to tell by
LIKE = 8  # heavy boxes close by, from which a box's blur is told: focus changes over a page
QUIET = 25  # percentile of them and of the places along a side: a pen is at fewer
DEEP_MM = 0.9  # as far as blur reaches in, beyond the outline's own half width
MOST_BLUR = 0.35  # of its outline's darkness; what is darker is ink


def take_blur_off(cuts: Cuts, boxes: Sequence[Box], usual: float) -> None:
    """Take what heavy outlines blur into their boxes off these cuts themselves.

    Along a side, blur is the same everywhere and in all boxes close by, and gone in the middle. A
    pen is at no place in most of them.

    Parameters
    ----------
    cuts : Cuts
        Boxes of one size.
    boxes : sequence of Box
        Where they stand. [mm]
    usual : float
        Darkness of thin outlines.
    """
    dark = np.median(outlines(cuts), axis=1)
    heavy = np.flatnonzero(dark > HEAVY * usual)
    if len(heavy) < FEW:
        return
    near = nearest([boxes[at] for at in heavy.tolist()], LIKE)
    most = MOST_BLUR * dark[heavy]
    frame = grown(Box(0, 0, cuts.width, cuts.height), -EDGE_MM)
    for inside in (cuts.window(cuts.ink, frame), cuts.window(cuts.soft, frame)):  # views
        around = inside[heavy][near]  # (N, K, H, W)
        across, down = _blur(around, (1, 2)), _blur(around, (1, 3))
        blur = np.minimum(across[:, None, :] + down[:, :, None], most[:, None, None])
        inside[heavy] = np.maximum(inside[heavy] - blur, 0)


def _blur(around: Floats, along: tuple[int, int]) -> Floats:
    """Darkness (N, L) that is the same along two sides, and more than in the middle."""
    places = np.moveaxis(around, along, (2, 3))  # what is across a side is last
    profile = percentile(places.reshape(*places.shape[:2], -1), QUIET)
    profile = np.maximum(profile - np.median(profile, axis=1, keepdims=True), 0)
    deep = round(DEEP_MM * PX_PER_MM)
    profile[:, deep:-deep] = 0
    return np.asarray(profile)

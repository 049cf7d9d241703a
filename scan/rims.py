"""What ink lies beside each printed box of a page: a pen's, a text's or a rule's."""

import numpy as np

from forms.field import Box
from scan.arrays import Floats, percentile
from scan.boxes import MARGIN_MM, Cuts

NOISE = 0.06  # darkness below this is no ink beside a box
RIM_MM = 0.45  # outside an outline its own blur ends
ROW_RIM_MM = 1.15  # as far as that a row of boxes has white around it
LONE_RIM_MM = 0.9  # and a lone box
TEXT_RIM_MM = 0.75  # as far as that from a lone box its text begins
RULE = 0.3  # darkness of a printed rule at its palest
SKIPPED = 20  # percentage of it that a printer may leave out
ENDS = 8  # an eighth of it at both ends is whole
OVERHANG_MM = 0.3  # rims reach beyond their side's ends


def rims(cuts: Cuts, reach: float, noise: float | np.ndarray = NOISE) -> np.ndarray:  # (N, 4)
    """Mean ink darker than ``noise``, or (N,), beside each box, up to ``reach`` outside it. [mm].

    Left, right, above, below.
    """
    width, height, near, wide = cuts.width, cuts.height, RIM_MM, reach - RIM_MM
    tall, long = height + 2 * OVERHANG_MM, width + 2 * OVERHANG_MM
    strips = (
        Box(-reach, -OVERHANG_MM, wide, tall),
        Box(width + near, -OVERHANG_MM, wide, tall),
        Box(-OVERHANG_MM, -reach, long, wide),
        Box(-OVERHANG_MM, height + near, long, wide),
    )
    least = np.reshape(noise, (-1, 1, 1))
    ink = [np.clip(cuts.window(cuts.soft, strip) - least, 0, 1) for strip in strips]
    return np.stack([part.mean(axis=(1, 2)) for part in ink], axis=1)


def ruled(cuts: Cuts) -> np.ndarray:  # (N, 4) bool
    """Tell beside which sides of each box a straight line runs on beyond it on both ends.

    Printers rule lines between blocks; what a pen means for one box ends at it.
    """
    beyond = MARGIN_MM - RIM_MM
    long, tall = (side + 2 * MARGIN_MM for side in (cuts.width, cuts.height))
    upright = [Box(x, -MARGIN_MM, beyond, tall) for x in (-MARGIN_MM, cuts.width + RIM_MM)]
    level = [Box(-MARGIN_MM, y, long, beyond) for y in (-MARGIN_MM, cuts.height + RIM_MM)]
    found = [_holds_a_rule(cuts.window(cuts.soft, strip), 1) for strip in upright]
    found += [_holds_a_rule(cuts.window(cuts.soft, strip), 2) for strip in level]
    return np.stack(found, axis=1)


def _holds_a_rule(strips: Floats, along: int) -> np.ndarray:  # (N,) bool
    """Tell in which strips (N, H, W) one line is dark from end to end, but for a printer's skip."""
    lines = np.moveaxis(strips, along, -1)
    end = lines.shape[-1] // ENDS
    ends = np.minimum(lines[..., :end].min(axis=-1), lines[..., -end:].min(axis=-1))
    return np.asarray(np.minimum(percentile(lines, SKIPPED), ends).max(axis=1) > RULE)

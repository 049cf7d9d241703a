from dataclasses import replace

import numpy as np
import pytest

from passport.booth.desk import bare_desk, desk_under
from passport.booth.grades import GOOD
from passport.booth.projection import projection_of
from passport.booth.shot import Shot, view_of

SIZE = (801, 603)  # not a multiple of anything


@pytest.mark.parametrize("seed", range(10))
def test_desk_is_dark_and_as_large_as_the_picture(seed):
    desk = bare_desk(SIZE, np.random.default_rng(seed))

    assert (desk.shape, desk.mean() < 110) == ((603, 801, 3), True)


def test_desk_is_darker_beside_the_sheet():
    view = view_of(Shot(GOOD, 1, size=SIZE, turn_deg=0), (210.0, 297.0))
    projection = projection_of(replace(view, fill=0.7, tilt_deg=0, offset=(0, 0)))
    below = projection.to_photo(np.array([(105.0, 300.0)]))[0].round().astype(int)
    plain = bare_desk(projection.size, np.random.default_rng(1)).astype(float)

    shaded = desk_under(projection, np.random.default_rng(1)).astype(float)

    spot = slice(below[1] - 2, below[1] + 3), slice(below[0] - 20, below[0] + 20)
    assert shaded[spot].mean() < 0.9 * plain[spot].mean()
    assert shaded[:20, :20].mean() == pytest.approx(plain[:20, :20].mean(), rel=0.02)

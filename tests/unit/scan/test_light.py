"""What is said of glare, shadow, movement and edges cut off, with plain drawings of each."""

import cv2
import numpy as np
import pytest

from forms.field import boxes_of
from scan.fiducials import pyramid
from scan.read import read_photo
from scan.reading import Status, Why
from scan.sharpness import sharpness, shows_print

PX = 8  # pixels a millimetre, as printed
GAMMA = 2.2


@pytest.fixture
def photo(printed):
    """Lay a sheet on a dark table, in light that leaves room for more."""
    lit = (printed * 0.85).astype(np.uint8)
    return cv2.copyMakeBorder(lit, 80, 80, 80, 80, cv2.BORDER_CONSTANT, value=60)


def under_a_lamp(photo, x_mm, y_mm, radius_mm=22.0):
    ys, xs = np.ogrid[: photo.shape[0], : photo.shape[1]]
    away = np.hypot(xs - 80 - x_mm * PX, ys - 80 - y_mm * PX) / (radius_mm * PX)
    light = (photo / 255.0) ** GAMMA + np.exp(-(away**4))
    return (255 * np.clip(light, 0, 1) ** (1 / GAMMA)).astype(np.uint8)


def middle(layout, name):
    field = next(field for field in layout.pages[0].fields if field.id == name)
    boxes = np.array(boxes_of(field))
    return (boxes[:, :2] + boxes[:, 2:] / 2).mean(axis=0)


def test_glare_is_named_with_its_side_and_the_fields_that_it_takes(photo, layout, layout_of, save):
    x, y = middle(layout, "count.4")

    found = read_photo(save(under_a_lamp(photo, 60, y)), layout_of)

    (problem,) = found.problems
    assert problem.code == "glare"
    assert "shines on the left side of page 1 and hides count." in problem.message
    assert {"count.3", "count.4", "count.5"} >= set(problem.fields) >= {"count.4"}
    assert x < 100


def test_a_note_in_glare_is_not_called_empty(photo, layout, layout_of, save):
    found = read_photo(save(under_a_lamp(photo, *middle(layout, "note"), 40.0)), layout_of)

    note = found.pages[0].fields["note"]
    assert (note.status, note.why) == (Status.DOUBTFUL, Why.HIDDEN)


def test_a_lamp_on_blank_paper_takes_nothing(photo, layout_of, save):
    assert read_photo(save(under_a_lamp(photo, 190, 260, 10.0)), layout_of).problems == ()


def test_light_on_the_code_is_named(photo, layout, layout_of, save):
    x, y, width, height = layout.pages[0].code.box

    found = read_photo(save(under_a_lamp(photo, x + width / 2, y + height / 2, 18.0)), layout_of)

    assert [one.message for one in found.problems] == [
        "A lamp or window shines on the upper left of page 1 and hides its QR code. Turn the sheet "
        "or step aside until no bright spot is left on it, then photograph it again."
    ]


def test_a_dark_shadow_is_named_with_its_side(photo, draw, layout, layout_of, save):
    """A hundredth of the light (0.12 to the power of 2.2), and the camera's own grain."""
    shade = np.where(np.arange(photo.shape[1]) < photo.shape[1] * 0.45, 0.12, 1.0)
    grain = np.random.default_rng(1).normal(0, 6, photo.shape)
    dark = np.clip(photo * shade + grain, 0, 255).astype(np.uint8)

    found = read_photo(save(dark), layout_of)

    assert [one.code for one in found.problems] == ["shadow"]
    assert "lies on the left side of page 1" in found.problems[0].message


@pytest.mark.parametrize("edge", ["right edge", "lower edge"])
def test_an_edge_that_is_cut_off_is_named_with_the_fields_that_it_takes(
    photo, layout, layout_of, save, edge
):
    x, y = (round(80 + at * PX) for at in middle(layout, "note"))
    kept = photo[:, :x] if edge == "right edge" else photo[:y]

    found = read_photo(save(kept), layout_of)

    (problem,) = found.problems
    assert (problem.code, problem.message.split(" of page")[0], "note" in problem.fields) == (
        "edge missing",
        f"The picture ends before the {edge}",
        True,
    )


def moved(photo, way):
    path = np.zeros((31, 31), np.float32)
    ends = {"left and right": ((0, 15), (30, 15)), "up and down": ((15, 0), (15, 30)),
            "aslant": ((0, 0), (30, 30))}[way]  # fmt: skip
    cv2.line(path, *ends, 1.0)
    return cv2.filter2D(photo, -1, path / path.sum())


@pytest.mark.parametrize("way", ["left and right", "up and down", "aslant"])
def test_the_way_a_camera_moved_is_named(photo, layout_of, save, way):
    found = read_photo(save(moved(photo, way)), layout_of)

    assert [one.code for one in found.problems] == ["moved"]
    assert f"The camera moved {way} while" in found.problems[0].message


def test_a_sharp_picture_has_no_fault(photo):
    assert sharpness(photo).fault(10.0) is None


def test_blank_paper_shows_no_print_and_a_blurred_page_does(photo):
    blank = np.full_like(photo, 60)
    blank[80:-80, 80:-80] = 210

    assert not shows_print(pyramid(blank)[3])
    assert shows_print(pyramid(cv2.GaussianBlur(photo, (0, 0), 10))[3])

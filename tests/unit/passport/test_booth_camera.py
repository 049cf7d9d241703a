from dataclasses import fields, replace

import cv2
import numpy as np
import pytest

from passport.booth.camera import empty_desk, expose, geometry, page_size, photograph, take
from passport.booth.errors import WrongMachine
from passport.booth.grades import BAD, CROPPED, FLAT_SCAN, GOOD, GRADES, ORDINARY, PhoneGrade, Span
from passport.booth.paper import Sheet
from passport.booth.projection import projection_of
from passport.booth.shot import Light, Shot, pass_of, view_of

LETTER = (215.9, 279.4)
DPI = 150
SMALL = (1600, 1200)
PHONE_GRADES = (GOOD, ORDINARY, BAD)
EVEN = Light(0, 0, 0, 0, 0, 1, exposure=0.9, tint=(1, 1, 1))
DOTS = np.array([(x, y) for x in (20, 75, 140, 196) for y in (20, 80, 150, 205, 260)], float)


def paper(shade=255):
    height, width = (round(side * DPI / 25.4) for side in LETTER[::-1])
    return np.full((height, width), shade, np.uint8)


def dotted():
    """Paper with dots of 3 mm."""
    page = paper()
    for x, y in DOTS * DPI / 25.4 - 0.5:
        centre = round(x * 16), round(y * 16)
        cv2.circle(page, centre, round(1.5 * DPI / 25.4 * 16), 0, cv2.FILLED, cv2.LINE_AA, 4)
    return page


def decoded(data):
    return cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE)


def found(picture, near, half):
    """Locate the dot within so many pixels of a place."""
    left, top = (round(v) - half for v in near)
    part = picture[top : top + 2 * half + 1, left : left + 2 * half + 1].astype(float)
    dark = np.clip((np.median(part) + part.min()) / 2 - part, 0, None)
    y, x = np.mgrid[: part.shape[0], : part.shape[1]]
    return np.array([(dark * x).sum(), (dark * y).sum()]) / dark.sum() + (left, top)


@pytest.mark.parametrize("grade", [*PHONE_GRADES, FLAT_SCAN], ids=lambda grade: grade.name)
def test_every_dot_is_where_the_geometry_says(grade):
    for seed in range(4):
        shot = Shot(grade, seed, size=SMALL, dpi=DPI)
        page = dotted()
        way = geometry(shot, page_size(page, shot))
        true, beside = way.to_photo(DOTS), way.to_photo(DOTS + np.array([2.5, 0]))
        halves = np.hypot(*(beside - true).T).astype(int)
        picture = decoded(photograph(page, shot))

        missed = [
            np.hypot(*(found(picture, at, half) - at))
            for at, half in zip(true, halves, strict=True)
        ]

        assert max(missed) < 1.0
        assert np.mean(missed) < 0.4


@pytest.mark.parametrize("grade", [*PHONE_GRADES, FLAT_SCAN], ids=lambda grade: grade.name)
def test_way_to_the_photo_and_back_ends_where_it_began(grade):
    true = geometry(Shot(grade, 3), LETTER)

    assert np.allclose(true.to_page(true.to_photo(DOTS)), DOTS, atol=1e-6)


def test_flat_sheet_projects_as_opencv_projects_it():
    """Against cv2.projectPoints, an independent pinhole camera with radial distortion."""
    view = replace(view_of(Shot(BAD, 5), LETTER), sheet=Sheet(*LETTER))
    ours = projection_of(view)
    width, height = view.size
    focal = 0.77 * max(view.size)
    middle = (width - 1) / 2, (height - 1) / 2
    matrix = np.array([[focal, 0, middle[0]], [0, focal, middle[1]], [0, 0, 1]])
    space = np.column_stack([DOTS - np.array(LETTER) / 2, np.zeros(len(DOTS))])
    k1 = ours.lens * focal**2 / (np.hypot(width, height) / 2) ** 2
    # the shift is a shift of what is seen, so it goes in before the distortion
    seen = space @ ours.axes.T + (0, 0, ours.distance)
    rays = seen[:, :2] / seen[:, 2:] + np.array(ours.shift) / focal
    theirs, _ = cv2.projectPoints(
        np.column_stack([rays, np.ones(len(rays))]), np.zeros(3), np.zeros(3), matrix, (k1, 0, 0, 0)
    )

    assert np.allclose(ours.to_photo(DOTS), theirs[:, 0], atol=1e-6)


def test_tilted_flat_sheet_is_a_homography():
    view = replace(view_of(Shot(ORDINARY, 5), LETTER), sheet=Sheet(*LETTER), lens=0)
    seen = projection_of(view).to_photo(DOTS)

    model, _ = cv2.findHomography(DOTS, seen)

    fitted = cv2.perspectiveTransform(DOTS[:, None], model)[:, 0]
    assert np.abs(fitted - seen).max() < 0.01


def test_curled_sheet_is_no_homography():
    view = replace(view_of(Shot(ORDINARY, 5), LETTER), sheet=Sheet(*LETTER, curl_mm=6))
    seen = projection_of(view).to_photo(DOTS)

    model, _ = cv2.findHomography(DOTS, seen)

    fitted = cv2.perspectiveTransform(DOTS[:, None], model)[:, 0]
    assert np.abs(fitted - seen).max() > 3


@pytest.mark.parametrize("grade", PHONE_GRADES, ids=lambda grade: grade.name)
def test_numbers_of_a_shot_lie_within_its_grade(grade):
    for seed in range(50):
        view = view_of(Shot(grade, seed), LETTER)
        off = (view.turn_deg + 45) % 90 - 45
        drawn = {
            "tilt_deg": view.tilt_deg,
            "turn_deg": off,
            "curl_mm": abs(view.sheet.curl_mm),
            "fill": view.fill,
            "shadow": view.light.shadow,
            "gradient": view.light.gradient,
            "blur_px": view.blur_px,
            "motion_px": view.motion_px,
            "noise": view.noise,
            "lens": view.lens,
            "quality": view.quality,
            "folds": len(view.sheet.folds),
            "exposure": view.light.exposure,
        }

        outside = [
            name
            for name, value in drawn.items()
            if not getattr(grade, name).low - 1e-9 <= value <= getattr(grade, name).high + 1e-9
        ]
        assert (outside, len(drawn)) == ([], len(fields(PhoneGrade)) - 1)


def test_grades_get_worse_in_every_respect():
    worse = ("tilt_deg", "curl_mm", "shadow", "gradient", "blur_px", "motion_px", "noise")

    steps = [[getattr(grade, name).high for grade in PHONE_GRADES] for name in worse]

    assert steps == [sorted(step) for step in steps]


def test_grades_carry_the_figures_of_the_brief():
    assert (
        [ORDINARY.tilt_deg.high, ORDINARY.curl_mm.high, ORDINARY.shadow.high],
        [ORDINARY.blur_px, ORDINARY.motion_px.high, ORDINARY.fill],
        [BAD.tilt_deg.high, BAD.curl_mm.high, BAD.shadow.high],
        [BAD.blur_px, BAD.motion_px.high, BAD.fill],
    ) == (
        [18, 6, 0.5],
        [(0.8, 1.6), 2, (0.75, 0.92)],
        [30, 14, 0.7],
        [(1.4, 2.6), 5, (0.60, 0.85)],
    )


@pytest.mark.parametrize("grade", PHONE_GRADES, ids=lambda grade: grade.name)
def test_sheet_fills_the_picture_as_far_as_drawn_and_lies_inside(grade):
    for seed in range(20):
        view = view_of(Shot(grade, seed), LETTER)
        seen = projection_of(view).to_photo(view.sheet.outline)

        assert (np.ptp(seen, axis=0) / view.size).max() == pytest.approx(view.fill, abs=0.02)
        assert np.all((seen > 0) & (seen < view.size))


def test_cropped_sheet_reaches_beyond_the_picture():
    view = view_of(Shot(CROPPED, 1), LETTER)
    seen = projection_of(view).to_photo(view.sheet.outline)

    assert np.any((seen < 0) | (seen > view.size))


def test_tilt_is_the_angle_between_axis_and_upright():
    view = view_of(Shot(BAD, 8), LETTER)

    axis = projection_of(view).axes @ (0, 0, 1)

    assert np.degrees(np.arccos(axis[2])) == pytest.approx(view.tilt_deg)


def test_page_lies_in_all_four_quarters():
    quarters = {round(view_of(Shot(GOOD, seed), LETTER).turn_deg / 90) % 4 for seed in range(30)}

    assert quarters == {0, 1, 2, 3}


@pytest.mark.parametrize(
    ("turn", "corner"), [(0, (0, 0)), (90, (1, 0)), (180, (1, 1)), (270, (0, 1))]
)
def test_page_turns_clockwise(turn, corner):
    view = replace(view_of(Shot(GOOD, 1, turn_deg=turn), LETTER), tilt_deg=0)
    seen = projection_of(view).to_photo(np.array([(0, 0), LETTER]))

    assert tuple((seen[0] > seen[1]).astype(int)) == corner


def test_same_shot_gives_the_same_bytes():
    shot = Shot(ORDINARY, 7, size=SMALL, dpi=DPI)

    assert photograph(dotted(), shot) == photograph(dotted(), shot)


def test_another_seed_gives_another_photo():
    one, other = (photograph(dotted(), Shot(ORDINARY, s, size=SMALL, dpi=DPI)) for s in (1, 2))

    assert one != other


def test_photo_has_twelve_megapixels():
    picture, _ = take(paper(), Shot(GOOD, 1, dpi=DPI))

    assert sorted(picture.shape) == [3, 3024, 4032]


def even_view(**changes):
    """Straight from above, in even light, sharp and without noise."""
    calm = {"sheet": Sheet(*LETTER), "tilt_deg": 0, "turn_deg": 0, "lens": 0, "light": EVEN}
    still = {"blur_px": 0.1, "motion_px": 0, "noise": 0, "offset": (0, 0), "size": (900, 1200)}
    return replace(view_of(Shot(GOOD, 1), LETTER), **(calm | still | changes))


def exposed(page, **changes):
    shot = Shot(GOOD, 1, dpi=DPI)
    return expose(page, shot, even_view(**changes))[:, :, 1].astype(float)


def test_noise_is_as_strong_as_drawn():
    patch = exposed(paper(128), noise=6.0)[500:700, 350:550]

    assert patch.std() == pytest.approx(6, rel=0.1)


def test_blur_is_as_wide_as_drawn():
    page = paper()
    page[:, page.shape[1] // 2 :] = 0
    twelve = np.sqrt(4032 * 3024 / (900 * 1200))  # lengths are told for 12 megapixels
    profiles = [exposed(page, blur_px=blur * twelve)[600] for blur in (1.0, 3.0)]
    widths = []
    for profile in profiles:
        edge = -np.diff(profile)[400:500]
        at = np.arange(100)
        middle = (edge * at).sum() / edge.sum()
        widths.append((edge * (at - middle) ** 2).sum() / edge.sum())

    assert np.sqrt(widths[1] - widths[0]) == pytest.approx(np.sqrt(9 - 1), rel=0.05)


def test_motion_smears_along_its_direction_only():
    page = dotted()
    along, across = (exposed(page, motion_px=40, motion_deg=degrees) for degrees in (0, 90))
    at = geometry_of_even().to_photo(DOTS[7:8])[0].round().astype(int)
    row = [picture[at[1], at[0] - 30 : at[0] + 31] for picture in (along, across)]

    assert (row[0] < 200).sum() > (row[1] < 200).sum() + 6


def geometry_of_even():
    return projection_of(even_view())


def test_shadow_takes_the_light_it_says():
    dark = Light(0, 0, 0.6, 0, 0.0, 0.02, exposure=0.9, tint=(1, 1, 1))
    lit, shaded = (exposed(paper(), light=light)[600, 600] for light in (EVEN, dark))

    assert shaded / lit == pytest.approx(0.4, abs=0.02)


def test_gradient_is_the_fall_of_the_light_over_the_picture():
    slope = Light(0.4, 90, 0, 0, 0, 1, exposure=0.9, tint=(1, 1, 1))
    even, sloped = (exposed(paper(), light=light)[[150, 1050], 450] for light in (EVEN, slope))

    # an eighth of the way in from either end of the longer side
    ends = sloped / even
    assert ends[1] / ends[0] == pytest.approx((1 - 0.4 * 7 / 8) / (1 - 0.4 / 8), abs=0.01)


def test_camera_exposes_for_a_sheet_that_lies_in_the_shadow():
    """A shadow over nearly all of the picture leaves the paper as bright as in even light."""
    shade = Light(0, 0, 0.7, 0, -0.9, 0.02, exposure=0.9, tint=(1, 1, 1))
    even, shaded = (exposed(paper(), light=light)[600, 450] for light in (EVEN, shade))

    assert shaded == pytest.approx(even, rel=0.03)


def test_desk_is_dark_and_plain():
    desk = decoded(empty_desk(Shot(GOOD, 3, size=SMALL)))

    assert desk.mean() < 90
    assert desk.std() < 20


def test_too_dark_photo_can_be_ordered():
    night = replace(GOOD, exposure=Span(0.1, 0.1))
    dark, usual = (
        decoded(photograph(paper(), Shot(grade, 1, size=SMALL, dpi=DPI))) for grade in (night, GOOD)
    )

    assert np.percentile(dark, 95) < 0.2 * np.percentile(usual, 95)


def test_every_grade_is_found_by_its_name():
    assert list(GRADES) == ["flat_scan", "good", "ordinary", "bad", "cropped"]


def test_colour_of_the_ink_survives_the_photo():
    blue = cv2.cvtColor(paper(), cv2.COLOR_GRAY2BGR)
    blue[:] = (150, 60, 40)

    picture, _ = take(blue, Shot(GOOD, 1, size=SMALL, dpi=DPI))

    middle = picture[500:700, 400:600].reshape(-1, 3).mean(axis=0)
    assert middle[0] > 2 * middle[2]


def test_phone_picture_asked_of_a_scanner_is_refused():
    with pytest.raises(WrongMachine) as caught:
        view_of(Shot(FLAT_SCAN, 1), LETTER)

    assert (
        str(caught.value) == "The grade flat_scan is not a phone's. Use a grade made for a phone."
    )


def test_scan_asked_of_a_phone_is_refused():
    with pytest.raises(WrongMachine) as caught:
        pass_of(Shot(GOOD, 1))

    assert str(caught.value) == "The grade good is not a scanner's. Use a grade made for a scanner."


def test_scanner_numbers_are_drawn_for_a_scanner_grade():
    assert 200 <= pass_of(Shot(FLAT_SCAN, 1)).dpi <= 300

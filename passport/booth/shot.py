"""One picture that was taken: the numbers drawn for it from its grade."""

from dataclasses import dataclass

import numpy as np

from passport.booth.errors import WrongMachine
from passport.booth.grades import ORDINARY, Grade, PhoneGrade, ScannerGrade, Span
from passport.booth.paper import Fold, Sheet
from passport.booth.printer import DPI
from passport.booth.troubles import NONE, Troubles

TWELVE_MEGAPIXELS = (4032, 3024)  # longer and shorter side of a usual phone picture [px]


@dataclass(frozen=True)
class Shot:
    """How a page is to be taken.

    Attributes
    ----------
    grade : PhoneGrade or ScannerGrade
        How well.
    seed : int
        Which of all such pictures.
    size : tuple of int
        Longer and shorter side of a phone's picture; a scanner goes by its resolution. [px]
    turn_deg : float, optional
        Which way the page lies, clockwise; drawn when left out. [degrees]
    dpi : float
        Resolution of the page's own picture. [dots/in]
    troubles : Troubles
        What a phone and a tired sheet add.
    """

    grade: Grade = ORDINARY
    seed: int = 0
    size: tuple[int, int] = TWELVE_MEGAPIXELS
    turn_deg: float | None = None
    dpi: float = DPI
    troubles: Troubles = NONE


@dataclass(frozen=True)
class Light:
    """How the light falls on the picture.

    Directions are clockwise from the picture's x axis; ``shadow_at`` is where the shadow's edge
    crosses that direction, -1 to 1 over the picture; ``soft`` is the width of the edge in the
    same measure; ``tint`` the colour of the light: blue, green, red.
    """

    gradient: float
    gradient_deg: float
    shadow: float
    shadow_deg: float
    shadow_at: float
    soft: float
    exposure: float
    tint: tuple[float, float, float]


@dataclass(frozen=True)
class View:
    """Everything that was drawn for one phone picture; units as in ``PhoneGrade``.

    ``lean_deg`` is the direction the camera is tilted to, ``offset`` where the sheet lies within
    the room that ``fill`` leaves, -1 to 1 each way.
    """

    size: tuple[int, int]
    sheet: Sheet
    tilt_deg: float
    lean_deg: float
    turn_deg: float
    fill: float
    offset: tuple[float, float]
    lens: float
    light: Light
    blur_px: float
    motion_px: float
    motion_deg: float
    noise: float
    quality: int


@dataclass(frozen=True)
class Pass:
    """Everything that was drawn for one run through a scanner; units as in ``ScannerGrade``.

    ``seed`` decides where the dust lies.
    """

    seed: int
    dpi: float
    skew_deg: float
    turn_deg: float
    shift_mm: tuple[float, float]
    stretch: float
    blur_px: float
    noise: float
    specks: float
    quality: int


def view_of(shot: Shot, page_mm: tuple[float, float]) -> View:
    """Draw the numbers of a phone picture.

    Parameters
    ----------
    page_mm : tuple of float
        Width and height of the sheet. [mm]

    Raises
    ------
    WrongMachine
        The shot's grade is a scanner's.
    """
    grade = shot.grade
    if not isinstance(grade, PhoneGrade):
        raise WrongMachine(grade.name, "phone")
    rng = np.random.default_rng([shot.seed, 41])
    quarter, size = _lying(shot, page_mm, rng)
    off = _drawn(grade.turn_deg, rng)
    return View(
        size=size,
        sheet=_sheet(grade, page_mm, rng),
        tilt_deg=_drawn(grade.tilt_deg, rng),
        lean_deg=rng.uniform(0, 360),
        turn_deg=quarter + off if shot.turn_deg is None else shot.turn_deg,
        fill=_drawn(grade.fill, rng),
        offset=(rng.uniform(-0.8, 0.8), rng.uniform(-0.8, 0.8)),
        lens=_drawn(grade.lens, rng),
        light=_light(grade, rng),
        blur_px=_drawn(grade.blur_px, rng),
        motion_px=_drawn(grade.motion_px, rng),
        motion_deg=rng.uniform(0, 180),
        noise=_drawn(grade.noise, rng),
        quality=round(_drawn(grade.quality, rng)),
    )


def pass_of(shot: Shot) -> Pass:
    """Draw the numbers of one run through a scanner.

    Raises
    ------
    WrongMachine
        The shot's grade is a phone's.
    """
    grade = shot.grade
    if not isinstance(grade, ScannerGrade):
        raise WrongMachine(grade.name, "scanner")
    rng = np.random.default_rng([shot.seed, 42])
    upside_down = 180.0 * int(rng.integers(2))
    return Pass(
        seed=shot.seed,
        dpi=float(round(_drawn(grade.dpi, rng) / 50) * 50),  # scanners offer steps
        skew_deg=_drawn(grade.skew_deg, rng),
        turn_deg=upside_down if shot.turn_deg is None else shot.turn_deg,
        shift_mm=(_drawn(grade.shift_mm, rng), _drawn(grade.shift_mm, rng)),
        stretch=_drawn(grade.stretch, rng),
        blur_px=_drawn(grade.blur_px, rng),
        noise=_drawn(grade.noise, rng),
        specks=_drawn(grade.specks, rng),
        quality=round(_drawn(grade.quality, rng)),
    )


def _drawn(span: Span, rng: np.random.Generator) -> float:
    return float(rng.uniform(span.low, span.high))


def _lying(
    shot: Shot, page_mm: tuple[float, float], rng: np.random.Generator
) -> tuple[float, tuple[int, int]]:
    """Quarter turn of the page, and the picture's width and height: long side along long side."""
    quarter = 90.0 * int(rng.integers(4))
    turn = quarter if shot.turn_deg is None else shot.turn_deg
    sideways = abs(np.sin(np.radians(turn))) > np.sqrt(0.5)
    upright = (page_mm[1] >= page_mm[0]) != sideways
    long, short = max(shot.size), min(shot.size)
    return quarter, (short, long) if upright else (long, short)


def _sheet(grade: PhoneGrade, page_mm: tuple[float, float], rng: np.random.Generator) -> Sheet:
    along = 90.0 * int(rng.integers(2))
    way = (-1.0, 1.0)[rng.integers(2)]
    count = int(_drawn(grade.folds, rng))
    length = page_mm[round(along / 90)]
    places = (np.arange(1, count + 1) / (count + 1) - 0.5) * length + rng.normal(0, 4, count)
    bends = rng.choice((-1, 1), count) * rng.uniform(1, 4, count)
    folds = tuple(Fold(float(at), float(bend)) for at, bend in zip(places, bends, strict=True))
    curl = way * _drawn(grade.curl_mm, rng)
    return Sheet(*page_mm, curl_mm=curl, bend_deg=along + rng.uniform(-4, 4), folds=folds)


def _light(grade: PhoneGrade, rng: np.random.Generator) -> Light:
    warm = float(rng.normal(0, 0.04))
    return Light(
        gradient=_drawn(grade.gradient, rng),
        gradient_deg=rng.uniform(0, 360),
        shadow=_drawn(grade.shadow, rng),
        shadow_deg=rng.uniform(0, 360),
        shadow_at=rng.uniform(-0.5, 0.6),
        soft=rng.uniform(0.03, 0.25),
        exposure=_drawn(grade.exposure, rng),
        tint=(1 - warm, 1.0, 1 + warm),
    )

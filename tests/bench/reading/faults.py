"""Photos with one fault that the booth applies, and what advice about it would be true."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import cv2
import numpy as np
from reading.press import service_form

from passport.booth.camera import photograph
from passport.booth.grades import CROPPED, GOOD, Grade, Span
from passport.booth.hand import fill
from passport.booth.shot import Shot
from passport.booth.strokes import Picture
from passport.booth.writer import some_hand

Cut = Callable[[np.ndarray], np.ndarray]
SIDES: Mapping[str, Cut] = {
    "left": lambda picture: picture[:, round(0.36 * picture.shape[1]) :],
    "right": lambda picture: picture[:, : round(0.64 * picture.shape[1])],
    "upper": lambda picture: picture[round(0.36 * picture.shape[0]) :],
    "lower": lambda picture: picture[: round(0.64 * picture.shape[0])],
}
EDGES = {4: "upper edge", 5: "right edge", 6: "lower edge", 7: "left edge"}  # numbers of squares


@dataclass(frozen=True)
class Fault:
    """What is done to the photo, and the problems' codes of which one is true of it.

    Of a page that is ``cut`` off, enough may be left to be read; then nothing needs to be said, for
    what is missing is ``outside``.
    """

    grade: Grade
    codes: tuple[str, ...]
    cut: Cut | None = None
    front: bool = True


def _even(**spans: tuple[float, float]) -> Grade:
    """Take a good photo with one thing changed; its light even, its sheet the right way up."""
    return replace(GOOD, **{name: Span(*ends) for name, ends in spans.items()})


FAULTS: Mapping[str, Fault] = {
    "too dark": Fault(_even(exposure=(0.06, 0.14)), ("too dark",)),
    "blurred": Fault(_even(blur_px=(18, 24)), ("blurred",)),
    "too far": Fault(_even(fill=(0.2, 0.27)), ("too small",)),
    "other side": Fault(GOOD, ("not a form",), front=False),
} | {
    f"{side} third cut off": Fault(_even(turn_deg=(0, 0)), ("edge missing",), cut)
    for side, cut in SIDES.items()
}
CUT_OFF = Fault(CROPPED, ())


def photo_of(fault: Fault, seed: int) -> tuple[bytes, str]:
    """Photograph page 2, marked here and there, or the back of it; and name the edge cut off."""
    form = service_form()
    page, answers = form.layout.pages[1], answers_of(seed)
    sheet: Picture = fill(form.pictures[1], page, answers, some_hand(seed))
    if not fault.front:
        sheet = np.full_like(sheet, 255)
    photo = photograph(sheet, Shot(fault.grade, seed))
    if fault.cut is None:
        return photo, ""
    picture = cv2.imdecode(np.frombuffer(photo, np.uint8), cv2.IMREAD_COLOR)
    return cv2.imencode(".jpg", fault.cut(picture))[1].tobytes(), _edge_lost(picture, fault.cut)


def _edge_lost(picture: np.ndarray, cut: Cut) -> str:
    """Name the edge whose middle square a cut takes away, however the page lies in the photo."""
    kept = np.zeros(picture.shape[:2], bool)
    cut(kept)[:] = True
    squares = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50))
    corners, ids, _ = squares.detectMarkers(cv2.resize(picture, None, fx=0.5, fy=0.5))
    middles = [quad.reshape(4, 2).mean(axis=0) * 2 for quad in corners]
    lost = [
        EDGES[int(id_) % 8]
        for id_, (x, y) in zip(np.ravel(ids), middles, strict=True)
        if int(id_) % 8 in EDGES and not kept[int(y), int(x)]
    ]
    return lost[0] if len(lost) == 1 else ""


def answers_of(seed: int) -> dict[str, int | str]:
    """Choose one box of each long row of page 2."""
    rng = np.random.default_rng([seed, 75])
    rows = [row for row in service_form().layout.pages[1].fields if hasattr(row, "options")]
    return {row.id: row.options[rng.integers(len(row.options))].value for row in rows}

"""Photos with one fault, applied by optics, and what advice about it would be true."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial

import cv2
import numpy as np
from reading import optics
from reading.press import service_form

from forms.layout import Page
from passport.booth.camera import photograph
from passport.booth.grades import CROPPED, GOOD, Span
from passport.booth.hand import fill
from passport.booth.shot import Shot
from passport.booth.strokes import Picture
from passport.booth.writer import some_hand

PAGES = (2, 3)  # counts of brackets; ticks, numbers and notes
NOTHING = "nothing"  # is wrong
QUALITY = [cv2.IMWRITE_JPEG_QUALITY, 88]
EDGES = {4: "upper edge", 5: "right edge", 6: "lower edge", 7: "left edge"}  # numbers of squares


@dataclass(frozen=True)
class Fault:
    """What is done to a photo, and what is true of it.

    Attributes
    ----------
    kind : str
        The fault, the same for every side and strength of it.
    words : str
        Its side or direction, and how strong it is.
    codes : tuple of str
        The problems that are true of it.
    side : str
        A word that the advice about it holds.
    shoot : callable
        Gives the photo (bytes) of a page, and the side, where the photo alone shows it.
    always : bool
        Whether it is so strong that something must be said.
    """

    kind: str
    words: str
    codes: tuple[str, ...]
    side: str
    shoot: Callable[[Page, int], Picture]
    always: bool = False


@cache
def plain(page: Page, seed: int, **spans: tuple[float, float]) -> Picture:
    """Photograph a page, marked here and there, well but for what is changed."""
    form = service_form()
    sheet = fill(form.pictures[page.page - 1], page, answers_of(page, seed), some_hand(seed))
    return _shot(sheet, seed, **spans)


def _shot(sheet: Picture, seed: int, **spans: tuple[float, float]) -> Picture:
    grade = replace(GOOD, **{name: Span(*ends) for name, ends in spans.items()})
    photo = photograph(sheet, Shot(grade, seed))
    return np.asarray(cv2.imdecode(np.frombuffer(photo, np.uint8), cv2.IMREAD_COLOR))


def _then(change: Callable[[Picture], Picture]) -> Callable[[Page, int], Picture]:
    return lambda page, seed: change(plain(page, seed))


def _on_sheet(change: Callable[..., Picture], *words: object) -> Callable[[Page, int], Picture]:
    return lambda page, seed: change(plain(page, seed), page, *words)


def _glared(photo: Picture, page: Page, place: str, strength: float) -> Picture:
    return optics.glared(photo, page, place, strength)[0]


def _with(**spans: tuple[float, float]) -> Callable[[Page, int], Picture]:
    return lambda page, seed: plain(page, seed, **spans)


def _back(page: Page, seed: int) -> Picture:
    return _shot(np.full_like(service_form().pictures[0], 255), seed)


def _letter(page: Page, seed: int) -> Picture:
    """Photograph a page of words that is none of ours."""
    sheet = np.full((*service_form().pictures[0].shape[:2], 3), 255, np.uint8)
    words = "the board was waxed and the invoice is still open"
    for row in range(30):
        at = (250, 260 + 90 * row)
        cv2.putText(sheet, words, at, cv2.FONT_HERSHEY_SIMPLEX, 2.2, (40,) * 3, 5, cv2.LINE_AA)
    return _shot(sheet, seed)


def _cut(side: str, share: float) -> Callable[[Page, int], Picture]:
    """Cut a share of the sheet off at one of its edges, however it lies in the photo."""

    def cut(page: Page, seed: int) -> Picture:
        photo = plain(page, seed, turn_deg=(0, 0))
        upright = _upright(photo, page)
        height, width = upright.shape[:2]
        keep = {
            "left": np.s_[:, round(share * width) :],
            "right": np.s_[:, : round((1 - share) * width)],
            "upper": np.s_[round(share * height) :],
            "lower": np.s_[: round((1 - share) * height)],
        }
        return np.ascontiguousarray(upright[keep[side]])

    return cut


def _upright(photo: Picture, page: Page) -> Picture:
    """Turn a photo by quarters until the sheet's upper edge is up."""
    onto = optics.sheet_to_photo(photo, page)
    ends = np.array([[[page.width / 2, 0.0]], [[page.width / 2, page.height]]])
    upper, lower = cv2.perspectiveTransform(ends, onto)[:, 0]
    way = np.arctan2(*(lower - upper)[::-1])  # 90 degrees: down, as it should
    return np.ascontiguousarray(np.rot90(photo, round(way / (np.pi / 2)) - 1))


def _over(
    kind: str, codes: Sequence[str], ways: Mapping[str, Callable[[Page, int], Picture]], **more: str
) -> list[Fault]:
    """One fault in several strengths, the last of which nobody can miss."""
    last = list(ways)[-1]
    return [
        Fault(kind, words, tuple(codes), more.get("side", ""), shoot, words == last)
        for words, shoot in ways.items()
    ]


def faults() -> list[Fault]:
    """Every fault, on every side, in every strength."""
    return [
        *_over(NOTHING, (), {"as it is": _then(np.copy), "upside down": _then(_turned)}),
        *(
            one
            for place in optics.PLACES
            for one in _over(
                "glare",
                ("glare",),
                {f"{place}, {s}": _on_sheet(_glared, place, s) for s in (0.4, 0.7, 1.2)},
                side=place,
            )
        ),
        *(
            one
            for side in optics.HALVES
            for one in _over(
                "shadow",
                ("shadow",),
                {f"{side}, {d}": _on_sheet(optics.shadowed, side, d) for d in (0.9, 0.97, 0.99)},
                side=f"{side} side",
            )
        ),
        *_over(
            "too dark",
            ("too dark",),
            {
                f"{share} of the light": _then(partial(optics.darkened, share=share))
                for share in (0.1, 0.03, 0.01)
            },
        ),
        *_over(
            "blurred",
            ("blurred",),
            {
                f"sigma {px} px": _then(partial(optics.blurred, sigma_px=px))
                for px in (4, 8, 12, 24)
            },
        ),
        *(
            one
            for angle, way in ((0, "left and right"), (90, "up and down"), (45, "aslant"))
            for one in _over(
                "moved",
                ("moved", "blurred"),
                {
                    f"{way}, {px} px": _then(partial(optics.moved, length_px=px, angle_deg=angle))
                    for px in (15, 30, 60, 120)
                },
                side=way,
            )
        ),
        *_over(
            "too far",
            ("too small",),
            {f"{fill} of the picture": _with(fill=(fill, fill)) for fill in (0.4, 0.32, 0.26, 0.2)},
        ),
        *(
            one
            for side in ("left", "right", "upper", "lower")
            for one in _over(
                "cut off",
                ("edge missing",),
                {f"{side}, {share}": _cut(side, share) for share in (0.15, 0.3, 0.45, 0.6)},
                side=f"{side} edge",
            )
        ),
        *_over("not ours", ("not a form",), {"other side": _back, "a letter": _letter}),
        *_over("mirrored", ("mirrored",), {"left for right": _then(_mirrored)}),
        *_over("negative", ("negative",), {"white on black": _then(_negative)}),
    ]  # fmt: skip


def _turned(photo: Picture) -> Picture:
    return np.ascontiguousarray(photo[::-1, ::-1])


def _mirrored(photo: Picture) -> Picture:
    return np.ascontiguousarray(photo[:, ::-1])


def _negative(photo: Picture) -> Picture:
    return 255 - photo


def photo_of(fault: Fault, page: Page, seed: int) -> bytes:
    return cv2.imencode(".jpg", fault.shoot(page, seed), QUALITY)[1].tobytes()


def cropped(page: Page, seed: int) -> bytes:
    """Photograph a page that is larger than the picture."""
    form = service_form()
    sheet = fill(form.pictures[page.page - 1], page, answers_of(page, seed), some_hand(seed))
    return photograph(sheet, Shot(CROPPED, seed))


def answers_of(page: Page, seed: int) -> dict[str, int | str]:
    """Choose one box of each long row of a page."""
    rng = np.random.default_rng([seed, 75])
    rows = [row for row in page.fields if hasattr(row, "options")]
    return {row.id: row.options[rng.integers(len(row.options))].value for row in rows}

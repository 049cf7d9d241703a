"""A small printed form, a pen, and a camera: nothing here is shared with the reader."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import cv2
import numpy as np
import pypdfium2
import pytest

from forms.field import Box, Choice, Digits, Note, Option, Scale, Tick
from forms.form import Block, Form
from forms.layout import Layout
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import Placed, place
from forms.sheet import print_form

PX = 8  # pixels a millimetre of the printed picture
Draw = Callable[..., None]
Line = list[tuple[float, float]]

STROKES: dict[str, list[Line]] = {  # in a box of side 1
    "cross": [[(0.1, 0.1), (0.9, 0.9)], [(0.9, 0.1), (0.1, 0.9)]],
    "tick": [[(0.15, 0.5), (0.4, 0.9), (1.05, 0.0)]],
    "slash": [[(0.1, 0.9), (0.9, 0.1)]],
    "filled": [[(0.1, 0.05 + 0.06 * k), (0.9, 0.05 + 0.06 * k)] for k in range(16)],
    "scribble": [[(-0.25 + 1.5 * (k % 2), -0.1 + 0.08 * k) for k in range(16)]],
    "beside": [[(1.18, 0.1), (1.16, 0.9)]],
    "4": [[(0.6, 0.1), (0.2, 0.6), (0.85, 0.6)], [(0.65, 0.35), (0.65, 0.92)]],
    "7": [[(0.2, 0.12), (0.8, 0.12), (0.42, 0.92)]],
    "1": [[(0.5, 0.1), (0.5, 0.9)]],
}


def row(y: float, values: tuple[int | str, ...], x: float = 22.0) -> tuple[Option, ...]:
    return tuple(Option(value, Box(x + 7.2 * at, y, 4.5, 4.5)) for at, value in enumerate(values))


def fields() -> tuple[Scale | Choice | Tick | Digits | Note, ...]:
    scales = [Scale(f"count.{k}", "", "card", row(16.0 * k, tuple(range(9)))) for k in range(6)]
    ticks = [Tick(f"tick.{k}", "", Box(110, 16.0 * k, 4.5, 4.5)) for k in range(6)]
    cells = tuple(Box(22 + 7.2 * at, 100, 6.5, 8.5) for at in range(3))
    sign = Choice("sign", "", row(102, ("+", "-"), 60))
    number = Digits("number", "", "mm", cells, 1, -99.9, 99.9, sign="sign")
    lines = (Box(22, 115, 6.5, 8.5), Box(29.2, 115, 6.5, 8.5))
    humidity = Digits("humidity", "", "%", lines, 0, 0, 100)
    return (*scales, *ticks, sign, number, humidity, Note("note", "", Box(90, 112, 60, 15)))


@pytest.fixture(scope="session")
def placed() -> Placed:
    block = Block("all", 130, fields=fields(), heavy=frozenset({"count.1=3"}))
    form = Form("test", "Trial form", "401273456", ("Invented table",), (block,))
    return place(form, Paper.LETTER, FormNumber("00000000011"))


@pytest.fixture(scope="session")
def layout(placed: Placed) -> Layout:
    return placed.layout


@pytest.fixture(scope="session")
def layout_of(layout: Layout) -> Callable[[str], Layout | None]:
    return {layout.form: layout}.get


@pytest.fixture(scope="session")
def pdf(placed: Placed) -> bytes:
    return print_form(placed, datetime(2026, 11, 24, tzinfo=UTC))


@pytest.fixture(scope="session")
def printed(pdf: bytes) -> np.ndarray:
    bitmap = pypdfium2.PdfDocument(pdf)[0].render(scale=PX * 25.4 / 72, grayscale=True)
    return np.array(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width)


@pytest.fixture(scope="session")
def draw() -> Draw:
    """Lend a pen: ``draw(picture, box, what, dark=..., width=...)`` [mm]."""

    def draw_shape(
        picture: np.ndarray, box: Box, what: str, dark: float = 0.75, width: float = 0.45
    ) -> None:
        corner, size = np.array(box[:2]), np.array(box[2:])
        for line in STROKES[what]:
            path = np.round((corner + np.array(line) * size) * PX * 8).astype(np.int32)
            ink = np.zeros_like(picture)
            pen = max(1, round(width * PX))
            cv2.polylines(ink, [path.reshape(-1, 1, 2)], False, 255, pen, cv2.LINE_AA, 3)
            np.minimum(picture, 255 - (ink * dark).astype(np.uint8), out=picture)

    return draw_shape


@pytest.fixture(scope="session")
def photograph() -> Callable[..., np.ndarray]:
    """Lend a camera: a flat sheet from aslant, uneven light, blur and grain."""

    def take(sheet: np.ndarray, seed: int, turn: float = 0.0, lean: float = 0.08) -> np.ndarray:
        rng = np.random.default_rng(seed)
        height, width = sheet.shape
        corners = np.array([[0, 0], [width, 0], [width, height], [0, height]], np.float32)
        middle = corners.mean(axis=0)
        cos, sin = np.cos(np.deg2rad(turn)), np.sin(np.deg2rad(turn))
        seen = (corners - middle) @ np.array([[cos, sin], [-sin, cos]])
        seen = seen * (1 + lean * rng.uniform(-1, 1, (4, 1))) + 0.55 * max(sheet.shape)
        side = int(1.1 * max(sheet.shape))
        matrix = cv2.getPerspectiveTransform(corners, seen.astype(np.float32))
        photo = cv2.warpPerspective(sheet, matrix, (side, side), borderValue=60)
        light = 0.55 + 0.4 * np.linspace(0, 1, side) + 0 * np.linspace(0, 1, side)[:, None]
        photo = cv2.GaussianBlur(photo * light, (0, 0), 0.9)
        return np.clip(photo + rng.normal(0, 3, photo.shape), 0, 255).astype(np.uint8)

    return take


@pytest.fixture
def save(tmp_path: Path) -> Callable[..., Path]:
    def write(picture: np.ndarray, name: str = "photo.jpg") -> Path:
        path = tmp_path / name
        cv2.imwrite(str(path), picture)
        return path

    return write

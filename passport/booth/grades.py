"""How well a page is photographed or scanned: presets with their numbers.

The figures were chosen by looking at what phones and office scanners give (common practice, no
source). Lengths in pixels hold for a picture of 12 megapixels and scale with its side.
"""

from dataclasses import dataclass, replace
from typing import NamedTuple


class Span(NamedTuple):
    """Every value between two, each as likely."""

    low: float
    high: float


_USUAL_EXPOSURE = Span(0.78, 0.95)


@dataclass(frozen=True)
class PhoneGrade:
    """A hand-held phone over a sheet on a dark desk.

    Attributes
    ----------
    tilt_deg : Span
        Angle between the camera's axis and the upright over the sheet. [degrees]
    turn_deg : Span
        How far the sheet lies off the picture's edges; besides, it may lie any way up. [degrees]
    curl_mm : Span
        How far the sheet's edges stand above its middle, or its middle above its edges. [mm]
    fill : Span
        Extent of the sheet over that of the picture, on the tighter side. [1]
    shadow : Span
        Share of light that a shadow's edge takes away. [1]
    gradient : Span
        Fall of the light from one side of the picture to the other. [1]
    blur_px, motion_px : Span
        Standard deviation of defocus; length of the hand's shake. [px]
    noise : Span
        Standard deviation of the sensor's noise in the middle greys, of 255.
    lens : Span
        Radial distortion in the picture's corner, positive pincushion. [1]
    quality : Span
        Quality figure of the JPEG file, 1 to 100.
    folds : Span
        Number of creases across the sheet, rounded down.
    exposure : Span
        Brightness of white paper in the best light, of full. [1]
    """

    name: str
    tilt_deg: Span
    turn_deg: Span
    curl_mm: Span
    fill: Span
    shadow: Span
    gradient: Span
    blur_px: Span
    motion_px: Span
    noise: Span
    lens: Span
    quality: Span
    folds: Span
    exposure: Span = _USUAL_EXPOSURE


@dataclass(frozen=True)
class ScannerGrade:
    """A sheet-feed scanner.

    Attributes
    ----------
    dpi : Span
        Resolution. [dots/in]
    skew_deg : Span
        How far the sheet runs in askew. [degrees]
    shift_mm : Span
        How far it is off its place, each way. [mm]
    stretch : Span
        Length along the feed over the true one. [1]
    blur_px : Span
        Standard deviation of the optics' blur. [px]
    noise : Span
        Standard deviation of the noise, of 255.
    specks : Span
        Specks of dust. [1/cm²]
    quality : Span
        Quality figure of the JPEG file, 1 to 100.
    """

    name: str
    dpi: Span
    skew_deg: Span
    shift_mm: Span
    stretch: Span
    blur_px: Span
    noise: Span
    specks: Span
    quality: Span


Grade = PhoneGrade | ScannerGrade

FLAT_SCAN = ScannerGrade(
    name="flat_scan",
    dpi=Span(200, 300),
    skew_deg=Span(-1.5, 1.5),
    shift_mm=Span(-2, 2),
    stretch=Span(0.997, 1.003),
    blur_px=Span(0.4, 0.7),
    noise=Span(1, 3),
    specks=Span(0.02, 0.1),
    quality=Span(80, 92),
)

GOOD = PhoneGrade(
    name="good",
    tilt_deg=Span(0, 8),
    turn_deg=Span(-3, 3),
    curl_mm=Span(0, 1.5),
    fill=Span(0.85, 0.95),
    shadow=Span(0, 0.25),
    gradient=Span(0, 0.15),
    blur_px=Span(0.5, 0.9),
    motion_px=Span(0, 0),
    noise=Span(1.5, 3),
    lens=Span(-0.002, 0.002),
    quality=Span(85, 92),
    folds=Span(0, 1),
)

ORDINARY = PhoneGrade(
    name="ordinary",
    tilt_deg=Span(4, 18),
    turn_deg=Span(-8, 8),
    curl_mm=Span(1, 6),
    fill=Span(0.75, 0.92),
    shadow=Span(0.1, 0.5),
    gradient=Span(0.05, 0.3),
    blur_px=Span(0.8, 1.6),
    motion_px=Span(0, 2),
    noise=Span(2, 5),
    lens=Span(-0.004, 0.004),
    quality=Span(75, 90),
    folds=Span(0, 3),
)

BAD = PhoneGrade(
    name="bad",
    tilt_deg=Span(12, 30),
    turn_deg=Span(-20, 20),
    curl_mm=Span(4, 14),
    fill=Span(0.60, 0.85),
    shadow=Span(0.3, 0.7),
    gradient=Span(0.2, 0.45),
    blur_px=Span(1.4, 2.6),
    motion_px=Span(1, 5),
    noise=Span(4, 9),
    lens=Span(-0.008, 0.008),
    quality=Span(60, 80),
    folds=Span(0, 4),
)

CROPPED = replace(
    ORDINARY,
    name="cropped",
    tilt_deg=Span(0, 12),
    curl_mm=Span(0, 4),
    fill=Span(1.04, 1.12),  # the sheet is larger than the picture: an edge is cut off
    shadow=Span(0, 0.4),
)

GRADES: dict[str, Grade] = {
    grade.name: grade for grade in (FLAT_SCAN, GOOD, ORDINARY, BAD, CROPPED)
}

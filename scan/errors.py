"""What can be wrong with a photo, a page or the reader, and what the user is told.

ScanError                   the base of this package
├── ModelDamaged            the digit network does not compute what it did when it was made
└── Refused                 it reaches the user as a Problem, not as an exception
    ├── PhotoRefused        nothing of the file or picture can be read
    │   ├── FileUnreadable
    │   ├── HeicUnreadable
    │   ├── Mirrored
    │   ├── Negative
    │   └── NotAForm
    └── PageRefused         one page in the picture can't be read
        ├── Blurred
        ├── Moved
        ├── TooDark
        ├── TooSmall
        ├── EdgeMissing
        ├── CutOff
        ├── MarksDisagree
        ├── PageTwice
        ├── CodeUnreadable
        ├── CodeForeign
        ├── CodeDisagrees
        ├── FormUnknown
        ├── PageUnknown
        ├── LayoutForeign
        ├── PageBent
        ├── Glare
        └── Shadow
"""

from collections.abc import Mapping, Sequence
from enum import StrEnum
from typing import ClassVar

from forms.errors import UserError
from scan.reading import Problem

MOST_NAMED = 4  # fields in one message


class ProblemCode(StrEnum):
    """The closed list of what can be wrong with a photo or page."""

    FILE_UNREADABLE = "file unreadable"
    HEIC_UNREADABLE = "heic unreadable"
    TOO_DARK = "too dark"
    BLURRED = "blurred"
    MOVED = "moved"
    MIRRORED = "mirrored"
    NEGATIVE = "negative"
    TOO_SMALL = "too small"
    NOT_A_FORM = "not a form"
    EDGE_MISSING = "edge missing"
    MARKS_DISAGREE = "squares disagree"
    PAGE_TWICE = "page twice"
    CODE_UNREADABLE = "code unreadable"
    CODE_FOREIGN = "code foreign"
    CODE_DISAGREES = "code and squares disagree"
    FORM_UNKNOWN = "form not known"
    PAGE_UNKNOWN = "page not known"
    LAYOUT_FOREIGN = "layout foreign"
    PAGE_BENT = "page bent"
    GLARE = "glare"
    SHADOW = "shadow"


class ScanError(UserError):
    """Something about a photo, or about the reader."""


class ModelDamaged(ScanError):
    """The digit network gives other numbers than when it was made."""

    exit_code = 1

    def __init__(self, difference: float, version: str):
        self.difference, self.version = difference, version
        super().__init__(
            f"The digit reader's self-check fails: a stored digit scores {difference:.3f} off "
            f"(at most 0.01) with OpenCV {version}. Install this program again with a version of "
            "OpenCV from 4.10 up to 5; until then type the forms in by hand."
        )


class Refused(ScanError):
    """Something that can't be read; it reaches the user as a ``Problem``."""

    code: ClassVar[ProblemCode]

    def problem(self, page: int | None = None, fields: Sequence[str] = ()) -> Problem:
        """Say it as a value of the reading."""
        return Problem(self.code.value, str(self), page, tuple(fields))


class PhotoRefused(Refused):
    """Nothing of the file can be read."""


class FileUnreadable(PhotoRefused):
    """Not a picture, damaged, locked, or empty."""

    code = ProblemCode.FILE_UNREADABLE

    def __init__(self, name: str, found: str):
        self.name, self.found = name, found
        super().__init__(
            f"{name} can't be opened as a picture: {found}. "
            "Copy it again from the phone or scanner, as JPEG, PNG, TIFF or PDF."
        )


class HeicUnreadable(PhotoRefused):
    """A HEIC photo without the package that opens it."""

    code = ProblemCode.HEIC_UNREADABLE

    def __init__(self, name: str):
        self.name = name
        super().__init__(
            f"{name} is a HEIC photo, which this installation can't open. Set the phone's camera "
            "to JPEG (“most compatible”), or install the package pillow-heif on this machine."
        )


class Mirrored(PhotoRefused):
    """The squares can be read in a mirror only."""

    code = ProblemCode.MIRRORED

    def __init__(self) -> None:
        super().__init__(
            "The picture is mirrored, left for right. Photograph the page with the camera on the "
            "phone's back, or switch mirroring off where the picture was scanned or edited."
        )


class Negative(PhotoRefused):
    """White on black."""

    code = ProblemCode.NEGATIVE

    def __init__(self) -> None:
        super().__init__(
            "The picture is a negative: its print is white on black. Switch inverted colours off "
            "in the camera, scanner or copier, and take it again."
        )


class NotAForm(PhotoRefused):
    """Neither squares nor a code of ours."""

    code = ProblemCode.NOT_A_FORM

    def __init__(self) -> None:
        super().__init__(
            "No form was found in the picture: none of the black squares at a page's edges can be "
            "seen. Photograph the printed side, the whole page, flat on a plain dark ground."
        )


class PageRefused(Refused):
    """One page in the picture can't be read."""


class Blurred(PageRefused):
    """No sharp edge anywhere."""

    code = ProblemCode.BLURRED

    def __init__(self, edge_px: float):
        self.edge_px = edge_px
        super().__init__(
            f"The picture is blurred: edges of the print are {edge_px:.0f} pixels wide. Wipe the "
            "lens, tap on the page to focus, hold still or lean on something, photograph again."
        )


class Moved(PageRefused):
    """Edges are sharp one way and wide the other."""

    code = ProblemCode.MOVED

    def __init__(self, way: str, edge_px: float):
        self.way, self.edge_px = way, edge_px
        super().__init__(
            f"The camera moved {way} while it took the picture, by {edge_px:.0f} pixels. Hold it "
            "with both hands, lean on something, bring more light, photograph again."
        )


class TooDark(PageRefused):
    """Even the brightest parts are dark."""

    code = ProblemCode.TOO_DARK

    def __init__(self, brightest: int):
        self.brightest = brightest
        super().__init__(
            f"The picture is too dark: its paper has brightness {brightest} of 255, at least 50 is "
            "needed. Photograph the page again by a window or lamp, without your own shadow on it."
        )


class TooSmall(PageRefused):
    """The page fills too little of the picture."""

    code = ProblemCode.TOO_SMALL

    def __init__(self, px_per_mm: float):
        self.px_per_mm = px_per_mm
        super().__init__(
            f"The page is too small in the picture: {px_per_mm:.1f} pixels a millimetre, at least "
            "4 are needed. Go nearer until the page fills the picture, or scan it at 200 dpi."
        )


class EdgeMissing(PageRefused):
    """Too few squares in the picture to flatten the page."""

    code = ProblemCode.EDGE_MISSING

    def __init__(self, page: int, found: int, missing: Sequence[str]):
        self.page, self.found, self.missing = page, found, tuple(missing)
        super().__init__(
            f"Only {found} of the 8 black squares of page {page} can be seen; missing: "
            f"{', '.join(missing)}. Photograph the whole page with some ground around it, "
            "nothing lying on it."
        )


class CutOff(PageRefused):
    """Fields lie beyond the picture's edge, or too far from the squares that are in it."""

    code = ProblemCode.EDGE_MISSING

    def __init__(self, page: int, sides: Sequence[str], labels: Mapping[str, str]):
        self.page, self.sides, self.labels = page, tuple(sides), labels
        super().__init__(
            f"The picture ends before the {' and the '.join(sides)} of page {page}, so these can't "
            f"be read: {_listed(labels)}. Photograph the whole page with some ground around it."
        )


class MarksDisagree(PageRefused):
    """The squares do not stand as they do on one printed page."""

    code = ProblemCode.MARKS_DISAGREE

    def __init__(self, page: int, off_mm: float):
        self.page, self.off_mm = page, off_mm
        super().__init__(
            f"The black squares of page {page} do not stand as they were printed: one is "
            f"{off_mm:.0f} mm off. Photograph each sheet by itself, unfolded."
        )


class PageTwice(PageRefused):
    """Two sheets with the same squares in one picture."""

    code = ProblemCode.PAGE_TWICE

    def __init__(self, page: int):
        self.page = page
        super().__init__(
            f"Two sheets that are both page {page} of a form are in the picture. "
            "Photograph each sheet by itself."
        )


class CodeUnreadable(PageRefused):
    """Neither reader can make out the QR code."""

    code = ProblemCode.CODE_UNREADABLE

    def __init__(self, page: int):
        self.page = page
        super().__init__(
            f"The QR code of page {page} can't be read, so its form is not known. Photograph the "
            "page again with the code at its upper left clean, sharp and without glare."
        )


class CodeForeign(PageRefused):
    """A QR code that is none of a form's pages."""

    code = ProblemCode.CODE_FOREIGN

    def __init__(self, page: int, text: str):
        self.page, self.text = page, text
        super().__init__(
            f"The QR code on page {page} says “{text}”, which is not the code of a form. "
            "Photograph the form itself, nothing lying on its code."
        )


class CodeDisagrees(PageRefused):
    """QR code and squares name different pages, or the code stands elsewhere than printed."""

    code = ProblemCode.CODE_DISAGREES

    def __init__(self, page: int, form: str, code_page: int):
        self.page, self.form, self.code_page = page, form, code_page
        super().__init__(
            f"The black squares say page {page}, the QR code says page {code_page} of form {form}, "
            "or it stands where it was not printed. Photograph each sheet by itself, no label or "
            "other sheet lying on it."
        )


class FormUnknown(PageRefused):
    """No layout for this form number."""

    code = ProblemCode.FORM_UNKNOWN

    def __init__(self, form: str, page: int):
        self.form, self.page = form, page
        super().__init__(
            f"Form {form} (page {page}) was not printed by this store. If another one printed it, "
            "bring in the layout file written beside it: layouts add FILE; then read the photo "
            "again."
        )


class PageUnknown(PageRefused):
    """The form's layout has no such page."""

    code = ProblemCode.PAGE_UNKNOWN

    def __init__(self, form: str, page: int, pages: int):
        self.form, self.page, self.pages = form, page, pages
        super().__init__(
            f"The sheet says page {page}, but form {form} was printed with {pages}. "
            "Bring in the layout file written beside it: layouts add FILE; then read the photo "
            "again."
        )


class LayoutForeign(PageRefused):
    """A layout whose page carries a code that is no form's."""

    code = ProblemCode.LAYOUT_FOREIGN

    def __init__(self, form: str, page: int, text: str):
        self.form, self.page, self.text = form, page, text
        super().__init__(
            f"The layout of form {form} gives page {page} the code “{text}”, which is not the code "
            "of a form. Bring in the layout file as it was written beside the form: layouts add "
            "FILE; then read the photo again."
        )


class PageBent(PageRefused):
    """The page could not be flattened well enough to trust every box."""

    code = ProblemCode.PAGE_BENT

    def __init__(self, page: int, residual_mm: float):
        self.page, self.residual_mm = page, residual_mm
        super().__init__(
            f"Page {page} is curled or folded: its boxes are {residual_mm:.1f} mm off where they "
            "were printed, at most 0.8 mm is allowed. Press it flat, photograph it from straight "
            "above, or scan it."
        )


class Glare(PageRefused):
    """A lamp or window is mirrored on fields."""

    code = ProblemCode.GLARE

    def __init__(self, page: int, side: str, labels: Mapping[str, str]):
        self.page, self.side, self.labels = page, side, labels
        super().__init__(
            f"A lamp or window shines on the {side} of page {page} and hides "
            f"{_listed(labels)}. Turn the sheet or step aside until no bright spot is left on it, "
            "then photograph it again."
        )


class Shadow(PageRefused):
    """Fields lie in a shadow that is too dark."""

    code = ProblemCode.SHADOW

    def __init__(self, page: int, side: str, labels: Mapping[str, str]):
        self.page, self.side, self.labels = page, side, labels
        super().__init__(
            f"A dark shadow lies on the {side} of page {page} and hides {_listed(labels)}. "
            "Step out of the light, or bring the sheet into it, then photograph it again."
        )


def _listed(labels: Mapping[str, str]) -> str:
    """Name fields as they are printed; of many, how many more there are."""
    shown = list(labels.values())[:MOST_NAMED]
    more = len(labels) - len(shown)
    return ", ".join(shown) + (f" and {more} more" if more else "")

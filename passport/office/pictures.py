"""Pictures for people: a field with its neighbours, a whole page, the photo with a box drawn.

They are made anew from the kept photo whenever somebody looks, and never kept on the disk: what is
forgotten is gone from here too. What comes out is a fresh JPEG without any note of a camera.
"""

from collections import OrderedDict
from dataclasses import dataclass, field
from threading import Lock

import numpy as np

from forms.field import Box, Field, boxes_of
from forms.layout import Page
from passport.errors import PassportError
from passport.office import Office
from passport.records.errors import FieldUnknown, FormUnknown, PhotoUnknown
from scan.again import Again, find_again
from scan.arrays import Grey
from scan.ink import PX_PER_MM, grown
from scan.opencv import cv2

AROUND_MM = (16.0, 8.5)  # shown to the sides and above and below a field: its neighbours
LEAST_WIDTH_MM = 84.0
RIM_MM = 0.9  # between a field's boxes and the line around them
WIDEST_PX = 1600  # of a photo on screen
LINE_BGR = (160, 79, 11)
MOST_PAGES = 48  # flattened pages that are remembered: about half a megabyte each
QUALITY = [cv2.IMWRITE_JPEG_QUALITY, 88]


class PictureGone(PassportError):
    """A page that its photo does not show any more, or not well enough to be laid flat."""

    def __init__(self, form: str, page: int):
        self.form, self.page = form, page
        super().__init__(
            f"Page {page} of form {form} can't be shown from its photo. Look at the paper itself, "
            "or photograph the page again and take it in."
        )


@dataclass(frozen=True)
class View:
    """One photo of one page of a form: the file's hash and the page's place in it."""

    form: str
    sha256: str
    position: int


@dataclass(frozen=True)
class Pictures:
    """The pictures of an office; flattened pages are remembered for a while."""

    office: Office
    _flat: OrderedDict[View, bytes] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def near(self, view: View, field_id: str) -> bytes:
        """Show a field with its neighbours, a line around it.

        Raises
        ------
        FormUnknown, PhotoUnknown, PhotoForgotten, FieldUnknown, PictureGone
        """
        page, found = self._page(view), self._field(view, field_id)
        flat, frame = self._flattened(view, page), _frame(page, found)
        picture = _cut(_framed(flat, _around(found)), frame)
        return _jpeg(picture)

    def page(self, view: View, field_id: str | None = None) -> bytes:
        """Show a page laid flat, with a line around a field."""
        flat = self._flattened(view, self._page(view))
        if field_id is None:
            return _jpeg(flat)
        return _jpeg(_framed(flat, _around(self._field(view, field_id))))

    def photo(self, view: View, field_id: str | None = None) -> bytes:
        """Show the photo as it was taken, with a line around a field."""
        again = self._again(view, self._page(view))
        colour = cv2.cvtColor(again.picture, cv2.COLOR_GRAY2BGR)
        if field_id is not None:
            corners = again.corners(_around(self._field(view, field_id)))
            thick = max(2, colour.shape[1] // 400)
            cv2.polylines(colour, [corners.round().astype(np.int32)], True, LINE_BGR, thick)
        return _jpeg(_narrowed(np.asarray(colour, dtype=np.uint8)))

    def _flattened(self, view: View, page: Page) -> Grey:
        self.office.store.photo(view.sha256)  # what was forgotten is not shown from memory
        with self._lock:
            known = self._flat.get(view)
        if known is not None:
            decoded = cv2.imdecode(np.frombuffer(known, np.uint8), cv2.IMREAD_GRAYSCALE)
            return np.asarray(decoded, dtype=np.uint8)
        flat = self._again(view, page).flat(Box(0, 0, page.width, page.height))
        self._remember(view, _jpeg(flat))
        return flat

    def _remember(self, view: View, content: bytes) -> None:
        with self._lock:
            self._flat[view] = content
            while len(self._flat) > MOST_PAGES:
                self._flat.popitem(last=False)

    def _again(self, view: View, page: Page) -> Again:
        found = find_again(self.office.store.photo(view.sha256), view.position, page)
        if found is None:
            raise PictureGone(view.form, page.page)
        return found

    def _page(self, view: View) -> Page:
        layout = self.office.store.layout_of(view.form)
        if layout is None:
            raise FormUnknown(view.form)
        photo = self.office.store.form(view.form).photo(view.sha256, view.position)
        page = layout.page(photo.page) if photo else None
        if page is None:
            raise PhotoUnknown(view.sha256, f"form {view.form}")
        return page

    def _field(self, view: View, field_id: str) -> Field:
        found = [one for one in self._page(view).fields if one.id == field_id]
        if not found:
            raise FieldUnknown(view.form, field_id)
        return found[0]


def _around(field: Field) -> Box:
    """Rectangle around all boxes of a field. [mm]."""
    boxes = boxes_of(field)
    left, top = min(box.x for box in boxes), min(box.y for box in boxes)
    right = max(box.x + box.width for box in boxes)
    bottom = max(box.y + box.height for box in boxes)
    return grown(Box(left, top, right - left, bottom - top), RIM_MM)


def _frame(page: Page, field: Field) -> Box:
    """Frame a field with its neighbours, as far as the page goes. [mm]."""
    box = _around(field)
    beside = max(AROUND_MM[0], (LEAST_WIDTH_MM - box.width) / 2)
    left, right = max(0.0, box.x - beside), min(page.width, box.x + box.width + beside)
    top = max(0.0, box.y - AROUND_MM[1])
    bottom = min(page.height, box.y + box.height + AROUND_MM[1])
    return Box(left, top, right - left, bottom - top)


def _framed(flat: Grey, box: Box) -> Grey:
    colour = cv2.cvtColor(flat, cv2.COLOR_GRAY2BGR)
    corner = (round(box.x * PX_PER_MM), round(box.y * PX_PER_MM))
    other = (round((box.x + box.width) * PX_PER_MM), round((box.y + box.height) * PX_PER_MM))
    cv2.rectangle(colour, corner, other, LINE_BGR, 2)
    return np.asarray(colour, dtype=np.uint8)


def _cut(picture: Grey, box: Box) -> Grey:
    x, y, width, height = (round(side * PX_PER_MM) for side in box)
    return picture[y : y + height, x : x + width]


def _narrowed(picture: Grey) -> Grey:
    longest = max(picture.shape[:2])
    if longest <= WIDEST_PX:
        return picture
    share = WIDEST_PX / longest
    small = cv2.resize(picture, None, fx=share, fy=share, interpolation=cv2.INTER_AREA)
    return np.asarray(small, dtype=np.uint8)


def _jpeg(picture: Grey) -> bytes:
    return bytes(cv2.imencode(".jpg", picture, QUALITY)[1].tobytes())

"""Advice is true when it names the strongest fault that was applied, and its side.

In full every fault of ``faults.py`` on two pages, two sheets each; by default some of them.
"""

import cv2
import numpy as np
import pytest
from reading import optics
from reading.advised import confusion, false_ones, named, read
from reading.faults import PAGES, QUALITY, answers_of, cropped, faults, plain
from reading.press import service_form

from forms.field import boxes_of
from scan.reading import Status

WHOLE, BY_DEFAULT = 2, 1
EVERY = 13  # of the faults by default, each on one page
LIT = 0.08  # light that is added at least where a field is said to be in it


@pytest.fixture(scope="module")
def whole(request) -> bool:
    return request.config.getoption("--whole")


@pytest.fixture(scope="module")
def found(whole, tmp_path_factory):
    folder, pages = tmp_path_factory.mktemp("faults"), service_form().layout.pages
    asked = [
        (fault, pages[number - 1], seed)
        for seed in range(WHOLE if whole else BY_DEFAULT)
        for number in PAGES
        for fault in faults()
    ]
    return [named(*one, folder) for one in (asked if whole else asked[::EVERY])]


def test_advice_names_the_fault_and_its_side(found, show):
    for line in confusion(found):
        show(line)

    assert false_ones(found) == []


def test_fields_that_are_said_to_be_in_glare_have_light_on_them(whole, tmp_path, show):
    page, told, dark = service_form().layout.pages[1], 0, []
    for seed in range(WHOLE if whole else BY_DEFAULT):
        for place in list(optics.PLACES)[:: 1 if whole else 4]:
            picture, light = optics.glared(plain(page, seed), page, place, 1.0)
            photo = cv2.imencode(".jpg", picture, QUALITY)[1].tobytes()
            said = [one for one in read(photo, tmp_path).problems if one.code == "glare"]
            names = {name for one in said for name in one.fields}
            told += len(names)
            dark += [field.id for field in page.fields
                     if field.id in names and brightest(light, field) < LIT]  # fmt: skip
    show(f"{told} fields said to be in glare, {len(dark)} of them without added light")
    assert (told > 0, dark) == (True, [])


def brightest(light: np.ndarray, field) -> float:
    """Light added at the middles of a field's boxes, at most."""
    middles = [(box.x + box.width / 2, box.y + box.height / 2) for box in boxes_of(field)]
    return max(float(light[int(y), int(x)]) for x, y in middles)


def test_what_a_cut_off_page_still_shows_is_read(whole, tmp_path, show):
    page = service_form().layout.pages[1]
    count = 20 if whole else 1
    wrong = sure = outside = 0
    for seed in range(count):
        meant = answers_of(page, seed)
        for sheet in read(cropped(page, seed), tmp_path).pages:
            said = {name: sheet.fields[name] for name in meant if sheet.fields}
            outside += sum(one.status is Status.OUTSIDE for one in said.values())
            known = [(meant[n], o) for n, o in said.items() if o.status is Status.SURE]
            sure += len(known)
            wrong += sum(one.value != value for value, one in known)
    show(
        f"page 104 to 112 % of the picture: {count} photos, {sure} marks sure, {wrong} of them "
        f"wrong, {outside} outside"
    )
    assert (wrong, sure > 0) == (0, True)

"""Advice is true when it names the fault that the booth applied, and its side."""

from collections import Counter

import pytest
from reading.faults import CUT_OFF, FAULTS, answers_of, photo_of
from reading.press import service_form

from scan.read import read_photo
from scan.reading import Status

WHOLE, BY_DEFAULT = 20, 1


@pytest.fixture(scope="module")
def count(request) -> int:
    return WHOLE if request.config.getoption("--whole") else BY_DEFAULT


@pytest.fixture
def read(tmp_path):
    def read_it(photo: bytes):
        path = tmp_path / "photo.jpg"
        path.write_bytes(photo)
        layout = service_form().layout
        return read_photo(path, {layout.form: layout}.get)

    return read_it


def is_true(fault, reading, edge) -> bool:
    """Tell whether a reading says what is wrong, or gives what a cut-off page still shows."""
    if fault.cut and not reading.problems:
        return any(
            one.status is Status.OUTSIDE for page in reading.pages for one in page.fields.values()
        )
    return any(one.code in fault.codes and edge in one.message for one in reading.problems)


@pytest.mark.parametrize("name", FAULTS)
def test_advice_names_the_fault_and_its_side(name, count, read, show):
    fault, true, said = FAULTS[name], 0, Counter()

    for seed in range(count):
        photo, edge = photo_of(fault, seed)
        reading = read(photo)
        true += is_true(fault, reading, edge)
        said.update(one.code for one in reading.problems)

    show(f"{name}: advice true of {true} of {count}; said: {dict(said)}")
    assert true == count


def test_what_a_cut_off_page_still_shows_is_read(count, read, show):
    wrong = sure = outside = 0
    for seed in range(count):
        meant = answers_of(seed)
        for page in read(photo_of(CUT_OFF, seed)[0]).pages:
            said = {name: page.fields[name] for name in meant if page.fields}
            outside += sum(one.status is Status.OUTSIDE for one in said.values())
            known = [(meant[n], o) for n, o in said.items() if o.status is Status.SURE]
            sure += len(known)
            wrong += sum(one.value != value for value, one in known)
    show(
        f"page 104 to 112 % of the picture: {count} photos, {sure} marks sure, {wrong} of them "
        f"wrong, {outside} outside"
    )
    assert (wrong, sure > 0) == (0, True)

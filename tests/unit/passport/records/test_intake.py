import hashlib
import subprocess
import sys
from dataclasses import replace

import pytest

from passport.records import EventKind, FormState, Outcome, files, intake, ledger, projection
from passport.records.errors import CropMissing, PhotoChanged, PhotoUnknown
from passport.records.folder_shelf import FolderShelf
from scan.reading import PageReading, PhotoReading, Reading, Status, Why

TABLE, FORM = "123456789", "8ZK3"
OK = Reading(Status.SURE, True, 0.999)
NOT_OK = Reading(Status.SURE, False, 0.999)
COUNT_3 = Reading(Status.SURE, 3, 0.99)
COUNT_4 = Reading(Status.SURE, 4, 0.99)
FAINT_3 = Reading(Status.DOUBTFUL, 3, 0.6, Why.FAINT)
OUTSIDE = Reading(Status.OUTSIDE, None, 0.0)


def kinds(store):
    return [event.kind for event in store.events(FORM)][1:]


def test_the_first_photo_of_a_page_is_recorded(store, photo_of, at):
    shot = photo_of("a", 1, ok1=OK, count1=FAINT_3)

    assert store.record_photo(*shot, at) == (Outcome.RECORDED,)
    assert store.readings(FORM) == {"ok1": OK, "count1": FAINT_3}


def test_the_same_file_again_is_seen_before_and_leaves_no_trace(store, photo_of, at):
    shot = photo_of("a", 1, ok1=OK)
    assert not store.has_photo(shot[0].sha256)
    store.record_photo(*shot, at)
    before = store.head()

    assert store.record_photo(*shot, at) == (Outcome.SEEN_BEFORE,)
    assert store.head() == before
    assert store.has_photo(shot[0].sha256)


def test_another_photo_that_says_the_same_is_kept_and_seen_before(store, photo_of, at):
    store.record_photo(*photo_of("a", 1, ok1=OK, count1=COUNT_3), at)
    again = photo_of("b", 1, ok1=replace(OK, confidence=0.99), count1=COUNT_3)

    assert store.record_photo(*again, at) == (Outcome.SEEN_BEFORE,)
    assert store.photo(again[0].sha256) == again[1]
    assert kinds(store) == [EventKind.PAGE_READ] * 2
    assert len(store.forms_of(TABLE)) == 1


def test_a_better_photo_is_merged(store, photo_of, at):
    store.record_photo(*photo_of("a", 1, ok1=OUTSIDE, count1=FAINT_3), at)

    outcome = store.record_photo(*photo_of("b", 1, ok1=OK, count1=COUNT_3), at)

    assert outcome == (Outcome.MERGED,)
    assert store.readings(FORM) == {"ok1": OK, "count1": COUNT_3}


def test_a_worse_photo_takes_nothing_away(store, photo_of, at):
    store.record_photo(*photo_of("a", 1, ok1=OK, count1=COUNT_3), at)

    outcome = store.record_photo(*photo_of("b", 1, ok1=OUTSIDE, count1=FAINT_3), at)

    assert outcome == (Outcome.SEEN_BEFORE,)
    assert store.readings(FORM) == {"ok1": OK, "count1": COUNT_3}


def test_other_ink_is_kept_and_shown_as_a_doubt(store, photo_of, at):
    first, second = (
        photo_of("a", 1, ok1=OK, count1=COUNT_3),
        photo_of("b", 1, ok1=OK, count1=COUNT_4),
    )
    store.record_photo(*first, at)

    assert store.record_photo(*second, at) == (Outcome.CONFLICT,)
    assert [(one.field, one.reading.why) for one in store.doubts()] == [
        ("count1", Why.FILLS_DIFFER)
    ]
    assert [store.photo(one[0].sha256) for one in (first, second)] == [first[1], second[1]]
    assert kinds(store) == [EventKind.PAGE_READ, EventKind.PAGE_READ, EventKind.FILL_CONFLICT]


def test_a_conflict_says_which_fields_and_which_photos(store, photo_of, at):
    first, second = photo_of("a", 1, count1=COUNT_3), photo_of("b", 1, count1=COUNT_4)
    store.record_photo(*first, at)
    store.record_photo(*second, at)

    assert store.events(FORM)[-1].body == {
        "schema": 1,
        "page": 1,
        "fields": ["count1"],
        "photo": second[0].sha256,
        "position": 0,
        "others": [{"photo": first[0].sha256, "position": 0}],
    }


def test_a_third_photo_that_agrees_with_one_of_two_is_no_new_conflict(store, photo_of, at):
    store.record_photo(*photo_of("a", 1, count1=COUNT_3), at)
    store.record_photo(*photo_of("b", 1, count1=COUNT_4), at)

    assert store.record_photo(*photo_of("c", 1, count1=COUNT_4), at) == (Outcome.SEEN_BEFORE,)


def test_empty_against_a_value_is_other_ink(store, photo_of, at):
    store.record_photo(*photo_of("a", 1, count1=COUNT_3), at)

    outcome = store.record_photo(*photo_of("b", 1, count1=Reading(Status.EMPTY, None, 0.99)), at)

    assert outcome == (Outcome.CONFLICT,)


def test_a_file_with_several_pages_is_recorded_in_one_piece(store, at):
    content = b"%PDF-1.7 a stack"
    pages = (
        PageReading(FORM, 1, {"ok1": OK}),
        PageReading("9999", 1, {"ok1": OK}),
        PageReading(None, None),
        PageReading(FORM, 2, {"ok2": OK}),
        PageReading(FORM, 1, {"ok1": NOT_OK}),  # a copied blank, filled again
        PageReading(FORM, 7, {}),
    )
    photo = PhotoReading("stack.pdf", hashlib.sha256(content).hexdigest(), pages)

    assert store.record_photo(photo, content, at) == (
        Outcome.RECORDED,
        Outcome.UNKNOWN_FORM,
        Outcome.UNKNOWN_FORM,
        Outcome.RECORDED,
        Outcome.CONFLICT,
        Outcome.UNKNOWN_FORM,
    )
    assert store.form(FORM).pages_in == (1, 2)
    assert store.photos.find(photo.sha256).endswith(".pdf")


def test_a_page_left_out_is_taken_in_once_its_layout_is_there(store, layout, at):
    content = b"%PDF-1.7 two forms"
    pages = (PageReading(FORM, 1, {"ok1": OK}), PageReading("9", 1, {"ok1": OK}))
    photo = PhotoReading("two.pdf", hashlib.sha256(content).hexdigest(), pages)
    store.record_photo(photo, content, at)
    assert not store.has_photo(photo.sha256)
    store.add_layout(replace(layout, form="9"), at)

    assert store.record_photo(photo, content, at) == (Outcome.SEEN_BEFORE, Outcome.RECORDED)
    assert store.has_photo(photo.sha256)


def test_one_page_of_a_file_can_be_recorded_alone(store, photo_of, at):
    photo, content = photo_of("a", 1, ok1=OK)

    outcomes = [store.record_page(photo, photo.pages[0], content, at) for _ in range(2)]

    assert outcomes == [Outcome.RECORDED, Outcome.SEEN_BEFORE]


def test_a_page_of_an_unknown_form_keeps_nothing(store, at):
    content = b"\xff\xd8\xff"
    page = PageReading("9999", 1, {"ok1": OK})
    photo = PhotoReading("a.jpg", hashlib.sha256(content).hexdigest(), (page,))
    before = store.head()

    assert store.record_page(photo, page, content, at) is Outcome.UNKNOWN_FORM
    assert store.record_photo(photo, content, at) == (Outcome.UNKNOWN_FORM,)
    assert store.head() == before
    with pytest.raises(PhotoUnknown):
        store.photo(photo.sha256)


def test_a_photo_without_pages_keeps_nothing(store, at):
    content = b"\xff\xd8\xff"
    photo = PhotoReading("a.jpg", hashlib.sha256(content).hexdigest())

    assert store.record_photo(photo, content, at) == ()
    assert store.photos.names() == ()


def test_a_file_that_changed_since_it_was_read_is_refused(store, photo_of, at):
    photo, content = photo_of("a", 1, ok1=OK)

    with pytest.raises(PhotoChanged):
        store.record_photo(photo, content + b"!", at)


def test_a_photo_that_is_gone_or_altered_is_found(store, photo_of, at, spoil):
    shots = [photo_of(name, 1, ok1=OK) for name in "abc"]
    for shot in shots:
        store.record_photo(*shot, at)
    assert store.lost_photos() == ()
    gone, altered, _ = (shot[0].sha256 for shot in shots)
    store.photos.remove(store.photos.find(gone))
    spoil(store.photos, altered)

    assert store.lost_photos() == tuple(sorted((gone, altered)))


def test_a_cut_out_is_kept_by_its_hash(store, photo_of, at, tmp_path):
    (tmp_path / "note.png").write_bytes(b"\x89PNG\r\n\x1a\nink")
    note = Reading(Status.SURE, None, 0.99, crop="note.png", ink=True)

    store.record_photo(*photo_of("a", 1, ok1=note), at, crops=tmp_path)

    crop = store.readings(FORM)["ok1"].crop
    assert store.crop(crop) == b"\x89PNG\r\n\x1a\nink"
    assert store.readings(FORM)["ok1"].ink is True


def test_a_cut_out_that_is_not_there_is_said_so(store, photo_of, at, tmp_path):
    note = Reading(Status.SURE, None, 0.99, crop="note.png", ink=True)

    with pytest.raises(CropMissing):
        store.record_photo(*photo_of("a", 1, ok1=note), at, crops=tmp_path)

    assert store.form(FORM).state is FormState.PRINTED


def test_a_photo_is_on_the_disk_before_a_record_speaks_of_it(store, photo_of, at, monkeypatch):
    def stop(*_):
        raise KeyboardInterrupt

    shot = photo_of("a", 1, ok1=OK)
    with monkeypatch.context() as patch:
        patch.setattr(type(store), "_writing", stop)
        with pytest.raises(KeyboardInterrupt):
            store.record_photo(*shot, at)

    assert store.photo(shot[0].sha256) == shot[1]
    assert store.record_photo(*shot, at) == (Outcome.RECORDED,)


STEPS = (
    (files, "flush_file"),
    (files, "flush_folder"),
    (intake, "taken"),
    (intake, "record"),
    (ledger, "append"),
    (projection, "refresh"),
)


@pytest.mark.parametrize(("module", "step"), STEPS, ids=[name for _, name in STEPS])
@pytest.mark.parametrize("after", [False, True], ids=["before", "after"])
@pytest.mark.parametrize("times", [1, 2])
def test_an_intake_stopped_at_any_step_and_done_again_gives_the_same_as_once(
    *, store, at, tmp_path, monkeypatch, module, step, after, times
):
    (tmp_path / "note.png").write_bytes(b"\x89PNG\r\n\x1a\nink")
    note = Reading(Status.SURE, None, 0.99, crop="note.png", ink=True)
    content = b"%PDF-1.7 two pages"
    pages = (PageReading(FORM, 1, {"ok1": note}), PageReading(FORM, 2, {"ok2": OK}))
    photo = PhotoReading("a.pdf", hashlib.sha256(content).hexdigest(), pages)
    whole, calls = getattr(module, step), []
    if module is files and not isinstance(store.photos, FolderShelf):
        module, step = type(store.photos), "keep"
        whole = module.keep

    def stopping(*args, **kwargs):
        calls.append(step)
        if len(calls) != times:
            return whole(*args, **kwargs)
        if after:
            whole(*args, **kwargs)
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(module, step, stopping)
        with pytest.raises(KeyboardInterrupt):
            store.record_photo(photo, content, at, crops=tmp_path)
    assert kinds(store) == []

    assert store.record_photo(photo, content, at, crops=tmp_path) == (Outcome.RECORDED,) * 2
    assert kinds(store) == [EventKind.PAGE_READ] * 2
    assert (store.photos.altered(), len(store.photos.names())) == ((), 1)
    assert (store.crops.altered(), len(store.crops.names())) == ((), 1)


SENDER = """
import hashlib, sys
from datetime import UTC, datetime
from pathlib import Path
from passport.records import Store
from scan.reading import PageReading, PhotoReading, Reading, Status

content = b"\\xff\\xd8\\xff the same photo"
page = PageReading("8ZK3", 1, {"ok1": Reading(Status.SURE, True, 0.999)})
photo = PhotoReading("a.jpg", hashlib.sha256(content).hexdigest(), (page,))
with Store.open(Path(sys.argv[1])) as store:
    for _ in range(5):
        print(store.record_photo(photo, content, datetime.now(UTC))[0].value)
"""


def test_the_same_photo_sent_ten_times_by_two_at_once_is_recorded_once(store, home):
    senders = [
        subprocess.Popen(
            [sys.executable, "-c", SENDER, str(home)], stdout=subprocess.PIPE, text=True
        )
        for _ in range(2)
    ]
    said = [line for one in senders for line in one.communicate(timeout=60)[0].split("\n") if line]

    assert sorted(said) == ["recorded"] + ["seen before"] * 9
    assert kinds(store) == [EventKind.PAGE_READ]

"""What someone asks to have forgotten is nowhere in the home folder; the chain is still whole."""

import hashlib
import json
from dataclasses import replace
from datetime import UTC, date, datetime
from io import BytesIO

import pytest
from PIL import Image

from forms.field import Box, Choice, Note, Option, Tick
from forms.layout import Code, Layout, Page
from passport.records import Contact, Decision, Forgotten, Keeping, Outcome, Photos, Store, restore
from passport.records.errors import FormUnknown, NothingToForget, PhotoForgotten, TableUnknown
from scan.reading import PageReading, PhotoReading, Reading, Status

AT = datetime(2026, 11, 24, 12, 0, tzinfo=UTC)
TABLE, ZED, YVE = "123456789", "Zed Invented", "Yve Invented"
CLERK = Decision("Clerk Invented", "asked for by letter")
PERSONAL = frozenset({"technician"})


def layout(form):
    people = tuple(Option(name, Box(8 + 20 * n, 60, 5, 5)) for n, name in enumerate((ZED, YVE)))
    fields = (
        Tick("ok", "OK", Box(8, 50, 5, 5)),
        Choice("technician", "Technician", people),
        Note("notes", "Notes", Box(8, 80, 90, 30)),
    )
    return Layout(
        form, "service", TABLE, (Page(1, 210, 297, Code(f"{form}/1", Box(0, 0, 9, 9)), (), fields),)
    )


def photo(form, who, folder):
    (folder / "note.png").write_bytes(b"\x89PNG handwriting on " + form.encode())
    content = b"%PDF-1.7 photo of " + form.encode()
    readings = {
        "ok": Reading(Status.SURE, True, 0.999),
        "technician": Reading(Status.SURE, who, 0.99),
        "notes": Reading(Status.SURE, None, 0.99, crop="note.png", ink=True),
    }
    digest = hashlib.sha256(content).hexdigest()
    return PhotoReading("a", digest, (PageReading(form, 1, readings),)), content


@pytest.fixture
def home(tmp_path):
    return tmp_path / "home"


@pytest.fixture
def store(home, tmp_path):
    """Two forms, filled by two people; a decision by one of them; a customer."""
    with Store.open(home, personal=PERSONAL) as store:
        store.register(TABLE, {"name": "Long one", "site": "Xan Invented's house"}, AT)
        store.give_contact(TABLE, Contact("Xan Invented", "555 0100"), AT)
        for form, who in (("AAAA", ZED), ("BBBB", YVE)):
            store.print_form(layout(form), date(2026, 11, 20), AT)
            store.record_photo(*photo(form, who, tmp_path), AT, tmp_path)
        store.settle("BBBB", "ok", False, Decision(ZED, "saw it"), AT)
        yield store


def everywhere(home):
    return b"".join(one.read_bytes() for one in sorted(home.rglob("*")) if one.is_file())


def test_a_person_is_forgotten_wherever_their_name_stands(store, home):
    assert ZED.encode() in everywhere(home)  # the control

    forgotten = store.forget_person(ZED, CLERK, AT)

    assert ZED.encode() not in everywhere(home)
    assert forgotten == Forgotten(texts=5, cut_outs=1, photos=1)  # 2 layouts, reading, who, cut-out


def test_what_others_wrote_stays(store, home, tmp_path):
    store.forget_person(ZED, CLERK, AT)

    assert store.readings("BBBB")["technician"].value == YVE
    assert store.form("BBBB").answers[0].who is None
    assert store.photo(photo("BBBB", YVE, tmp_path)[0].sha256)
    assert YVE in store.form("BBBB").layout


def test_verify_still_passes_and_says_how_many_texts_were_removed(store):
    before = store.verify()

    forgotten = store.forget_person(ZED, CLERK, AT)

    after = store.verify()
    assert (before.removed, after.removed) == (0, forgotten.texts)
    assert after.events == before.events + 2


def test_the_marks_printed_before_are_still_found(store):
    printed = store.printed_head()

    store.forget_person(ZED, CLERK, AT)

    assert store.verify(printed).removed


def test_the_records_say_who_had_it_forgotten_and_why(store):
    store.forget_form("AAAA", CLERK, AT)

    body = store.events("AAAA")[-1].body
    assert store.private_text(body["who"]["private"]) == CLERK.who
    assert body["why"] == CLERK.why


def test_a_form_keeps_its_values_and_loses_names_notes_and_photo(store, home, tmp_path):
    digest = photo("AAAA", ZED, tmp_path)[0].sha256

    assert store.forget_form("AAAA", CLERK, AT) == Forgotten(texts=3, cut_outs=1, photos=1)

    readings = store.readings("AAAA")
    assert (readings["ok"].value, readings["technician"].value) == (True, None)
    assert readings["notes"].crop is None
    assert [one["value"] for one in json.loads(store.form("AAAA").layout)["pages"][0]["fields"][1][
        "options"
    ]] == ["removed 1", "removed 2"]  # fmt: skip
    assert b"handwriting on AAAA" not in everywhere(home)
    with pytest.raises(PhotoForgotten):
        store.photo(digest)


def test_a_layout_without_names_can_still_be_read(store):
    store.forget_form("AAAA", CLERK, AT)

    assert store.layout_of("AAAA").pages[0].fields[0] == layout("AAAA").pages[0].fields[0]


def test_a_forgotten_photo_is_not_lost_and_never_kept_again(store, home, tmp_path):
    store.forget_form("AAAA", CLERK, AT)

    again = store.record_photo(*photo("AAAA", ZED, tmp_path), AT, tmp_path)

    assert again == (Outcome.SEEN_BEFORE,)
    assert store.lost_photos() == ()
    assert b"of AAAA" not in everywhere(home)
    assert b"handwriting on AAAA" not in everywhere(home)


def test_photos_may_stay_if_so_decided(store, tmp_path):
    forgotten = store.forget_form("AAAA", CLERK, AT, Photos.KEEP)

    assert forgotten == Forgotten(texts=3, cut_outs=1, photos=0)
    assert store.photo(photo("AAAA", ZED, tmp_path)[0].sha256)


def test_a_customer_is_forgotten_with_the_place(store, home):
    assert store.table(TABLE).contact == Contact("Xan Invented", "555 0100")
    assert [one.number for one in store.search("xan 0100")] == [TABLE]

    assert store.forget_customer(TABLE, CLERK, AT) == Forgotten(texts=3)

    assert b"Xan" not in everywhere(home)
    assert b"555 0100" not in everywhere(home)
    assert store.table(TABLE).contact is None
    assert store.table(TABLE).description == {"name": "Long one", "site": "(removed)"}
    assert store.search("xan") == ()


def test_the_chain_never_held_a_personal_text(store):
    chain = json.dumps(list(store.chain()))

    assert [name for name in (ZED, YVE, "Xan", "555 0100", ".png") if name in chain] == []


def test_a_rebuild_gives_the_same_after_forgetting(store):
    store.forget_person(ZED, CLERK, AT)
    before = (store.forms(), store.tables(), store.doubts())

    store.rebuild()

    assert (store.forms(), store.tables(), store.doubts()) == before


def test_a_backup_made_after_holds_nothing_of_it(store, home, tmp_path):
    store.forget_person(ZED, CLERK, AT)

    store.backup(tmp_path / "b.zip")

    assert ZED.encode() not in (tmp_path / "b.zip").read_bytes()
    restore(tmp_path / "b.zip", tmp_path / "new")
    with Store.open(tmp_path / "new", personal=PERSONAL) as again:
        assert again.verify() == store.verify()


def test_files_whose_removal_was_cut_short_go_when_the_store_is_opened(store, home, monkeypatch):
    monkeypatch.setattr(Store, "remove_files", lambda _: None)
    store.forget_form("AAAA", CLERK, AT)
    assert b"handwriting on AAAA" in everywhere(home)
    monkeypatch.undo()

    Store.open(home).close()

    assert b"handwriting on AAAA" not in everywhere(home)


@pytest.mark.parametrize(
    ("forget", "error"),
    [
        (lambda store: store.forget_person("Nobody", CLERK, AT), NothingToForget),
        (lambda store: store.forget_form("ZZZZ", CLERK, AT), FormUnknown),
        (lambda store: store.forget_customer("999999999", CLERK, AT), TableUnknown),
    ],
)
def test_where_nothing_is_to_be_forgotten_nothing_changes(store, forget, error):
    before = store.head()

    with pytest.raises(error):
        forget(store)

    assert store.head() == before


# ---- kept pictures


def jpeg():
    notes, out = Image.Exif(), BytesIO()
    notes[0x010F] = "INVENTED CAMERA"
    Image.new("L", (40, 30), 200).save(out, "JPEG", exif=notes)
    content = out.getvalue()
    page = PageReading("AAAA", 1, {"ok": Reading(Status.SURE, True, 0.999)})
    return PhotoReading("a.jpg", hashlib.sha256(content).hexdigest(), (page,)), content


def test_a_photo_is_kept_without_the_cameras_notes_and_found_by_the_file_as_it_came(store, home):
    shot, content = jpeg()

    store.record_photo(shot, content, AT)

    assert b"INVENTED CAMERA" in content  # the control
    assert b"INVENTED CAMERA" not in everywhere(home)
    assert Image.open(BytesIO(store.photo(shot.sha256))).size == (40, 30)
    assert store.has_photo(shot.sha256)


def test_the_record_holds_the_hash_of_the_file_as_it_came_and_of_the_picture_kept(store):
    shot, content = jpeg()

    store.record_photo(shot, content, AT)

    body = store.events("AAAA")[-1].body
    kept = hashlib.sha256(store.photo(shot.sha256)).hexdigest()
    assert (body["photo"], body["kept"]) == (shot.sha256, kept)
    assert body["photo"] != body["kept"]


def test_a_kept_picture_that_is_gone_is_told_by_the_file_as_it_came(store):
    shot, content = jpeg()
    store.record_photo(shot, content, AT)

    store.photos.remove(store.photos.find(store.events("AAAA")[-1].body["kept"]))

    assert store.lost_photos() == (shot.sha256,)


def test_an_owner_may_want_originals(store, home):
    shot, content = jpeg()

    with Store.open(home, personal=PERSONAL, keeping=Keeping.ORIGINALS) as originals:
        originals.record_photo(shot, content, AT)

    assert store.photo(shot.sha256) == content


def test_taking_in_again_brings_a_lost_original_back(store, home):
    shot, content = jpeg()
    with Store.open(home, personal=PERSONAL, keeping=Keeping.ORIGINALS) as originals:
        originals.record_photo(shot, content, AT)
    store.photos.remove(store.photos.find(shot.sha256))

    store.record_photo(replace(shot), content, AT)

    assert store.photo(shot.sha256) == content

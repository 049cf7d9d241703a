import json
from dataclasses import replace
from datetime import date
from decimal import Decimal
from random import Random

import pytest

from forms.numbers import FormNumber
from passport.records import (
    ActionResult,
    Contact,
    Decision,
    EventKind,
    FormState,
    Outcome,
    Outlook,
    Private,
    Store,
)
from passport.records.errors import (
    BodyNotExact,
    CareTokenTaken,
    FieldUnknown,
    FormExists,
    FormUnknown,
    PhotoUnknown,
    TableExists,
    TableUnknown,
)
from scan.reading import Reading, Status, Why

TABLE, FORM = "123456789", "8ZK3"
CLERK = Decision("A. Clerk", "looked at the paper")
OK = Reading(Status.SURE, True, 0.999)
COUNT_3 = Reading(Status.SURE, 3, 0.99)
FAINT_3 = Reading(Status.DOUBTFUL, 3, 0.6, Why.FAINT)
OUTSIDE = Reading(Status.OUTSIDE, None, 0.0)


# ---- tables


def test_a_table_is_found_by_its_number(store):
    assert store.table(TABLE).description == {"name": "Long one", "length": "22 ft"}


def test_an_unknown_table_is_said_so(store):
    with pytest.raises(TableUnknown):
        store.table("999999999")


def test_a_number_is_given_once(store, at):
    with pytest.raises(TableExists):
        store.register(TABLE, {"name": "Another"}, at)


def test_a_new_description_counts_and_the_old_one_stays_in_the_history(store, at):
    record = store.describe(TABLE, {"name": "Renamed"}, at)

    assert (record.description, record.registered, record.described) == ({"name": "Renamed"}, 1, 3)
    assert [event.body["description"]["name"] for event in store.events(TABLE)] == [
        "Long one", "Renamed"
    ]  # fmt: skip


def test_a_table_that_was_never_registered_can_not_be_described(store, at):
    with pytest.raises(TableUnknown):
        store.describe("999999999", {}, at)


def test_all_tables_come_by_number(store, at):
    store.register("023456789", {}, at)

    assert [record.number for record in store.tables()] == ["023456789", TABLE]


def test_the_last_word_on_an_action_counts(store, at):
    store.close_action(TABLE, "L1 both feet", ActionResult.NOT_POSSIBLE, CLERK, at)
    store.close_action(TABLE, "L1 both feet", ActionResult.DONE, CLERK, at)
    store.close_action(TABLE, "B2", ActionResult.NOT_NEEDED, CLERK, at)

    closed = store.table(TABLE).closed_actions
    assert [(one.action, one.result) for one in closed] == [
        ("B2", ActionResult.NOT_NEEDED), ("L1 both feet", ActionResult.DONE)
    ]  # fmt: skip


# ---- care tokens


def test_a_care_token_is_replaced(store, at):
    assert store.care_token(TABLE) is None
    store.issue_care_token(TABLE, "FIRSTTOKEN", at)
    store.issue_care_token(TABLE, "SECONDTOKEN", at)

    assert store.care_token(TABLE) == "SECONDTOKEN"
    assert store.verify().removed == 1


def test_a_care_token_is_not_in_the_chain(store, at):
    store.issue_care_token(TABLE, "FIRSTTOKEN", at)

    assert "FIRSTTOKEN" not in str(list(store.chain()))


def test_a_care_token_belongs_to_one_table(store, at):
    store.register("023456789", {}, at)
    store.issue_care_token(TABLE, "FIRSTTOKEN", at)

    with pytest.raises(CareTokenTaken):
        store.issue_care_token("023456789", "FIRSTTOKEN", at)

    assert store.care_token("023456789") is None


# ---- forms


def test_a_printed_form_is_out_until_its_pages_come(store):
    record = store.form(FORM)

    assert (record.state, record.table, record.kind) == (FormState.PRINTED, TABLE, "service")
    assert (record.printed_on, record.described, record.missing) == (date(2026, 11, 20), 1, (1, 2))


def test_a_layout_comes_back_as_it_was_printed(store, layout):
    assert store.layout_of(FORM) == layout


def test_an_unknown_form_has_no_layout(store):
    assert store.layout_of("9999") is None


def test_an_unknown_form_is_said_so(store):
    with pytest.raises(FormUnknown):
        store.form("9999")


def test_printing_again_with_the_same_layout_changes_nothing(store, layout, at):
    store.print_form(layout, date(2026, 11, 21), at)

    assert store.verify().events == 2


def test_a_form_number_names_one_layout(store, layout, at):
    with pytest.raises(FormExists):
        store.print_form(replace(layout, kind="quick"), date(2026, 11, 21), at)


def test_a_form_is_printed_for_a_known_table(store, layout, at):
    with pytest.raises(TableUnknown):
        store.print_form(replace(layout, form="9", table="9"), date(2026, 11, 21), at)


def test_a_layout_from_elsewhere_needs_no_table(store, layout, at):
    record = store.add_layout(replace(layout, form="9", table="9"), at)

    assert (record.table, record.printed_on, record.described) == ("9", None, None)
    assert store.events("9")[0].kind is EventKind.LAYOUT_ADDED


def test_a_form_goes_from_printed_to_settled(store, photo_of, at):
    states = [store.form(FORM).state]
    for shot in (
        photo_of("a", 1, ok1=OK, count1=FAINT_3),
        photo_of("b", 2, ok2=OK, count2=COUNT_3),
        photo_of("c", 1, ok1=OK, count1=COUNT_3),
    ):
        store.record_photo(*shot, at)
        states.append(store.form(FORM).state)

    assert states == [FormState.PRINTED, FormState.PARTLY_IN, FormState.IN, FormState.SETTLED]


def test_an_optional_page_is_not_missing(store, layout, at):
    store.add_layout(replace(layout, form="9"), at, optional_pages=(2,))

    assert (store.form("9").missing, store.form("9").optional) == ((1,), (2,))


def test_a_form_keeps_the_description_that_it_was_printed_for(store, layout, at):
    store.describe(TABLE, {"name": "Renamed"}, at)
    store.add_layout(replace(layout, form="9", table="9"), at)

    assert store.description_of(FORM) == {"name": "Long one", "length": "22 ft"}
    assert store.description_of("9") is None


def test_a_closed_form_waits_for_nothing(store, photo_of, at):
    store.record_photo(*photo_of("a", 1, ok1=OK, count1=FAINT_3), at)

    record = store.close_form(FORM, CLERK, at)

    assert (record.state, record.missing, store.doubts()) == (FormState.CLOSED, (2,), ())


def test_forms_are_found_by_state_and_by_table(store, layout, photo_of, at):
    store.print_form(replace(layout, form="9"), date(2026, 11, 21), at)
    store.record_photo(*photo_of("a", 1, ok1=OK), at)

    assert [one.number for one in store.forms(FormState.PRINTED)] == ["9"]
    assert [one.number for one in store.forms()] == [FORM, "9"]
    assert [one.number for one in store.forms_of(TABLE)] == [FORM, "9"]
    assert store.forms_of("9") == ()


# ---- doubts and answers


def test_a_doubt_and_a_field_outside_wait_for_a_person(store, photo_of, at):
    store.record_photo(*photo_of("a", 1, ok1=OUTSIDE, count1=FAINT_3), at)

    assert [(one.table, one.page, one.field, one.reading) for one in store.doubts()] == [
        (TABLE, 1, "count1", FAINT_3), (TABLE, 1, "ok1", OUTSIDE)
    ]  # fmt: skip


@pytest.mark.parametrize("value", [4, True, "left", Decimal("44.50")])
def test_an_answer_takes_the_doubts_place(store, photo_of, at, value):
    store.record_photo(*photo_of("a", 1, ok1=OK, count1=FAINT_3), at)

    record = store.settle(FORM, "count1", value, CLERK, at)

    assert record.readings["count1"] == Reading(Status.SURE, value, 1.0)
    assert store.doubts() == ()


def test_an_answer_may_say_that_nothing_is_written(store, photo_of, at):
    store.record_photo(*photo_of("a", 1, count1=FAINT_3), at)

    record = store.settle(FORM, "count1", None, CLERK, at)

    assert record.readings["count1"] == Reading(Status.EMPTY, None, 1.0)


def test_a_correction_counts_and_the_old_answer_stays_in_the_history(store, photo_of, at):
    store.record_photo(*photo_of("a", 1, count1=FAINT_3), at)
    store.settle(FORM, "count1", 4, CLERK, at)
    store.settle(FORM, "count1", 2, CLERK, at)

    values = [
        one.body["value"] for one in store.events(FORM) if one.kind is EventKind.VALUE_SETTLED
    ]
    assert (store.readings(FORM)["count1"].value, values) == (2, [4, 2])


def test_every_answer_is_kept_with_who_and_why(store, at):
    store.settle(FORM, "count1", 4, CLERK, at)
    record = store.settle(FORM, "count1", 2, Decision("B. Clerk", "typed wrong"), at)

    assert [(one.field, one.value, one.who, one.why) for one in record.answers] == [
        ("count1", 4, "A. Clerk", "looked at the paper"), ("count1", 2, "B. Clerk", "typed wrong")
    ]  # fmt: skip


def test_the_name_of_who_settled_is_kept_beside_the_chain(store, at):
    store.settle(FORM, "count1", 4, CLERK, at)

    who = store.events(FORM)[-1].body["who"]
    assert store.private_text(who["private"]) == "A. Clerk"
    assert "A. Clerk" not in str(list(store.chain()))


def test_a_field_that_may_name_a_person_is_kept_beside_the_chain(home, layout, photo_of, at):
    with Store.open(home, personal=frozenset({"ok1"})) as store:
        store.add_layout(layout, at)
        store.record_photo(*photo_of("a", 1, ok1=Reading(Status.SURE, "AB", 0.99)), at)
        assert store.readings(FORM)["ok1"].value == "AB"
        store.settle(FORM, "ok1", "CD", CLERK, at)

        assert store.readings(FORM)["ok1"].value == "CD"
        assert store.record_photo(*photo_of("b", 1, ok1=Reading(Status.SURE, "AB", 0.99)), at) == (
            Outcome.SEEN_BEFORE,
        )
        chain = json.dumps(list(store.chain()))
        assert ('"AB"' in chain, '"CD"' in chain) == (False, False)


def test_a_description_may_hold_private_texts(store, at):
    store.describe(TABLE, {"contact": Private("555 0100")}, at)

    assert store.table(TABLE).description == {"contact": "555 0100"}
    assert "555 0100" not in str(list(store.chain()))


def test_an_answer_stands_against_ink_that_was_seen_before_it(store, photo_of, at):
    store.record_photo(*photo_of("a", 1, count1=COUNT_3), at)
    store.settle(FORM, "count1", 4, CLERK, at)

    outcome = store.record_photo(*photo_of("b", 1, count1=COUNT_3), at)

    assert outcome == (Outcome.SEEN_BEFORE,)
    assert store.readings(FORM)["count1"] == Reading(Status.SURE, 4, 1.0)


def test_an_answer_is_a_doubt_again_when_later_ink_says_otherwise(store, photo_of, at):
    store.record_photo(*photo_of("a", 1, count1=FAINT_3), at)
    store.settle(FORM, "count1", 4, CLERK, at)

    outcome = store.record_photo(*photo_of("b", 1, count1=COUNT_3), at)

    assert outcome == (Outcome.CONFLICT,)
    assert store.doubts()[0].reading == Reading(Status.DOUBTFUL, 4, 0.5, Why.FILLS_DIFFER)


def test_a_field_that_is_not_on_the_form_can_not_be_settled(store, at):
    with pytest.raises(FieldUnknown):
        store.settle(FORM, "count9", 4, CLERK, at)


def test_a_form_that_is_not_there_can_not_be_settled(store, at):
    with pytest.raises(FormUnknown):
        store.settle("9", "count1", 4, CLERK, at)


def test_a_float_is_not_an_answer(store, at):
    with pytest.raises(BodyNotExact):
        store.settle(FORM, "count1", 4.0, CLERK, at)


# ---- photos set aside


def test_setting_a_photo_aside_ends_the_conflict(store, photo_of, at):
    first, second = (
        photo_of("a", 1, ok1=OK, count1=COUNT_3),
        photo_of("b", 1, count1=FAINT_3, ok1=replace(OK, value=False)),
    )
    store.record_photo(*first, at)
    store.record_photo(*second, at)
    assert store.form(FORM).conflicts == ((1, "ok1"),)

    record = store.set_aside(FORM, (second[0].sha256, 0), CLERK, at)

    assert (record.conflicts, record.doubts) == ((), ())
    assert record.readings == {"ok1": OK, "count1": COUNT_3}
    assert store.photo(second[0].sha256) == second[1]


def test_a_page_whose_only_photo_is_set_aside_is_missing_again(store, photo_of, at):
    shot = photo_of("a", 1, ok1=OK)
    store.record_photo(*shot, at)

    store.set_aside(FORM, (shot[0].sha256, 0), CLERK, at)

    assert store.form(FORM).missing == (1, 2)
    assert store.record_photo(*photo_of("b", 1, ok1=OK), at) == (Outcome.RECORDED,)


def test_a_photo_of_another_form_can_not_be_set_aside(store, at):
    with pytest.raises(PhotoUnknown):
        store.set_aside(FORM, ("ab" * 32, 0), CLERK, at)


def test_a_rebuild_gives_the_same_projections(store, photo_of, at):
    store.record_photo(*photo_of("a", 1, ok1=OUTSIDE, count1=FAINT_3), at)
    store.close_action(TABLE, "B2", ActionResult.NOT_NEEDED, CLERK, at)
    before = (store.tables(), store.forms(), store.doubts())

    store.rebuild()

    assert (store.tables(), store.forms(), store.doubts()) == before


def test_a_store_can_be_opened_again(store, home, layout):
    with Store.open(home) as again:
        assert again.layout_of(FORM) == layout


ODD = "Mill\x00Hall\x01\x02 \x01\x01"


def test_any_character_reads_back_as_it_was_and_is_found(store, at):
    store.move(TABLE, ODD, date(2026, 11, 25), Decision("A\x00B", "sold"), at)
    store.give_contact(TABLE, Contact(ODD), at)

    moved = store.table(TABLE)
    assert (moved.description["site"], moved.contact.name, moved.moves[0].who) == (
        ODD,
        ODD,
        "A\x00B",
    )
    assert [row.site for row in store.search("hall\x01\x02")] == [ODD]
    assert store.search("mill\x00hall") == store.search(TABLE)
    assert store.verify().removed == 0


@pytest.mark.parametrize("word", ["cafe", "CAFÉ", "afé", "strasse", "0199", "o'hare%", "555 bo"])
def test_a_table_is_found_by_any_part_of_any_word_whatever_its_case_and_accents(store, at, word):
    store.move(TABLE, "Café Straße", date(2026, 11, 25), Decision("A", "sold"), at)
    store.give_contact(TABLE, Contact("Bo O'Hare%", "555 0199"), at)

    assert [row.number for row in store.search(word)] == [TABLE]
    assert store.search(f"{word} nowhere") == ()


def test_a_table_is_found_by_the_number_of_a_form_for_it(store, at, layout):
    form = FormNumber.new(Random(3).getrandbits)
    store.print_form(replace(layout, form=form.code), date(2026, 11, 24), at)

    assert [row.number for row in store.search(f" {form} ".lower())] == [TABLE]


def test_how_a_table_stands_is_kept_for_its_program_until_the_next_record(store, at):
    store.stand(TABLE, store.stood(TABLE)._replace(stamp="program", body=b"stands"))
    kept = [store.stood(TABLE).under(one) for one in ("program", "another")]

    store.give_contact(TABLE, Contact("Bo"), at)

    assert (kept, store.stood(TABLE).under("program")) == ([b"stands", None], None)


def test_forms_are_listed_without_their_events(store):
    listed = [(one.number, one.kind, one.printed_on, one.state) for one in store.form_rows(TABLE)]

    assert listed == [(FORM, "service", date(2026, 11, 20), FormState.PRINTED)]


def test_only_tables_on_which_something_waits_are_searched_for_what_it_is(store):
    (seen,) = store.to_reckon().values()
    day = date(2026, 11, 24)
    found = []
    for waits in (0, 1):
        store.reckoned(TABLE, seen, Outlook(1, None, {"notes": [FORM]}, waits), day)
        found.append([row.number for row, _ in store.due(saying='"notes":["')])

    assert found == [[], [TABLE]]


def test_rows_of_tables_that_are_not_there_are_left_out(store):
    assert list(store.rows({TABLE, "999999999"})) == [TABLE]


def test_text_that_is_not_unicode_is_refused(store, at):
    with pytest.raises(BodyNotExact):
        store.give_contact(TABLE, Contact("half \ud800"), at)

    assert store.table(TABLE).contact is None


def test_a_table_that_moved_stands_where_it_went_until_it_is_described_anew(store, at):
    record = store.move(TABLE, "Mill Hall", date(2026, 11, 25), Decision("A", "sold"), at)
    described = store.describe(TABLE, {"name": "Long one", "site": "Elder Quay"}, at)

    assert (record.description["site"], record.here_since) == ("Mill Hall", date(2026, 11, 25))
    assert (described.description["site"], described.here_since) == (
        "Elder Quay",
        date(2026, 11, 25),
    )


def test_where_a_table_went_can_be_forgotten(store, at):
    store.move(TABLE, "Mill Hall", date(2026, 11, 25), Decision("A", "sold"), at)

    store.forget_customer(TABLE, Decision("C", "asked"), at)

    assert store.table(TABLE).moves[0].site is None
    assert store.table(TABLE).description["site"] == "(removed)"
    assert store.search("mill") == ()


def test_nobody_moves_a_table_that_is_not_there(store, at):
    with pytest.raises(TableUnknown):
        store.move("1", "Mill Hall", date(2026, 11, 25), Decision("A", "sold"), at)

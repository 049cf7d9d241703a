import json
from dataclasses import replace
from datetime import date

import pytest

from passport.invented import invented_descriptions
from passport.table import Own, Table
from passport.table_file import read_table
from passport.table_plain import (
    StoredTableDamaged,
    from_plain,
    kit_from_plain,
    kit_to_plain,
    to_plain,
)


@pytest.fixture
def short_table() -> Table:
    name, text = invented_descriptions()[0]
    return read_table(text, name, "401273456")


@pytest.mark.parametrize(("name", "text"), invented_descriptions())
def test_table_comes_back_from_json_as_it_was(name: str, text: str):
    table = read_table(text, name, "401273456")

    assert from_plain(json.loads(json.dumps(to_plain(table)))) == table


def test_kit_comes_back_as_it_was(short_table: Table):
    assert kit_from_plain(kit_to_plain(short_table.kit)) == short_table.kit


def test_kits_own_numbers_come_back_as_they_were(short_table: Table):
    day = date(2026, 5, 4)
    kit = replace(short_table.kit, card_on=day, zero=Own(0.12, 0.06, day), bow=Own(-0.006, 0.004))

    assert kit_from_plain(json.loads(json.dumps(kit_to_plain(kit)))) == kit


def test_older_kit_has_no_numbers_of_its_own(short_table: Table):
    older = kit_to_plain(short_table.kit)
    for key in ("card_on", "zero", "bow"):
        del older[key]

    assert kit_from_plain(older) == short_table.kit


def test_plain_leg_is_as_the_store_has_it(short_table: Table):
    """Stored tables have these names for ever."""
    legs = to_plain(short_table)["legs"]

    assert isinstance(legs, list)
    assert legs[0] == {
        "name": "L1",
        "x_mm": "254",
        "role": "end",
        "foot_spacing_mm": "457.2",
        "foot_type": "stud in leg",
        "thread": {"designation": "3/8-16 UNC", "pitch_mm": "1.5875", "hand": "right"},
        "thread_left_mm": "31.75",
    }


def test_plain_table_has_these_parts(short_table: Table):
    assert list(to_plain(short_table)) == [
        *("number", "name", "site", "board", "legs", "brackets", "targets", "kit", "units"),
        *("assumed", "office_phone", "room", "written", "nuts_by", "build"),
    ]


def test_whole_number_is_stored_like_the_float_that_it_equals(short_table: Table):
    whole = replace(short_table, board=replace(short_table.board, length_mm=2743))
    decimal = replace(short_table, board=replace(short_table.board, length_mm=2743.0))

    assert to_plain(whole) == to_plain(decimal)


def test_older_table_takes_defaults_for_what_it_lacks(short_table: Table):
    older = to_plain(short_table)
    del older["room"], older["written"]

    assert from_plain(older) == replace(short_table, written=())


DAMAGED = [  # key, what stands there instead, what the message says
    ("board", None, "board"),
    ("number", 7, "number"),
    ("legs", "L1", "legs"),
    ("kit", ["x"], "kit"),
    ("assumed", [1], "assumed"),
]


@pytest.mark.parametrize(("key", "found", "what"), DAMAGED)
def test_damaged_table_is_refused(short_table: Table, key: str, found: object, what: str):
    with pytest.raises(StoredTableDamaged) as refused:
        from_plain({**to_plain(short_table), key: found})

    assert str(refused.value) == (
        f"The store holds {found[0] if key == 'assumed' else found!r} where a table's {what} "
        "should be. Don't correct it by hand: restore the store from its last backup."
    )


def test_damaged_number_is_refused(short_table: Table):
    plain = kit_to_plain(short_table.kit)

    with pytest.raises(StoredTableDamaged) as refused:
        kit_from_plain({**plain, "card_mm": "thin"})

    assert (refused.value.what, refused.value.found) == ("card_mm", "thin")


def test_damaged_table_ends_the_command_as_a_damaged_store():
    assert StoredTableDamaged.exit_code == 5

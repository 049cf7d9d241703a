"""``contact``, ``move``, ``search``, ``due``, and where the settings put records and photos."""

import json

from forms.numbers import grouped
from passport.office import open_store
from passport.records import Keeping
from passport.settings import Settings


def registered(typed, description) -> str:
    done = typed("register", description, "--json")
    return json.loads(done.stdout)["tables"][0]["number"]


def test_contact_is_given_bit_by_bit_and_shown(typed, description):
    number = registered(typed, description)

    typed("contact", "--table", number, "--name", "Ann Invented")
    typed("contact", "--table", number, "--phone", "555 0100")

    done = typed("contact", "--table", number)
    assert done.stdout == f"Table {grouped(number)}: Ann Invented, 555 0100.\n"


def test_contact_of_a_new_table_is_nobody(typed, description):
    number = registered(typed, description)

    done = typed("contact", "--table", number, "--json")

    contact = dict.fromkeys(("name", "phone", "email", "note"), "")
    assert json.loads(done.stdout) == {"table": number, "contact": contact}


def test_showing_a_contact_records_nothing(typed, description):
    number = registered(typed, description)
    before = typed("verify").stdout

    typed("contact", "--table", number)

    assert typed("verify").stdout == before


def test_table_is_found_by_words_of_its_site_and_contact(typed, description):
    number = registered(typed, description)
    typed("contact", "--table", number, "--name", "Ann Invented")

    done = typed("search", "ann", "THIMBLE", "--json")

    assert [one["number"] for one in json.loads(done.stdout)["tables"]] == [number]


def test_search_without_a_find_says_so(typed):
    assert typed("search", "nowhere").stdout == "No table has all of these words.\n"


def test_moved_table_stands_where_it_went(typed, description):
    number = registered(typed, description)

    done = typed(
        *("move", "--table", number, "--to", "Mill Hall", "--on", "2026-11-25"),
        *("--who", "C", "--why", "sold"),
    )

    assert done.stdout.startswith(f"Table {grouped(number)} stands in Mill Hall since 2026-11-25.")
    assert json.loads(typed("history", "--table", number, "--json").stdout)["moves"] == [
        {"on": "2026-11-25", "site": "Mill Hall", "why": "sold"}
    ]
    assert "Mill Hall: Nothing was measured yet" in typed("due").stdout


def test_long_due_list_says_where_it_ends(typed, description):
    registered(typed, description)

    assert typed("due", "--limit", 1).stdout.endswith(
        "The list ends after 1 tables; --limit lists more.\n"
    )


def test_database_that_is_not_there_ends_with_5_and_its_address(typed):
    done = typed("--database", "postgresql://office@127.0.0.1:1/records", "due")

    assert (done.exit_code, "office@127.0.0.1:1/records" in done.stderr) == (5, True)


def test_photos_stay_as_they_came_where_the_settings_say_so(tmp_path):
    keeping = [
        open_store(tmp_path / kind, Settings(photos=kind))._keeping
        for kind in ("bare", "originals")
    ]

    assert keeping == [Keeping.BARE, Keeping.ORIGINALS]

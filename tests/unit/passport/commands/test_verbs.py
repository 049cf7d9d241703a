"""Every verb as it is typed: what it prints and how it ends."""

import json
import re
from pathlib import Path

import pypdfium2
import pytest
from click import Group

from forms.numbers import grouped
from passport.cli import main
from passport.commands.demo import FolderInUse
from passport.commands.desk import written
from passport.commands.records import PhotosLost
from passport.office.answers import AnswerUnknown, answer
from passport.office.intake import PathUnknown
from passport.office.printing import FormIncomplete
from passport.office.registering import FileUnreadable

README = (Path(__file__).parents[4] / "README.md").read_text(encoding="utf-8")


def verbs(group: Group = main, before: str = "") -> list[tuple[str, str]]:
    found = []
    for name, command in group.commands.items():
        found.append((f"{before}{name}", command.help or ""))
        if isinstance(command, Group):
            found += verbs(command, f"{before}{name} ")
    return found


@pytest.mark.parametrize(("verb", "words"), verbs())
def test_verb_has_help(verb, words):
    assert re.match(r"[A-Z].*\.$", words.splitlines()[0]), verb


@pytest.mark.parametrize("verb", [name for name, _ in verbs()])
def test_verb_stands_in_readme(verb):
    assert f"table-passport {verb}" in README or f"`{verb}" in README


def registered(typed, description) -> str:
    done = typed("register", description, "--json")
    return json.loads(done.stdout)["tables"][0]["number"]


def test_register_prints_number_and_name(typed, description):
    done = typed("register", description, "--json")

    (table,) = json.loads(done.stdout)["tables"]
    assert (done.exit_code, table["name"], len(table["number"])) == (0, "Nook Table", 9)


def test_registering_again_changes_nothing(typed, description):
    number = registered(typed, description)

    again = typed("register", description)

    assert again.stdout.startswith(f"Table {grouped(number)} unchanged.")


def test_changed_description_updates_its_table(typed, description):
    number = registered(typed, description)
    description.write_text(description.read_text().replace("0.0052", "0.0054"))

    assert typed("register", description).stdout.startswith(f"Table {grouped(number)} updated.")


def test_number_in_a_description_that_nobody_has_is_refused(typed, description):
    description.write_text('number = "401273456"\n' + description.read_text())

    done = typed("register", description)

    assert (done.exit_code, done.stdout) == (4, "")


def test_description_that_is_not_there_leaves_the_others_registered(typed, description, tmp_path):
    done = typed("register", tmp_path / "none.toml", description, "--json")

    assert (done.exit_code, len(json.loads(done.stdout)["tables"])) == (4, 1)


def test_board_that_nothing_can_be_reckoned_of_is_not_registered(typed, description):
    text = re.sub(r"(?m)^length = .*$", 'length = "900000 ft"', description.read_text(), count=1)
    description.write_text(text)

    done = typed("register", description)

    assert (done.exit_code, done.stderr) == (
        4,
        f"{description.name} has 1 thing to put right; nothing of it was stored.\n"
        "- The board is described as 2.7432e+08 × 406.4 × 63.5 mm. Give length, width and "
        "thickness, each from 1 mm to 100 m.\n",
    )


def test_printed_form_leaves_pdf_and_layout(typed, description, tmp_path):
    number = registered(typed, description)
    pdf, layout = tmp_path / "f.pdf", tmp_path / "f.json"

    done = typed("print", "form", "service", "--table", number, "--out", pdf, "--layout", layout)

    kind = json.loads(layout.read_text())["kind"]
    assert (done.exit_code, pdf.read_bytes()[:4], kind) == (0, b"%PDF", "service")


@pytest.mark.parametrize("paper", ["passport", "label", "actions"])
def test_other_papers_are_printed(typed, description, tmp_path, paper):
    number = registered(typed, description)
    pdf = tmp_path / "paper.pdf"

    done = typed("print", paper, "--table", number, "--out", pdf)

    assert (done.exit_code, pdf.read_bytes()[:4]) == (0, b"%PDF")


def test_unknown_table_is_named(typed):
    done = typed("history", "--table", "401273464")

    assert (done.exit_code, done.stderr.startswith("“401273464” can't be a table number")) == (
        4,
        True,
    )


def test_advice_on_a_new_table_says_that_nothing_was_measured(typed, description):
    number = registered(typed, description)

    done = typed("advise", "--table", number, "--json")

    assert json.loads(done.stdout)["verdict"] == "not measured"


def test_history_of_a_new_table_is_empty(typed, description):
    number = registered(typed, description)

    assert typed("history", "--table", number).stdout == "No visit yet.\n"


def test_nothing_waits_in_a_new_home(typed):
    done = typed("doubts")

    assert (done.exit_code, done.stdout) == (0, "Nothing waits.\n")


def test_due_list_names_the_table(typed, description):
    number = registered(typed, description)

    (one,) = json.loads(typed("due", "--json").stdout)["due"]

    assert one["table"] == number


def test_due_list_without_tables_says_so(typed):
    assert typed("due").stdout == "No table is registered.\n"


def test_verify_counts_the_records(typed, description):
    registered(typed, description)

    done = typed("verify", "--json")

    assert json.loads(done.stdout)["events"] == 2


def test_export_is_json(typed, description):
    registered(typed, description)

    assert json.loads(typed("export").stdout)["export"] == 1


def test_export_into_a_file_is_what_stdout_gets_and_leaves_nothing_beside_it(
    typed, description, tmp_path
):
    registered(typed, description)
    out = tmp_path / "new" / "all.csv"
    typed("export", "--format", "events-csv", "--out", str(out))

    assert out.read_bytes() == typed("export", "--format", "events-csv").stdout_bytes
    assert [one.name for one in out.parent.iterdir()] == [out.name]


def test_an_export_that_fails_leaves_the_file_that_was_there(tmp_path):
    def export_until_it_fails():
        with written(out) as text:
            text.write("half")
            raise OSError("no room")

    out = tmp_path / "all.json"
    out.write_text("before")

    with pytest.raises(OSError, match="no room"):
        export_until_it_fails()

    assert {one.name: one.read_text() for one in tmp_path.iterdir()} == {"all.json": "before"}


def test_restored_backup_has_the_same_mark(typed, description, tmp_path):
    registered(typed, description)
    mark = json.loads(typed("verify", "--json").stdout)["head"]
    typed("backup", tmp_path / "copy.zip")

    other = tmp_path / "other"
    done = typed("--home", other, "restore", tmp_path / "copy.zip")

    again = typed("--home", other, "verify", "--json")
    assert (done.exit_code, json.loads(again.stdout)["head"]) == (0, mark)


def test_the_mark_on_next_actions_tells_an_older_copy_from_the_store(typed, description, tmp_path):
    number, other, sheet = registered(typed, description), tmp_path / "other", tmp_path / "a.pdf"
    typed("backup", tmp_path / "old.zip")
    typed("contact", "--table", number, "--name", "Bo Invented")
    typed("print", "actions", "--table", number, "--out", sheet)
    text = pypdfium2.PdfDocument(sheet)[0].get_textpage().get_text_bounded()
    mark = re.search(r"record ([0-9a-f]{8})", text)[1]
    typed("--home", other, "restore", tmp_path / "old.zip")

    here = typed("verify", "--printed", mark)
    there = typed("--home", other, "verify", "--printed", mark)

    assert (here.exit_code, there.exit_code) == (0, 5)


def test_care_pages_are_written(typed, description, tmp_path):
    registered(typed, description)

    said = [typed("care", tmp_path / "care").stdout for _ in range(2)]

    folder = f"1 pages are in {tmp_path / 'care'}: "
    assert said == [
        f"{folder}1 written, 0 as they were; 0 withdrawn ones taken away.\n",
        f"{folder}0 written, 1 as they were; 0 withdrawn ones taken away.\n",
    ]
    assert len(list((tmp_path / "care" / "T").glob("*/index.html"))) == 1


def test_doctor_finds_nothing_missing_where_the_tests_run(typed):
    assert typed("doctor").stdout == "Nothing is missing.\n"


def test_reading_something_that_is_no_picture_says_so(typed, tmp_path):
    path = tmp_path / "text.jpg"
    path.write_text("no picture")

    done = typed("read", path)

    assert (done.exit_code, str(path.name) in done.stdout) == (4, True)


def test_intake_of_a_name_that_is_not_there_is_refused(typed, tmp_path):
    path = tmp_path / "none.jpg"

    done = typed("intake", path)

    assert (done.exit_code, done.stderr) == (
        4,
        f"There is no file or folder {path}. Check the name.\n",
    )


def test_print_actions_without_a_file_asks_for_one(typed, description):
    number = registered(typed, description)

    done = typed("print", "actions", "--table", number)

    assert (done.exit_code, "Name the file to write with --out" in done.stderr) == (2, True)


MESSAGES = [
    (
        FormIncomplete("8K2M4QX07RJ", (2, 3)),
        "Of form 8K2M4QX07RJ these pages are missing: 2, 3. Take them in, then print again; if "
        "they will not come: table-passport close --form 8K2M4QX07RJ --who … --why …",
        3,
    ),
    (
        PhotosLost(["ab" * 32]),
        "1 kept photos are gone or altered: abababababab. "
        "Restore the newest backup that has them into a new folder.",
        5,
    ),
    (
        FolderInUse(Path("papers")),
        "papers is not empty, and the demo never writes over anything. "
        "Name another folder, or take this one away.",
        2,
    ),
    (
        PathUnknown(Path("none")),
        "There is no file or folder none. Check the name.",
        4,
    ),
    (
        FileUnreadable(Path("a.toml"), "No such file or directory"),
        "a.toml can't be read: No such file or directory. Check the name and whether it is text.",
        4,
    ),
    (
        AnswerUnknown("L1 found", "12", "one of -1, 0, 1"),
        "L1 found can't be '12': it takes one of -1, 0, 1, or nothing where nothing is "
        "written. Look at the picture and type that.",
        2,
    ),
]


@pytest.mark.parametrize(("error", "text", "code"), MESSAGES)
def test_message_says_what_was_found_and_what_to_do(error, text, code):
    assert (str(error), error.exit_code) == (text, code)


@pytest.fixture
def fields(sample_form):
    return {field.id: field for block in sample_form.blocks for field in block.fields}


@pytest.mark.parametrize(
    ("field", "text", "value"),
    [
        ("s1.count", "-1", -1),
        ("s1.sign", "+", "+"),
        ("s1.done", "yes", True),
        ("s1.done", "nothing", False),
        ("s1.count", "nothing", None),
        ("s1.size", "12,5", "12.5"),
    ],
)
def test_what_a_person_types_becomes_a_value(fields, field, text, value):
    found = answer(fields[field], text)

    assert (found if found is None or isinstance(value, int | bool) else str(found)) == value


@pytest.mark.parametrize(
    ("field", "text"), [("s1.count", "7"), ("s1.size", "x"), ("s1.size", "1.23"), ("s1.note", "x")]
)
def test_what_a_field_cannot_say_is_refused(fields, field, text):
    with pytest.raises(AnswerUnknown, match=f"^{fields[field].label} can't be '{text}': it takes "):
        answer(fields[field], text)


def test_name_that_is_not_there_harms_no_other(typed, tmp_path):
    path = tmp_path / "text.jpg"
    path.write_text("no picture")

    done = typed("read", tmp_path / "none.jpg", path, "--json")

    assert (done.exit_code, json.loads(done.stdout)["photos"][0]["file"]) == (4, str(path))


def test_forgotten_customer_leaves_a_chain_that_verifies(typed, description):
    number = registered(typed, description)

    done = typed("forget", "--customer", number, "--who", "AB", "--why", "asked for it")

    assert (done.exit_code, typed("verify").exit_code) == (0, 0)


def test_forget_asks_for_one_thing(typed):
    done = typed("forget", "--who", "AB", "--why", "asked for it")

    assert (done.exit_code, "Name one of --person, --form, --customer." in done.stderr) == (2, True)


def test_round_shows_how_far_it_is(typed, description, tmp_path, monkeypatch):
    typed("register", description)
    monkeypatch.setattr("click._termui_impl.isatty", lambda stream: True)

    done = typed("print", "round", "--due", "--kind", "kit", "--out", tmp_path / "round.pdf")

    assert (done.exit_code, "Printing" in done.stderr, "100%" in done.stderr) == (0, True, True)

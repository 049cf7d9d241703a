from pathlib import Path

import pytest

from passport.settings import FILE_NAME, Settings, SettingsUnusable, load


def written(home: Path, text: str) -> Path:
    (home / FILE_NAME).write_text(text, encoding="utf-8")
    return home


def test_home_without_settings_has_the_defaults(tmp_path):
    assert load(tmp_path) == Settings()


def test_settings_say_what_the_office_wrote(tmp_path):
    home = written(
        tmp_path,
        'phone = "+1 555 0100"\ncare_host = "care.example"\n'
        'technicians = ["AB", "CD"]\npaper = "a4"',
    )

    assert load(home) == Settings("+1 555 0100", "care.example", ("AB", "CD"), "a4")


@pytest.mark.parametrize(
    ("text", "found", "cure"),
    [
        ('phon = "1"', "the key phon is unknown", "Did you mean phone?"),
        (
            "zzz = 1",
            "the key zzz is unknown",
            "Known keys: phone, care_host, technicians, paper, desk_address, email, "
            "second_factor, photos, database.",
        ),
        ("phone = 5", "phone is 5", 'Write a text: phone = "…".'),
        ('paper = "a3"', "paper is 'a3'", 'Write "letter" or "a4".'),
        (
            'technicians = "AB"',
            "technicians is 'AB'",
            'Write a list of texts: technicians = ["AB", "CD"].',
        ),
        (
            'desk_address = "desk"',
            "desk_address is 'desk'",
            'Write "http://" or "https://", a host, a port; 30 symbols at most.',
        ),
        ('email = "desk"', "email is 'desk'", 'Write one address: email = "office@…".'),
        (
            'photos = "all"',
            "photos is 'all'",
            'Write "bare" (without the camera\'s notes) or "originals".',
        ),
        (
            'database = "records"',
            "database is 'records'",
            'Write its address: database = "postgresql://user@machine/name".',
        ),
        (
            "phone =",
            "it is not TOML (Invalid value (at end of document))",
            "Correct that place, or delete the file.",
        ),
    ],
)
def test_settings_that_cannot_be_used_say_what_and_how(tmp_path, text, found, cure):
    home = written(tmp_path, text)

    with pytest.raises(SettingsUnusable) as caught:
        load(home)

    assert str(caught.value) == f"{home / FILE_NAME}: {found}. {cure}"

"""``desk`` and who may sign in there."""

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from passport.desk.lines import Patience

Typed = Callable[..., Result]
PASSWORD = "four odd green lamps"


@pytest.fixture
def somebody(typed: Typed) -> None:
    typed("desk", "add", "ann", "--role", "administrator", "--password", PASSWORD)


def test_without_anybody_who_may_sign_in_the_desk_stays_closed(typed: Typed):
    result = typed("desk")

    assert (result.exit_code, result.stderr) == (
        2,
        "Nobody can sign in at the desk yet. Add the first person with: "
        "table-passport desk add NAME --role administrator\n",
    )


def test_people_are_listed(typed: Typed, somebody: None):
    assert typed("desk", "people").stdout == "ann: administrator\n"


def test_people_are_listed_as_json(typed: Typed, somebody: None):
    expected = '{\n "people": [\n  {\n   "name": "ann",\n   "role": "administrator"\n  }\n ]\n}\n'
    assert typed("desk", "people", "--json").stdout == expected


def test_a_new_password_is_given(typed: Typed, somebody: None):
    result = typed("desk", "password", "ann", "--password", "seven slow brown kites")

    assert result.stdout == "ann has a new password.\n"


def test_nobody_can_remove_the_last_administrator(typed: Typed, somebody: None):
    result = typed("desk", "remove", "ann")

    assert (result.exit_code, result.stderr) == (
        2,
        "ann is the last administrator, so nothing was changed. "
        "Make somebody else an administrator first.\n",
    )


def test_who_is_removed_is_gone(typed: Typed, somebody: None):
    typed("desk", "add", "bob", "--password", PASSWORD)
    typed("desk", "remove", "bob")

    assert typed("desk", "people").stdout == "ann: administrator\n"


@pytest.fixture
def served(monkeypatch) -> list:
    """Listen to nothing; keep where, and how patiently, the desk would have."""
    asked = []

    class Nothing:
        def run(self) -> None: ...

    def server(_app, *how):
        asked.append(how)
        return Nothing()

    monkeypatch.setattr("passport.commands.pages.server", server)
    monkeypatch.setattr("passport.commands.pages.stand_by", asked.append)
    return asked


def test_the_desk_listens_on_this_machine_only(typed: Typed, somebody: None, served: list):
    result = typed("desk")

    readers = 2  # stand by: two shots at once wait for none to start
    assert served == [readers, ("127.0.0.1", 8737, Patience())]
    assert (result.stdout, result.stderr) == ("The desk is open at http://127.0.0.1:8737\n", "")


def test_listening_for_others_without_https_is_told(typed: Typed, somebody: None, served: list):
    assert typed("desk", "--host", "0.0.0.0").stderr == (
        "Passwords and pictures travel openly on this network. Let others in only through a "
        "server that speaks HTTPS, or on a network that is yours alone.\n"
    )


def test_a_server_in_front_counts_its_own_lines(
    typed: Typed, somebody: None, served: list, tmp_path: Path
):
    """All lines come from its address."""
    (tmp_path / "home" / "settings.toml").write_text('desk_address = "https://desk.example"\n')
    typed("desk", "--host", "0.0.0.0")

    assert served[-1] == ("0.0.0.0", 8737, Patience(from_one=None))


def test_a_second_factor_that_is_lost_is_taken_away(typed: Typed, somebody: None):
    result = typed("desk", "reset", "ann")

    assert (result.exit_code, result.stdout) == (
        0,
        "ann signs in with the password alone until another second factor is set up.\n",
    )

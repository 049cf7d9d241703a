"""The office's settings: ``settings.toml`` in the home folder."""

import difflib
import re
import tomllib
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from forms.marks import MOST_ADDRESS
from passport.errors import PassportError

FILE_NAME = "settings.toml"
_FORMS = {  # what a text must look like, and what to say when it does not
    "paper": ("letter|a4", 'Write "letter" or "a4".'),
    "desk_address": (
        rf"(?=.{{1,{MOST_ADDRESS}}}$)https?://[A-Za-z0-9.-]+(:[0-9]{{1,5}})?",
        f'Write "http://" or "https://", a host, a port; {MOST_ADDRESS} symbols at most.',
    ),
    "email": (r"[^\s@<>?&]+@[^\s@<>?&]+", 'Write one address: email = "office@…".'),
    "second_factor": (
        "everybody|administrators",
        'Write "everybody", or "administrators" on a network that is closed to others.',
    ),
    "photos": ("bare|originals", 'Write "bare" (without the camera\'s notes) or "originals".'),
    "database": (
        r"postgresql(\+psycopg)?://\S+",
        'Write its address: database = "postgresql://user@machine/name".',
    ),
}


class SettingsUnusable(PassportError):
    """The settings file can't be read, or says something that is not understood."""

    exit_code = 2

    def __init__(self, path: Path, found: str, cure: str):
        super().__init__(f"{path}: {found}. {cure}")


@dataclass(frozen=True)
class Settings:
    """What an office sets once.

    ``care_host`` is the host of the customers' pages, None until there is one; ``paper`` is
    "letter" or "a4". ``desk_address`` is where others reach the desk, None while it serves this
    machine only; forms then carry it in their code. ``email`` is the office's, for customers.
    ``second_factor`` says who can't sign in with a password alone: "everybody", or
    "administrators" where readers and clerks sit on a closed network.
    ``photos`` says whether photos are kept "bare" or as "originals"; ``database`` is the address of
    the PostgreSQL database that offices share, None while the records stand in the home folder.
    """

    phone: str | None = None
    care_host: str | None = None
    technicians: tuple[str, ...] = ()
    paper: str = "letter"
    desk_address: str | None = None
    email: str | None = None
    second_factor: str = "everybody"
    photos: str = "bare"
    database: str | None = None


def load(home: Path) -> Settings:
    """Read the settings of a home folder; without a file, the defaults.

    Raises
    ------
    SettingsUnusable
        The file is not TOML, names an unknown key, or a value is not of its kind.
    """
    path = home / FILE_NAME
    if not path.exists():
        return Settings()
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise SettingsUnusable(
            path, f"it is not TOML ({error})", "Correct that place, or delete the file."
        ) from error
    return Settings(**{key: _value(path, key, value) for key, value in data.items()})


def _value(path: Path, key: str, value: Any) -> Any:
    known = [field.name for field in fields(Settings)]
    if key not in known:
        near = difflib.get_close_matches(key, known, 1)
        cure = f"Did you mean {near[0]}?" if near else f"Known keys: {', '.join(known)}."
        raise SettingsUnusable(path, f"the key {key} is unknown", cure)
    if key == "technicians":
        return _names(path, value)
    if not isinstance(value, str):
        raise SettingsUnusable(path, f"{key} is {value!r}", f'Write a text: {key} = "…".')
    pattern, cure = _FORMS.get(key, ("(?s).*", ""))
    if not re.fullmatch(pattern, value):
        raise SettingsUnusable(path, f"{key} is {value!r}", cure)
    return value


def _names(path: Path, value: Any) -> tuple[str, ...]:
    if not isinstance(value, list) or not all(isinstance(name, str) for name in value):
        raise SettingsUnusable(
            path, f"technicians is {value!r}", 'Write a list of texts: technicians = ["AB", "CD"].'
        )
    return tuple(value)

"""One section of a description: values by key, with what was written, assumed and wrong."""

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import TypeVar

from passport.description.errors import (
    DescriptionProblem,
    MissingKey,
    TextTooLong,
    UnknownChoice,
    UnknownKey,
    UnprintableText,
    WrongType,
)
from passport.errors import PassportError
from passport.quantity import Written

Choice = TypeVar("Choice", bound=StrEnum)
Parse = Callable[[str, str], Written]

TEXT_MOST = 60  # characters on a printed line
SPELLED = {"center": "centre"}  # spellings that mean the same


class Section:
    """Values of one ``[section]`` of a file.

    A getter returns None for a value that is wrong (then ``problems`` has grown) or, where the
    getter says so, for one that was left out. ``assumed`` and ``written`` grow as values are read.
    """

    def __init__(
        self,
        name: str,
        values: object,
        known: Sequence[str],
        problems: list[PassportError],
    ):
        self.name, self.problems = name, problems
        self.assumed: list[str] = []
        self.written: dict[str, str] = {}
        self.values: Mapping[str, object] = {}
        if not isinstance(values, dict):
            self.wrong(
                WrongType(name, values, f"its values as a section of keys: {', '.join(known)}")
            )
            return
        self.values = values
        for key in values:
            if key not in known:
                self.wrong(UnknownKey(self.path(key), known))

    def path(self, key: str) -> str:
        """Key with its section, as messages name it."""
        return f"{self.name}.{key}" if self.name else key

    def wrong(self, problem: DescriptionProblem) -> None:
        """Take note of a problem and go on."""
        self.problems.append(problem)

    def found(self, key: str) -> str:
        """Show what stands there, for a message: as written, else as assumed."""
        return self.written.get(key, "nothing")

    def quoted(self, key: str) -> str:
        """Show what stands there in quotes, and say so if it is assumed."""
        return f"'{self.found(key)}'{' (assumed)' if key in self.assumed else ''}"

    def quantity(self, key: str, parse: Parse) -> Fraction | None:
        """Read a quantity; None if it was left out or is wrong (SI unit of its kind)."""
        value = self.values.get(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, str | int | Decimal):
            self.wrong(WrongType(self.path(key), value, "a number with its unit, in quotes"))
            return None
        try:
            written = parse(str(value), self.path(key))
        except PassportError as problem:
            self.problems.append(problem)
            return None
        self.written[key] = written.text
        return written.value

    def quantity_or(self, key: str, parse: Parse, practice: str | None) -> Fraction | None:
        """Read a quantity, or take what common practice has there, noted as assumed."""
        if key in self.values or practice is None:
            return self.quantity(key, parse)
        self.assumed.append(key)
        self.written[key] = practice
        return parse(practice, self.path(key)).value

    def text(self, key: str) -> str | None:
        """Text of one line; None if it was left out or is wrong."""
        value = self.values.get(key)
        if value is None:
            return None
        if not isinstance(value, str) or not value.strip():
            self.wrong(WrongType(self.path(key), value, "text in quotes"))
            return None
        return self._line(key, " ".join(value.split()))

    def _line(self, key: str, line: str) -> str | None:
        """Give a line back if paper can hold it."""
        unprintable = next((c for c in line if not c.isprintable()), None)
        if unprintable is not None:
            self.wrong(UnprintableText(self.path(key), unprintable))
            return None
        if len(line) > TEXT_MOST:
            self.wrong(TextTooLong(self.path(key), len(line), TEXT_MOST))
            return None
        return line

    def text_or(self, key: str, practice: str) -> str:
        """Text, or what common practice has there, noted as assumed."""
        if key in self.values:
            return self.text(key) or practice
        self.assumed.append(key)
        return practice

    def needed(self, key: str, what: str) -> bool:
        """Whether a value that nobody can assume is there; if not, that is a problem."""
        if key not in self.values:
            self.wrong(MissingKey(self.path(key), what))
        return key in self.values

    def choice(self, key: str, choices: type[Choice]) -> Choice | None:
        """One of a closed list of words; None if it was left out or is wrong."""
        value = self.text(key)
        if value is None:
            return None
        word = SPELLED.get(value.lower(), value.lower())
        if word not in [choice.value for choice in choices]:
            listed = [choice.value for choice in choices]
            self.wrong(UnknownChoice(self.path(key), value, listed))
            return None
        return choices(word)


def sections_of(
    name: str, values: object, known: Sequence[str], problems: list[PassportError]
) -> list[Section]:
    """Each ``[[name]]`` of a file as its own section, numbered from 1 in the file's order."""
    if not isinstance(values, list):
        wanted = f"each one under its own [[{name}]], in double brackets"
        problems.append(WrongType(name, values, wanted))
        return []
    return [
        Section(f"{name}.{number}", entry, known, problems)
        for number, entry in enumerate(values, start=1)
    ]

"""One exact text for each record, so that its hash is the same on every machine.

It is the JSON Canonicalization Scheme of RFC 8785, so that anyone can check a chain with a library
of their own; floats and integers that a double can't hold are refused rather than rounded.
"""

import hashlib
import hmac
import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from passport.records.errors import BodyNotExact
from scan.reading import Reading, Status, Value, Why

PRIVATE = "private"  # the only key of the object that stands in a record for a private text
LARGEST_INTEGER = 2**53 - 1  # RFC 8785, appendix D: larger ones are written as text
DECIMAL = "decimal"  # the only key of the object that stands for a decimal number


@dataclass(frozen=True)
class Private:
    """A text that is kept beside the chain; the chain holds its salted hash only."""

    text: str


@dataclass(frozen=True)
class Sealed:
    """A private text with its salt and the hash that stands in the chain."""

    hash: str
    salt: bytes
    text: str


def canonical(body: Any) -> str:
    """Write a body as its one exact text.

    Raises
    ------
    BodyNotExact
        A float, an integer beyond ``LARGEST_INTEGER``, an unknown type, a key that is not text, or
        text that is not Unicode.

    References
    ----------
    RFC 8785, section 3.2: strings as ECMAScript writes them, keys sorted, no blanks.
    """
    exact = _exact(body, "the top")
    return json.dumps(exact, ensure_ascii=False, separators=(",", ":"))


def seal(text: str, salt: bytes) -> Sealed:
    """Salted hash of a private text: HMAC-SHA-256 with the salt as its key (RFC 2104)."""
    digest = hmac.new(salt, text.encode(), hashlib.sha256).hexdigest()
    return Sealed(digest, salt, text)


def sealed(body: Any, salts: Callable[[], bytes]) -> tuple[Any, tuple[Sealed, ...]]:
    """Take the private texts out of a body; their hashes stand in their places.

    Returns
    -------
    tuple
        The body without private texts, and the texts in the order they stood in. A text that is
        ``Sealed`` already is kept elsewhere by whoever sealed it.

    Raises
    ------
    BodyNotExact
        The body already holds what only a private text may leave behind.
    """
    taken: list[Sealed] = []

    def swap(value: Any) -> Any:
        match value:
            case Private(text):
                taken.append(seal(_text(text, "a private text"), salts()))
                return {PRIVATE: taken[-1].hash}
            case Sealed(digest):
                return {PRIVATE: digest}
            case {"private": str()} if len(value) == 1:
                raise BodyNotExact("a place of its own", value)
            case Mapping():
                return {key: swap(inner) for key, inner in value.items()}
            case list() | tuple():
                return [swap(inner) for inner in value]
            case _:
                return value

    return swap(body), tuple(taken)


def opened(body: Any, texts: Mapping[str, str]) -> Any:
    """Put private texts back into a body; None where a text was removed."""
    match body:
        case {"private": str(digest)} if len(body) == 1:
            return texts.get(digest)
        case dict():
            return {key: opened(inner, texts) for key, inner in body.items()}
        case list():
            return [opened(inner, texts) for inner in body]
        case _:
            return body


def private_hashes(body: Any) -> Iterator[str]:
    """Hashes of the private texts that a body refers to."""
    match body:
        case {"private": str(digest)} if len(body) == 1:
            yield digest
        case dict():
            for inner in body.values():
                yield from private_hashes(inner)
        case list():
            for inner in body:
                yield from private_hashes(inner)


def value_json(value: Value) -> Any:
    """Exact form of a field's value; a decimal number carries its tag and keeps its digits."""
    if isinstance(value, Decimal):
        if not value.is_finite():
            raise BodyNotExact("a field's value", value)
        return {DECIMAL: str(value)}
    return value


def value_of(data: Any) -> Value:
    """Read a value back: the same type, the same digits."""
    match data:
        case {"decimal": str(digits)}:
            return Decimal(digits)
        case bool() | int() | str() | None:
            return data
        case _:
            raise BodyNotExact("a field's value", data)


def reading_json(reading: Reading) -> dict[str, Any]:
    """Exact form of a reading; the confidence is text, what is None is left out."""
    data = {
        "status": reading.status.value,
        "value": value_json(reading.value),
        "confidence": repr(float(reading.confidence)),
        "why": None if reading.why is None else reading.why.value,
        "crop": reading.crop,
        "ink": reading.ink,
    }
    return {key: value for key, value in data.items() if value is not None}


def reading_of(data: Mapping[str, Any]) -> Reading:
    """Read a reading back."""
    return Reading(
        Status(data["status"]),
        value_of(data.get("value")),
        float(data["confidence"]),
        Why(data["why"]) if "why" in data else None,
        data.get("crop"),
        data.get("ink"),
    )


def personal_json(value: Value) -> Any:
    """Exact form of a value that may name a person: its text is kept beside the chain."""
    return Private(value) if isinstance(value, str) else value_json(value)


def readings_json(
    readings: Mapping[str, Reading], personal: frozenset[str] = frozenset()
) -> dict[str, Any]:
    """Exact form of the readings of one page; ``personal`` fields may name a person.

    So may a note, and a cut-out of either: its name, which tells its hash, stands beside the chain.
    """
    exact = {field: reading_json(reading) for field, reading in readings.items()}
    for field, reading in readings.items():
        if field in personal:
            exact[field]["value"] = personal_json(reading.value)
        if reading.crop is not None and (field in personal or reading.ink is not None):
            exact[field]["crop"] = Private(reading.crop)
    return exact


def readings_of(data: Mapping[str, Any]) -> dict[str, Reading]:
    """Read the readings of one page back."""
    return {field: reading_of(reading) for field, reading in data.items()}


def with_crop(reading: Reading, crop: str | None) -> Reading:
    """Copy a reading with another name of its cut-out."""
    return replace(reading, crop=crop)


def _exact(value: Any, where: str) -> Any:
    """Check a value, and put the keys of its objects in order."""
    match value:
        case str():
            return _text(value, where)
        case bool() | None:
            return value
        case int() if abs(value) <= LARGEST_INTEGER:
            return value
        case Mapping():
            keys = sorted((_text(key, where) for key in value), key=_utf_16)
            return {key: _exact(value[key], f"{where} / {key}") for key in keys}
        case list() | tuple():
            return [_exact(inner, f"{where} / {place}") for place, inner in enumerate(value)]
        case _:
            raise BodyNotExact(where, value)


def _text(text: object, where: str) -> str:
    if not isinstance(text, str):
        raise BodyNotExact(where, text)
    try:
        text.encode()
    except UnicodeEncodeError as error:
        raise BodyNotExact(where, text) from error
    return text


def _utf_16(key: str) -> bytes:
    """RFC 8785, 3.2.3: keys are in the order of their UTF-16 code units."""
    return key.encode("utf-16-be")

"""The hash chain: each record's hash covers the one before it.

hash = SHA-256(previous hash as 64 hexadecimal digits + canonical JSON of the record), where the
record is the object ``{"at", "body", "kind", "seq", "subject"}``. SHA-256: FIPS 180-4; canonical
JSON: RFC 8785.
"""

import hashlib
import json
from collections.abc import Mapping
from typing import Any

from passport.records.canonical import PRIVATE, canonical
from passport.records.errors import BodyNotExact, ChainBroken

GENESIS = "0" * 64  # stands before the first record
PRINTED_SYMBOLS = 8  # of the head hash, on every next-actions sheet


def record_hash(previous: str, record: dict[str, Any]) -> str:
    """Hash of a record behind ``previous``, as 64 hexadecimal digits."""
    return hashlib.sha256((previous + canonical(record)).encode()).hexdigest()


def text_hash(previous: str, row: Mapping[str, Any]) -> str:
    """Hash of a record whose body is written already; the same as ``record_hash`` of it.

    ``row`` has ``at``, ``kind``, ``subject``, ``seq`` and the canonical text of ``body``. The text
    is put together from its parts, so that a body is neither parsed nor written again.
    """
    at, kind, subject = (canonical(row[key]) for key in ("at", "kind", "subject"))
    head = f'{{"at":{at},"body":{row["body"]},"kind":{kind},'
    text = f'{head}"seq":{row["seq"]},"subject":{subject}}}'
    return hashlib.sha256((previous + text).encode()).hexdigest()


def checked(row: Any, previous: str, seq: int) -> dict[str, Any]:
    """Compare a stored row with its own hash and its place in the chain.

    Parameters
    ----------
    row : Row
        The row of the events table.
    previous : str
        Hash of the row before it, as recomputed.
    seq : int
        Number that this row must have.

    Returns
    -------
    dict
        The event's body, if private texts stand beside it; else nothing.

    Raises
    ------
    ChainBroken
        The row is missing, out of place or altered.
    """
    if row.seq != seq:
        raise ChainBroken(seq, f"it is missing, record {row.seq} stands in its place")
    if row.previous != previous:
        raise ChainBroken(seq, f"it does not follow record {seq - 1}")
    try:
        whole = text_hash(previous, row._mapping) == row.hash
    except (BodyNotExact, UnicodeEncodeError):
        whole = False
    if not whole:
        raise ChainBroken(seq, _what_is_wrong(row))
    return json.loads(row.body) if PRIVATE in row.body else {}


def _what_is_wrong(row: Any) -> str:
    """Say why a body does not give its hash."""
    try:
        exact = canonical(json.loads(row.body)) == row.body
    except (ValueError, BodyNotExact):
        return "its content can't be read"
    return (
        "its content does not give its hash"
        if exact
        else "its content is not written the exact way"
    )

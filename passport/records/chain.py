"""The hash chain: each record's hash covers the one before it.

hash = SHA-256(previous hash as 64 hexadecimal digits + canonical JSON of the record), where the
record is the object ``{"at", "body", "kind", "seq", "subject"}``. SHA-256: FIPS 180-4; canonical
JSON: RFC 8785.
"""

import hashlib
import json
from typing import Any

from passport.records.canonical import canonical
from passport.records.errors import BodyNotExact, ChainBroken

GENESIS = "0" * 64  # stands before the first record
PRINTED_SYMBOLS = 8  # of the head hash, on every next-actions sheet


def record_hash(previous: str, record: dict[str, Any]) -> str:
    """Hash of a record behind ``previous``, as 64 hexadecimal digits."""
    return hashlib.sha256((previous + canonical(record)).encode()).hexdigest()


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
        The event's body.

    Raises
    ------
    ChainBroken
        The row is missing, out of place or altered.
    """
    if row.seq != seq:
        raise ChainBroken(seq, f"it is missing, record {row.seq} stands in its place")
    if row.previous != previous:
        raise ChainBroken(seq, f"it does not follow record {seq - 1}")
    body = _exact_body(row)
    record = {
        "at": row.at, "body": body, "kind": row.kind, "seq": row.seq, "subject": row.subject
    }  # fmt: skip
    if record_hash(previous, record) != row.hash:
        raise ChainBroken(seq, "its content does not give its hash")
    return body


def _exact_body(row: Any) -> dict[str, Any]:
    try:
        body: dict[str, Any] = json.loads(row.body)
        exact = canonical(body) == row.body
    except (ValueError, BodyNotExact) as error:
        raise ChainBroken(row.seq, "its content can't be read") from error
    if not exact:
        raise ChainBroken(row.seq, "its content is not written the exact way")
    return body

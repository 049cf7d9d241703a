"""How a table stands, as bytes, with what the visits before its last came to.

Going through all visits of a table takes some 25 ms for each. With what was believed before the
last one, another visit, or a change of the last one, takes as long as that one alone, in whichever
process. Whether these bytes are of the same history is told by its content.
"""

import zlib
from dataclasses import dataclass, replace
from functools import cached_property
from hashlib import sha256
from typing import NamedTuple

import numpy as np
from msgspec import msgpack

from passport.leveling.nut_prior import nut_prior
from passport.leveling.posterior.filter import Belief, believed_after, start_from
from passport.leveling.posterior.nuts import NutSites
from passport.leveling.posterior.sites import Floats, Gaussian
from passport.leveling.standing import Standing, Start, standing
from passport.table import BuildNuts, Table
from passport.visit import Visit


class _Believed(NamedTuple):
    """A belief as bytes of eight-byte floats, the lowest byte first."""

    mean: bytes
    covariance: bytes
    nuts_precision: bytes
    nuts_shift: bytes
    facing: tuple[int, ...]
    strange: tuple[int, ...]


class _Kept(NamedTuple):
    """How a table stands after all its visits, and what was believed before the last of them.

    ``stamp`` is of the program, ``build`` what the table's build had taught; ``before`` and
    ``whole`` name the history without and with its last visit.
    """

    stamp: str
    build: BuildNuts | None
    before: bytes
    whole: bytes
    believed: _Believed | None
    standing: Standing


@dataclass(frozen=True)
class History:
    """A table's visits, oldest first, and the stamp of the program that reckons with them."""

    stamp: str
    table: Table
    visits: tuple[Visit, ...]

    @cached_property
    def names(self) -> tuple[bytes, ...]:
        """Name the history up to each visit by its content; nothing personal goes into it."""
        impersonal = replace(self.table, name="", site="", office_phone=None, office_email=None)
        name, names = sha256(_CONTENT.encode(impersonal)).digest(), list[bytes]()
        for visit in self.visits:
            said = replace(visit, technician=None, notes={})
            name = sha256(name + _CONTENT.encode(said)).digest()
            names.append(name)
        return tuple(names)


def standing_bytes(history: History, standing: Standing) -> bytes:
    """Write how a table stands after its visits."""
    before, whole = (b"", b"", *history.names)[-2:]
    earlier = history.visits[:-1]
    believed = _written(believed_after(history.table, earlier)) if earlier else None
    kept = _Kept(history.stamp, history.table.build_nuts, before, whole, believed, standing)
    return zlib.compress(msgpack.encode(kept), 1)


def standing_of_bytes(history: History, body: bytes) -> Standing:
    """Read it back; a map or a form that wants more starts from what was believed then."""
    kept = _read(body)
    if kept.believed is not None:
        start_from(history.table, history.visits[:-1], _belief(history.table, kept.believed))
    return kept.standing


def build_of_bytes(body: bytes) -> BuildNuts | None:
    """Say what the table's build had taught then."""
    return _read(body).build


def stands(history: History, former: bytes | None) -> Standing:
    """Say how a table stands: as it stood before, or gone on from there, or reckoned anew.

    Parameters
    ----------
    history : History
        The table's visits as they are now.
    former : bytes, optional
        How it stood before, whatever was recorded since and whoever wrote it.
    """
    kept = None if former is None else _read(former)
    if kept is None or kept.stamp != history.stamp:
        return standing(history.table, history.visits)
    if history.names[-1:] == (kept.whole,):
        return kept.standing
    return standing(history.table, history.visits, _start(history, kept))


def _start(history: History, kept: _Kept) -> Start | None:
    """Say from where to go on; None where another history is kept."""
    if kept.believed is None:
        return None
    belief = _belief(history.table, kept.believed)
    earlier, stood = history.names[:-1], kept.standing
    if kept.whole in earlier:
        count = earlier.index(kept.whole) + 1
        return Start(count - 1, belief, count, stood.advice, stood.passed)
    if kept.before in earlier and stood.former is not None:
        count = earlier.index(kept.before) + 1
        return Start(count, belief, count, stood.former, stood.passed[:-1])
    return None


def _read(body: bytes) -> _Kept:
    return _KEPT.decode(zlib.decompress(body))


_KEPT = msgpack.Decoder(_Kept)
_CONTENT = msgpack.Encoder(order="deterministic")


def _written(belief: Belief) -> _Believed:
    arrays = (*vars(belief.lasting).values(), belief.nuts.precision, belief.nuts.shift)
    mean, covariance, precision, shift = (one.astype("<f8").tobytes() for one in arrays)
    return _Believed(mean, covariance, precision, shift, belief.facing, belief.strange)


def _belief(table: Table, kept: _Believed) -> Belief:
    mean, precision, shift = map(_floats, (kept.mean, kept.nuts_precision, kept.nuts_shift))
    lasting = Gaussian(mean, _floats(kept.covariance).reshape(len(mean), -1))
    nuts = NutSites(precision, shift, nut_prior(table))
    return Belief(lasting, nuts, kept.facing, kept.strange)


def _floats(written: bytes) -> Floats:
    return np.frombuffer(written, "<f8").astype(np.float64)

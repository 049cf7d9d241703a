"""Files on their way in, from a browser or a watched folder: each ends in a clear state."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from forms.errors import UserError
from forms.numbers import FormNumber
from passport.desk.arrivals import Arrival
from passport.desk.here import Desk
from passport.office.intake import State, Taken, intake
from passport.records.errors import StoreError
from passport.records.files import sha256

LONGEST_NAME = 80


@dataclass(frozen=True)
class Brought:
    """One file as it came. The name is only shown; it never names a file here."""

    name: str
    content: bytes


def take(
    desk: Desk, files: Iterable[Brought], who: str, typed: FormNumber | None = None
) -> Iterator[Arrival]:
    """Take in files one after the other, and remember how each ended.

    Parameters
    ----------
    desk : Desk
        Where they came to.
    files : iterable of Brought
        What came.
    who : str
        Who brought them.
    typed : FormNumber, optional
        The form that they are said to show, for pages whose code can't be read.
    """
    for one in files:
        arrival = _arrival(desk, one, who, _taken(desk, one, typed))
        desk.arrivals.add(arrival)
        yield arrival


def _taken(desk: Desk, one: Brought, typed: FormNumber | None) -> Taken:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "This file"  # so messages call it
        path.write_bytes(one.content)
        try:
            return next(intake(desk.office, [path], typed=typed))
        except StoreError:
            raise  # the file may be sound: it can be brought again
        except UserError as error:
            return Taken("", State.CANNOT_BE_USED, (), (str(error),))


def _arrival(desk: Desk, one: Brought, who: str, taken: Taken) -> Arrival:
    pages = tuple((form, page, outcome.value) for form, page, outcome in taken.pages)
    return Arrival(
        file=one.name[:LONGEST_NAME] or "without a name",
        sha256=sha256(one.content),
        who=who,
        at=desk.office.now(),
        state=taken.state.value,
        pages=pages,
        messages=taken.messages,
    )

"""What can go wrong with records, and what the user is told.

PassportError
└── RecordsError              exit code 4: something given could not be used
    ├── BodyNotExact          a record would hold something that does not read back the same
    ├── TableExists           a table number that is already in use
    ├── TableUnknown          a table number that is not in the store
    ├── FormExists            a form number that is already in use
    ├── FormUnknown           a form number that is not in the store
    ├── FieldUnknown          a field that is not on the form
    ├── PhotoUnknown          a photo that is not kept, or not of this form
    ├── PhotoForgotten        a photo that was removed because someone asked for it
    ├── NothingToForget       nothing personal is there, or nobody of that name
    ├── PhotoChanged          a file that is no longer what was read
    ├── CropMissing           a cut-out that the reader named and that is not there
    ├── CareTokenTaken        a care address that another table already has
    ├── BackupUnusable        a backup that can't be restored
    ├── HomeNotEmpty          a restore onto a folder that holds something
    └── StoreError            exit code 5: the store itself
        ├── HomeUnusable      the folder can't be made, read or written
        ├── DiskFull          no room left
        ├── DatabaseUnusable  the shared database can't be reached, or refuses
        ├── DriverMissing     the package that speaks to it is not installed
        ├── StoreFull         no room left where the shared database stands
        ├── StoreNotEmpty     a copy onto a store that has records
        ├── StoreLocked       someone else is writing for too long
        ├── StoreNewer        made by a later version of this program
        ├── StoreDamaged      the file is not a store, or broken
        ├── ChainBroken       a record was altered
        └── ChainCut          records are missing at the end
"""

from pathlib import Path

from passport.errors import PassportError


class RecordsError(PassportError):
    """Something about the store or what goes into it."""


class BodyNotExact(RecordsError):
    """A record keeps whole numbers and text only, so that its hash is the same everywhere."""

    def __init__(self, where: str, found: object):
        self.where, self.found = where, found
        super().__init__(
            f"A record can't hold {found!r} ({type(found).__name__}) at {where}: "
            "it would not read back exactly. Write it as a whole number or as text."
        )


class TableExists(RecordsError):
    """A number names one table."""

    def __init__(self, number: str):
        self.number = number
        super().__init__(
            f"Table {number} is already registered. "
            "Take a new number, or update the table that has this one."
        )


class TableUnknown(RecordsError):
    """No table has this number."""

    def __init__(self, number: str):
        self.number = number
        super().__init__(
            f"There is no table {number} in this store. "
            "Check the number on the table's label, or register the table first."
        )


class FormExists(RecordsError):
    """A form number names one printed copy."""

    def __init__(self, form: str):
        self.form = form
        super().__init__(
            f"Form {form} is already in this store with another layout. "
            "Print the form again: each print gets a number of its own."
        )


class FormUnknown(RecordsError):
    """No form has this number."""

    def __init__(self, form: str):
        self.form = form
        super().__init__(
            f"There is no form {form} in this store. Check the number printed beside the code; "
            "if the form was printed elsewhere, bring its layout file in first."
        )


class FieldUnknown(RecordsError):
    """The form has no such field."""

    def __init__(self, form: str, field: str):
        self.form, self.field = form, field
        super().__init__(
            f"Form {form} has no field {field!r}. Choose one of the fields that its layout names."
        )


class PhotoUnknown(RecordsError):
    """The photo is not there."""

    def __init__(self, sha256: str, where: str):
        self.sha256, self.where = sha256, where
        super().__init__(
            f"Photo {sha256[:12]} is not kept in {where}. "
            "Take in the photo again, or restore the newest backup that has it."
        )


class PhotoForgotten(RecordsError):
    """The photo was removed on purpose."""

    def __init__(self, sha256: str):
        self.sha256 = sha256
        super().__init__(
            f"Photo {sha256[:12]} was removed because someone asked for it. "
            "What was read from it stands in the history; the paper itself may be looked at."
        )


class NothingToForget(RecordsError):
    """There is nothing of the kind to remove."""

    def __init__(self, person: str | None):
        self.person = person
        found = (
            "Nothing personal is left there" if person is None else f"No record names {person!r}"
        )
        super().__init__(
            f"{found}, so nothing was removed. "
            "Check the name as it is written in the records, or the number."
        )


class PhotoChanged(RecordsError):
    """The bytes to be kept are not the bytes that were read."""

    def __init__(self, file: str, read: str, found: str):
        self.file, self.read, self.found = file, read, found
        super().__init__(
            f"{file} was read as {read[:12]} but is now {found[:12]}: the file has changed since. "
            "Read it again."
        )


class CropMissing(RecordsError):
    """The reader named a cut-out that is not in its folder."""

    def __init__(self, crop: str, folder: Path):
        self.crop, self.folder = crop, folder
        super().__init__(
            f"The cut-out {crop} is not in {folder}. "
            "Read the photo again with a folder for cut-outs."
        )


class CareTokenTaken(RecordsError):
    """Two tables can't share a care address."""

    def __init__(self, number: str):
        self.number = number
        super().__init__(
            f"The care address meant for table {number} already belongs to another table. "
            "Make a new one."
        )


class BackupUnusable(RecordsError):
    """A backup that can't be restored."""

    def __init__(self, path: Path, found: str):
        self.path, self.found = path, found
        super().__init__(
            f"{path} can't be restored: {found}. Nothing was changed. Use another backup."
        )


class HomeNotEmpty(RecordsError):
    """A restore never writes over anything."""

    def __init__(self, home: Path):
        self.home = home
        super().__init__(
            f"{home} is not empty, and a restore never writes over anything. "
            "Name a new folder, or move this one away first."
        )


class StoreError(RecordsError):
    """The store itself can't be used."""

    exit_code = 5


class HomeUnusable(StoreError):
    """The folder of the store can't be used."""

    def __init__(self, home: Path, found: str):
        self.home, self.found = home, found
        super().__init__(
            f"The store's folder {home} can't be used: {found}. "
            "Choose another folder, or ask whoever looks after this machine for the right to write "
            "there."
        )


class DiskFull(StoreError):
    """No room left; what was already recorded is whole."""

    def __init__(self, home: Path):
        self.home = home
        super().__init__(
            f"The disk that holds {home} is full. What was recorded before is whole; "
            "the last thing was not recorded. Make room and do it again."
        )


class DatabaseUnusable(StoreError):
    """The database that offices share can't be used."""

    def __init__(self, address: str, found: str):
        self.address, self.found = address, found
        super().__init__(
            f"The shared database {address} can't be used: {found}. Nothing was recorded. "
            "See whether its machine is on and reachable, and whether the address is right."
        )


class DriverMissing(StoreError):
    """The package that speaks to the shared database is missing on this machine."""

    def __init__(self, address: str):
        self.address = address
        super().__init__(
            f"The shared database {address} needs a package that is not installed here. "
            "Install it with: pip install 'table-passport[postgresql]'."
        )


class StoreFull(StoreError):
    """No room left where the shared database stands."""

    def __init__(self, address: str):
        self.address = address
        super().__init__(
            f"The disk of the shared database {address} is full. What was recorded before is "
            "whole; the last thing was not recorded. Have room made there and do it again."
        )


class StoreNotEmpty(StoreError):
    """A copy never writes over records."""

    def __init__(self, events: int):
        self.events = events
        super().__init__(
            f"The store to copy into already has {events} records, and nothing was copied. "
            "Name a new database or a new folder."
        )


class StoreLocked(StoreError):
    """Someone else holds the store for too long."""

    def __init__(self, home: Path, waited_s: float):
        self.home, self.waited_s = home, waited_s
        super().__init__(
            f"The store in {home} was busy for {waited_s:g} seconds and nothing was recorded. "
            "See whether another window or program is working on it, then do it again."
        )


class StoreNewer(StoreError):
    """Made by a later version."""

    def __init__(self, home: Path, found: str):
        self.home, self.found = home, found
        super().__init__(
            f"The store in {home} was written by a later version of this program ({found}). "
            "Nothing was changed. Install that version or a later one."
        )


class StoreDamaged(StoreError):
    """The file is not a store any more."""

    def __init__(self, home: Path, found: str):
        self.home, self.found = home, found
        super().__init__(
            f"The store in {home} is damaged: {found}. Keep a copy of the folder as it is, "
            "then restore the newest backup into a new folder."
        )


class ChainBroken(StoreError):
    """A record is not what was written."""

    def __init__(self, seq: int, found: str):
        self.seq, self.found = seq, found
        super().__init__(
            f"Record {seq} is not as it was written: {found}. Keep a copy of the folder as it is, "
            "then restore a backup from before the change."
        )


class ChainCut(StoreError):
    """The printed head is nowhere in the chain."""

    def __init__(self, printed: str, last: int):
        self.printed, self.last = printed, last
        super().__init__(
            f"The printed mark {printed} belongs to none of the {last} records: some are missing "
            "at the end, or the sheet is from another store. Look for the newest backup with it."
        )

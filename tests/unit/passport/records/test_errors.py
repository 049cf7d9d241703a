import inspect
from pathlib import Path

import pytest

from passport.records import errors

HOME = Path("/store")
CASES = [
    (
        errors.BodyNotExact("the top / a", 1.5),
        "A record can't hold 1.5 (float) at the top / a: it would not read back exactly. "
        "Write it as a whole number or as text.",
    ),
    (
        errors.TableExists("123456789"),
        "Table 123456789 is already registered. "
        "Take a new number, or update the table that has this one.",
    ),
    (
        errors.TableUnknown("123456789"),
        "There is no table 123456789 in this store. "
        "Check the number on the table's label, or register the table first.",
    ),
    (
        errors.FormExists("8ZK3"),
        "Form 8ZK3 is already in this store with another layout. "
        "Print the form again: each print gets a number of its own.",
    ),
    (
        errors.FormUnknown("8ZK3"),
        "There is no form 8ZK3 in this store. Check the number printed beside the code; "
        "if the form was printed elsewhere, bring its layout file in first.",
    ),
    (
        errors.FieldUnknown("8ZK3", "count9"),
        "Form 8ZK3 has no field 'count9'. Choose one of the fields that its layout names.",
    ),
    (
        errors.PhotoUnknown("0123456789abcdef", "form 8ZK3"),
        "Photo 0123456789ab is not kept in form 8ZK3. "
        "Take in the photo again, or restore the newest backup that has it.",
    ),
    (
        errors.DatabaseUnusable("postgresql://office@shelf/records", "connection refused"),
        "The shared database postgresql://office@shelf/records can't be used: connection refused. "
        "Nothing was recorded. "
        "See whether its machine is on and reachable, and whether the address is right.",
    ),
    (
        errors.DriverMissing("postgresql://office@shelf/records"),
        "The shared database postgresql://office@shelf/records needs a package that is not "
        "installed here. Install it with: pip install 'table-passport[postgresql]'.",
    ),
    (
        errors.StoreFull("postgresql://office@shelf/records"),
        "The disk of the shared database postgresql://office@shelf/records is full. What was "
        "recorded before is whole; the last thing was not recorded. "
        "Have room made there and do it again.",
    ),
    (
        errors.StoreNotEmpty(7),
        "The store to copy into already has 7 records, and nothing was copied. "
        "Name a new database or a new folder.",
    ),
    (
        errors.PhotoForgotten("0123456789abcdef"),
        "Photo 0123456789ab was removed because someone asked for it. "
        "What was read from it stands in the history; the paper itself may be looked at.",
    ),
    (
        errors.NothingToForget("Ann Invented"),
        "No record names 'Ann Invented', so nothing was removed. "
        "Check the name as it is written in the records, or the number.",
    ),
    (
        errors.NothingToForget(None),
        "Nothing personal is left there, so nothing was removed. "
        "Check the name as it is written in the records, or the number.",
    ),
    (
        errors.PhotoChanged("a.jpg", "0123456789abcdef", "fedcba9876543210"),
        "a.jpg was read as 0123456789ab but is now fedcba987654: the file has changed since. "
        "Read it again.",
    ),
    (
        errors.CropMissing("note.png", Path("/crops")),
        "The cut-out note.png is not in /crops. Read the photo again with a folder for cut-outs.",
    ),
    (
        errors.CareTokenTaken("123456789"),
        "The care address meant for table 123456789 already belongs to another table. "
        "Make a new one.",
    ),
    (
        errors.BackupUnusable(Path("/b.zip"), "there is no such file"),
        "/b.zip can't be restored: there is no such file. Nothing was changed. Use another backup.",
    ),
    (
        errors.HomeNotEmpty(HOME),
        "/store is not empty, and a restore never writes over anything. "
        "Name a new folder, or move this one away first.",
    ),
    (
        errors.HomeUnusable(HOME, "Permission denied"),
        "The store's folder /store can't be used: Permission denied. Choose another folder, or "
        "ask whoever looks after this machine for the right to write there.",
    ),
    (
        errors.DiskFull(HOME),
        "The disk that holds /store is full. What was recorded before is whole; "
        "the last thing was not recorded. Make room and do it again.",
    ),
    (
        errors.StoreLocked(HOME, 10.0),
        "The store in /store was busy for 10 seconds and nothing was recorded. "
        "See whether another window or program is working on it, then do it again.",
    ),
    (
        errors.StoreNewer(HOME, "schema 0007, this one knows 0001"),
        "The store in /store was written by a later version of this program "
        "(schema 0007, this one knows 0001). Nothing was changed. "
        "Install that version or a later one.",
    ),
    (
        errors.StoreDamaged(HOME, "file is not a database"),
        "The store in /store is damaged: file is not a database. "
        "Keep a copy of the folder as it is, then restore the newest backup into a new folder.",
    ),
    (
        errors.ChainBroken(17, "its content does not give its hash"),
        "Record 17 is not as it was written: its content does not give its hash. "
        "Keep a copy of the folder as it is, then restore a backup from before the change.",
    ),
    (
        errors.ChainCut("0a1b2c3d", 17),
        "The printed mark 0a1b2c3d belongs to none of the 17 records: some are missing at the "
        "end, or the sheet is from another store. Look for the newest backup with it.",
    ),
]


@pytest.mark.parametrize(("error", "text"), CASES, ids=[type(one).__name__ for one, _ in CASES])
def test_a_message_says_what_was_found_and_what_to_do(error, text):
    assert str(error) == text


def test_every_error_has_its_text_compared():
    bases = {errors.PassportError, errors.RecordsError, errors.StoreError}
    classes = {one for _, one in inspect.getmembers(errors, inspect.isclass)} - bases - {Path}

    assert {type(error) for error, _ in CASES} == classes


def test_an_error_of_the_store_itself_ends_with_its_own_code():
    codes = {isinstance(error, errors.StoreError): error.exit_code for error, _ in CASES}

    assert codes == {True: 5, False: 4}

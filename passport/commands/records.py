"""``export``, ``verify``, ``backup``, ``restore``, ``close``, ``care``: the records and out."""

from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import click

from forms.numbers import FormNumber, TableNumber
from passport.commands.desk import Bench, show_json, with_json, written
from passport.documents import hosting
from passport.office import open_store
from passport.office.printing import care_pages
from passport.records import archive
from passport.records import export as exporting
from passport.records.errors import RecordsError
from passport.records.forgetting import Photos
from passport.records.store import Decision

EXPORTS = {
    "json": exporting.export_json,
    "csv": exporting.export_csv,
    "events-csv": exporting.export_events_csv,
}


class PhotosLost(RecordsError):
    """Kept photos that are gone or altered."""

    exit_code = 5

    def __init__(self, lost: Sequence[str]):
        self.lost = tuple(lost)
        super().__init__(
            f"{len(lost)} kept photos are gone or altered: {', '.join(one[:12] for one in lost)}. "
            "Restore the newest backup that has them into a new folder."
        )


@click.command()
@click.option(
    "--format", "kind", type=click.Choice(list(EXPORTS)), default="json", show_default=True
)
@click.option(
    "--out", type=click.Path(path_type=Path), default=Path("-"), help="File; - is stdout."
)
@click.pass_obj
def export(bench: Bench, kind: str, out: Path) -> None:
    """Write all records out, as JSON or as CSV for a spreadsheet."""
    with written(out) as text:
        EXPORTS[kind](bench.office.store, text)


@click.command()
@click.option("--printed", metavar="MARK", help="Mark printed on a next-actions sheet.")
@with_json
@click.pass_obj
def verify(bench: Bench, printed: str | None, as_json: bool) -> None:
    """Check that no record was altered.

    With the mark printed on a next-actions sheet: also that none since is missing.
    """
    store = bench.office.store
    found, lost = store.verify(printed), store.lost_photos()
    if as_json:
        show_json({**vars(found), "lost_photos": list(lost)})
    else:
        click.echo(
            f"{found.events} records are as they were written; the mark is {found.head[:8]}."
        )
    if found.removed and not as_json:
        click.echo(f"{found.removed} personal texts were removed.")
    if lost:
        raise PhotosLost(lost)


@click.command()
@click.argument("path", metavar="FILE", type=click.Path(path_type=Path))
@click.pass_obj
def backup(bench: Bench, path: Path) -> None:
    """Write a whole copy of the store, also while it is in use."""
    manifest = bench.office.store.backup(path)
    click.echo(_kept(path, manifest))


@click.command()
@click.argument("path", metavar="FILE", type=click.Path(path_type=Path))
@click.pass_obj
def restore(bench: Bench, path: Path) -> None:
    """Make the store from a backup.

    In a new home folder, or in an empty database.
    """
    if bench.settings.database is None:
        click.echo(_kept(bench.home, archive.restore(path, bench.home)))
        return
    with TemporaryDirectory() as folder:
        manifest = archive.restore(path, Path(folder) / "home")
        with open_store(Path(folder) / "home") as copy:
            copy.copy_into(bench.office.store)
    click.echo(_kept(bench.home, manifest))


@click.command("close")
@click.option("--form", required=True, metavar="NO", help="The form's number.")
@click.option("--who", required=True, help="Who decides.")
@click.option("--why", required=True, help="The reason.")
@click.pass_obj
def close(bench: Bench, form: str, who: str, why: str) -> None:
    """Say that nothing more will come of a form."""
    bench.office.store.close_form(form, Decision(who, why), bench.office.now())
    click.echo(f"Form {form} is closed.")


@click.command()
@click.option("--person", metavar="NAME", help="Somebody whom the records name.")
@click.option("--form", metavar="NO", help="All that is personal of one form.")
@click.option("--customer", metavar="NO", help="Whom to call about a table: the table's number.")
@click.option("--keep-photos", is_flag=True, help="Leave the photos of forms.")
@click.option("--who", required=True, help="Who decides.")
@click.option("--why", required=True, help="The reason.")
@click.pass_obj
def forget(
    bench: Bench,
    person: str | None,
    form: str | None,
    customer: str | None,
    keep_photos: bool,
    who: str,
    why: str,
) -> None:
    """Remove what is personal.

    Names, notes, signatures, photos; the chain stays whole.
    """
    store, photos = bench.office.store, Photos.KEEP if keep_photos else Photos.REMOVE
    asked = [one for one in (person, form, customer) if one]
    if len(asked) != 1:
        raise click.UsageError("Name one of --person, --form, --customer.")
    decision, at = Decision(who, why), bench.office.now()
    if person:
        gone = store.forget_person(person, decision, at, photos)
    elif form:
        gone = store.forget_form(FormNumber.parse(form).code, decision, at, photos)
    else:
        gone = store.forget_customer(TableNumber.parse(asked[0]).code, decision, at)
    click.echo(
        f"Removed: {gone.texts} texts, {gone.cut_outs} cut-outs, {gone.photos} photos. "
        "Old backups and exports still hold them: remove those too."
    )


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path, file_okay=False))
@click.option(
    "--server",
    type=click.Choice(list(hosting.SERVERS)),
    help="Print the settings for this web server instead; other hosts read theirs in DIR.",
)
@click.pass_obj
def care(bench: Bench, folder: Path, server: str | None) -> None:
    """Write the customers' pages as static files."""
    if server is not None:
        click.echo(hosting.SERVERS[server](), nl=False)
        return
    done = care_pages(bench.office, folder)
    click.echo(
        f"{done.pages} pages are in {folder}: {done.written} written, "
        f"{done.pages - done.written} as they were; {done.taken_away} withdrawn ones taken away."
    )


def _kept(path: Path, manifest: archive.Manifest) -> str:
    return (
        f"{path}: {manifest.events} records, {manifest.files} pictures; "
        f"the mark is {manifest.head[:8]}."
    )

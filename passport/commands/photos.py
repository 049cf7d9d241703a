"""``read``, ``layouts``, ``intake``, ``doubts``, ``settle``: from photos to settled values."""

import sys
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import click

from forms.layout import Layout, loads
from forms.numbers import FormNumber
from passport.commands.desk import UNUSABLE, WAITS, Bench, finish, show_json, with_json
from passport.office import intake as taking
from passport.office import settling
from passport.office.answers import EMPTY, answer
from passport.office.cluster import joined
from passport.office.doubts import listed, waiting_on
from passport.office.readers import LayoutOf, Order, read_limited
from passport.office.registering import read_text
from passport.office.wire import without_crops
from passport.records.errors import FieldUnknown, FormUnknown
from passport.records.form_state import OpenDoubt
from passport.records.store import Decision
from scan.errors import FileUnreadable
from scan.output import to_json
from scan.reading import PhotoReading, Status

PHOTOS = click.argument(
    "photos", nargs=-1, required=True, metavar="PHOTO…", type=click.Path(path_type=Path)
)
WAITING = (Status.DOUBTFUL, Status.OUTSIDE)

TYPED = click.option(
    "--form",
    "typed",
    metavar="NO",
    help="Number printed beside the code, for photos whose code can't be read.",
)


@click.command()
@PHOTOS
@with_json
@TYPED
@click.option(
    "--layout",
    "files",
    multiple=True,
    type=click.Path(path_type=Path),
    metavar="F.json",
    help="Layout file of a form; then no store is needed. May be given again.",
)
@click.option(
    "--crops", type=click.Path(path_type=Path, file_okay=False), help="Folder for cut-outs."
)
@click.pass_obj
def read(
    bench: Bench,
    photos: tuple[Path, ...],
    as_json: bool,
    typed: str | None,
    files: tuple[Path, ...],
    crops: Path | None,
) -> None:
    """Read photos or scans of filled forms without recording anything."""
    number = FormNumber.parse(typed) if typed else None
    layout_of = _layouts(files) if files else bench.office.store.layout_of
    paths, code = _files(photos)
    if crops is not None:
        crops.mkdir(parents=True, exist_ok=True)
    found = [_read_one(path, layout_of, crops, number) for path in paths]
    if as_json:
        show_json(to_json(found))
    else:
        for photo in found:
            _show_photo(photo)
    finish(code, *(_code(photo) for photo in found))


def _read_one(
    path: Path, layout_of: LayoutOf, crops: Path | None, typed: FormNumber | None
) -> PhotoReading:
    try:
        content = path.read_bytes()
    except OSError as error:
        lost = FileUnreadable(path.name, error.strerror or "it may not be read")
        return PhotoReading(str(path), "", (), (lost.problem(),))
    read = read_limited(Order(path.name, content, typed), layout_of)
    if crops is None:
        return replace(without_crops(read.photo), file=str(path))
    for name, crop in read.crops.items():
        (crops / name).write_bytes(crop)
    return replace(read.photo, file=str(path))


@click.group()
def layouts() -> None:
    """Bring in layouts of forms that were printed elsewhere."""


@layouts.command("add")
@click.argument(
    "files", nargs=-1, required=True, metavar="F.json…", type=click.Path(path_type=Path)
)
@click.pass_obj
def add_layouts(bench: Bench, files: tuple[Path, ...]) -> None:
    """Bring in the layout files of forms that were printed elsewhere."""
    for path in files:
        layout = loads(read_text(path), str(path))
        bench.office.store.add_layout(layout, bench.office.now())
        click.echo(f"Form {layout.form} is known now.")


@click.command()
@click.argument("paths", nargs=-1, required=True, metavar="PATH…", type=click.Path(path_type=Path))
@click.option("--workers", type=click.IntRange(1, 64), default=1, show_default=True)
@click.option(
    "--cluster",
    metavar="ADDRESS",
    help="Scheduler of a dask cluster whose machines read instead of this one.",
)
@click.option(
    "--closed-network",
    is_flag=True,
    help="Nobody else is on the way to the cluster: speak to it without TLS.",
)
@TYPED
@with_json
@click.pass_obj
def intake(
    bench: Bench,
    paths: tuple[Path, ...],
    workers: int,
    cluster: str | None,
    closed_network: bool,
    typed: str | None,
    as_json: bool,
) -> None:
    """Read photos, scans and folders, and record what is sure."""
    number = FormNumber.parse(typed) if typed else None
    files, code = _files(paths)
    results = []
    with joined(cluster, closed_network=closed_network) as readers:
        taken_in = taking.intake(
            bench.office, files, workers=workers, typed=number, cluster=readers
        )
        for taken in _under_a_bar(taken_in, len(files)):
            results.append(taken)
            if not as_json:
                _show_taken(taken)
    if as_json:
        show_json({"intake": [_taken_json(taken) for taken in results]})
    codes = {taking.State.NEEDS_A_LOOK: WAITS, taking.State.CANNOT_BE_USED: UNUSABLE}
    finish(code, *(codes.get(taken.state, 0) for taken in results))


@click.command()
@with_json
@click.pass_obj
def doubts(bench: Bench, as_json: bool) -> None:
    """List what waits for a person."""
    waiting = listed(bench.office)
    if as_json:
        show_json({"doubts": [_doubt_json(bench, *one) for one in waiting]})
    elif not waiting:
        click.echo("Nothing waits.")
    else:
        for one in waiting:
            click.echo(_doubt_line(bench, *one))
    finish(WAITS if waiting else 0)


@click.command()
@click.option("--form", required=True, metavar="NO", help="The form's number.")
@click.option("--field", required=True, metavar="ID", help="The field, as doubts shows it.")
@click.option(
    "--value", required=True, help=f"What the picture shows; {EMPTY} where nothing is written."
)
@click.option("--who", required=True, help="Who looked.")
@click.option("--why", default="looked at the picture", show_default=True, help="The reason.")
@click.pass_obj
def settle(bench: Bench, form: str, field: str, value: str, who: str, why: str) -> None:
    """Put what a person saw in a field's place.

    A correction is settling it again.
    """
    store = bench.office.store
    layout = store.layout_of(form)
    if layout is None:
        raise FormUnknown(form)
    asked = next((one for page in layout.pages for one in page.fields if one.id == field), None)
    if asked is None:
        raise FieldUnknown(form, field)
    settling.correct(bench.office, form, (field, answer(asked, value)), Decision(who, why))
    left = len(waiting_on(bench.office, form).asked)
    click.echo(f"{left} still wait on form {form}.")
    finish(WAITS if left else 0)


def _files(names: tuple[Path, ...]) -> tuple[list[Path], int]:
    """List the files to read; a name that is none is told, and harms no other."""
    found, absent = taking.files_in(names)
    for unknown in absent:
        click.echo(str(unknown), err=True)
    return found, UNUSABLE if absent else 0


def _layouts(files: tuple[Path, ...]) -> Callable[[str], Layout | None]:
    known = [loads(read_text(path), str(path)) for path in files]
    return {layout.form: layout for layout in known}.get


def _code(photo: PhotoReading) -> int:
    if photo.problems or not photo.pages:
        return UNUSABLE
    waits = any(
        reading.status in WAITING for page in photo.pages for reading in page.fields.values()
    )
    return WAITS if waits else 0


def _show_photo(photo: PhotoReading) -> None:
    click.echo(photo.file)
    for page in photo.pages:
        click.echo(f"  form {page.form or 'unknown'}, page {page.page or 'unknown'}")
        for name, reading in page.fields.items():
            if reading.status is not Status.EMPTY and reading.value is not False:
                why = f" ({reading.why.value})" if reading.why else ""
                click.echo(f"    {name}: {reading.value} {reading.status.value}{why}")
    for problem in photo.problems:
        click.echo(f"  {problem.message}")


def _under_a_bar(taken_in: Iterator[taking.Taken], count: int) -> Iterator[taking.Taken]:
    """Show at a terminal how far a folder is, and give the results when it is done.

    Where nobody watches, or there is one file only, results come as they are ready.
    """
    if count < 2 or not _watched():
        yield from taken_in
        return
    counts: Counter[str] = Counter()
    results = []
    with click.progressbar(
        taken_in,
        count,
        "Reading",
        show_pos=True,
        item_show_func=lambda _: _counted(counts),
        file=sys.stderr,
    ) as bar:
        for taken in bar:
            counts[taken.state.value] += 1
            results.append(taken)
    yield from results


def _watched() -> bool:
    return sys.stderr.isatty()


def _counted(counts: Mapping[str, int]) -> str:
    return ", ".join(f"{count} {state}" for state, count in counts.items())


def _show_taken(taken: taking.Taken) -> None:
    click.echo(f"{taken.file}: {taken.state.value}")
    for form, page, outcome in taken.pages:
        click.echo(f"  form {form}, page {page}: {outcome.value}")
    for message in taken.messages:
        click.echo(f"  {message}")


def _taken_json(taken: taking.Taken) -> dict[str, object]:
    pages = [
        {"form": form, "page": page, "outcome": outcome.value}
        for form, page, outcome in taken.pages
    ]
    messages = list(taken.messages)
    return {"file": taken.file, "state": taken.state.value, "pages": pages, "messages": messages}


def _label(bench: Bench, doubt: OpenDoubt) -> str:
    layout = bench.office.store.layout_of(doubt.form)
    fields = [one for page in layout.pages for one in page.fields] if layout else []
    return next((one.label for one in fields if one.id == doubt.field), doubt.field)


def _doubt_line(bench: Bench, doubt: OpenDoubt, why: str) -> str:
    place = f"form {doubt.form}, page {doubt.page}, {doubt.field}"
    return f"{place}: {_label(bench, doubt)}: {why}"


def _doubt_json(bench: Bench, doubt: OpenDoubt, why: str) -> dict[str, object]:
    return {
        "form": doubt.form,
        "table": doubt.table,
        "page": doubt.page,
        "field": doubt.field,
        "label": _label(bench, doubt),
        "status": doubt.reading.status.value,
        "why": why,
        "crop": doubt.reading.crop,
    }

"""``print``: forms, passports, hand-over sheets, labels, next actions."""

import sys
from datetime import datetime
from pathlib import Path

import click

from forms.cutting import ON_A_SHEET
from forms.layout import dumps
from forms.paper import Paper
from forms.pdf import page_count
from passport.commands.desk import Bench, show_json, table_option, with_json, write
from passport.documents.label import LabelSheet
from passport.documents.worklist import action_json, action_list
from passport.office import copies as copies_of
from passport.office import printing
from passport.office.history import story
from passport.office.rounds import due_numbers
from passport.office.rounds import print_round as print_all
from passport.visits import FOR_A_TABLE

PAPERS = {"letter": Paper.LETTER, "a4": Paper.A4}
SHEETS = {sheet.name.lower().replace("_", "-"): sheet for sheet in LabelSheet}

out_option = click.option(
    "--out",
    required=True,
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="F.pdf",
    help="The PDF file to write.",
)
paper_option = click.option(
    "--paper", type=click.Choice(list(PAPERS)), help="Paper; as the settings say if left out."
)


@click.group("print")
def print_group() -> None:
    """Print forms, documents and rounds."""


@print_group.command("form")
@click.argument("kind", type=click.Choice(FOR_A_TABLE))
@table_option
@out_option
@click.option("--layout", type=click.Path(path_type=Path), metavar="F.json", help="Layout file.")
@paper_option
@click.pass_obj
def print_form(
    bench: Bench, kind: str, number: str, out: Path, layout: Path | None, paper: str | None
) -> None:
    """Print a form of KIND for one table.

    It is out until its pages come in.
    """
    printed = printing.print_form(bench.office, kind, number, PAPERS.get(paper or ""))
    write(out, printed.pdf)
    if layout is not None:
        write(layout, dumps(printed.layout))
    for one in filter(None, (printed.layout, printed.along)):
        click.echo(f"Form {one.form}, {one.kind}, {len(one.pages)} pages: {out}", err=True)
    if layout is not None and printed.along is not None:
        write(layout.with_stem(f"{layout.stem}-{printed.along.kind}"), dumps(printed.along))


@print_group.command("round")
@click.option("--table", "numbers", multiple=True, metavar="NO", help="A table; may be repeated.")
@click.option(
    "--due", "which", flag_value="due", help="All tables whose visit is due; beside those named."
)
@click.option(
    "--kind",
    "kinds",
    multiple=True,
    type=click.Choice(FOR_A_TABLE),
    default=("service",),
    show_default=True,
    help="What form each table gets; may be repeated.",
)
@out_option
@paper_option
@click.pass_obj
def print_round(
    bench: Bench,
    numbers: tuple[str, ...],
    which: str | None,
    kinds: tuple[str, ...],
    out: Path,
    paper: str | None,
) -> None:
    """Print a day's round.

    A numbered list of its tables, then the papers of each.
    """
    chosen = (*numbers, *(due_numbers(bench.office) if which else ()))
    with click.progressbar(length=len(chosen), label="Printing", file=sys.stderr) as bar:
        size = PAPERS.get(paper or "")
        pdf = print_all(bench.office, chosen, kinds=kinds, paper=size, told=bar.update)
    write(out, pdf)
    click.echo(f"{page_count(pdf)} pages: {out}", err=True)


@print_group.command("spare")
@out_option
@click.option("--layout", type=click.Path(path_type=Path), metavar="F.json", help="Layout file.")
@click.option(
    "--units", type=click.Choice(["imperial", "metric"]), default="imperial", show_default=True
)
@paper_option
@click.option(
    "--copies", type=click.IntRange(1, 100), default=1, show_default=True, help="How many."
)
@click.pass_obj
def print_spare(
    bench: Bench, out: Path, layout: Path | None, units: str, paper: str | None, copies: int
) -> None:
    """Print a form for no table yet.

    The table's number goes in by hand, with its check digits.
    """
    if layout is not None and copies > 1:
        raise click.UsageError("A layout file holds one form. Leave out --layout, or ask for one.")
    printed = copies_of.print_spares(bench.office, units, PAPERS.get(paper or ""), copies=copies)
    write(out, printed.pdf)
    if layout is not None:
        write(layout, dumps(printed.layouts[0]))
    for one in printed.layouts:
        click.echo(f"Form {one.form}, {len(one.pages)} pages: {out}", err=True)


@print_group.command("cards")
@table_option
@out_option
@paper_option
@click.option(
    "--copies",
    type=click.IntRange(1, 100),
    default=ON_A_SHEET,
    show_default=True,
    help="How many cards, one a month; four make a sheet.",
)
@click.pass_obj
def print_cards(bench: Bench, number: str, out: Path, paper: str | None, copies: int) -> None:
    """Print a table's monthly check cards.

    Four to a sheet, with lines to cut along. Print on both sides, turned over the short
    edge. One card on its own paper: print form card.
    """
    printed = copies_of.print_cards(bench.office, number, PAPERS.get(paper or ""), copies=copies)
    write(out, printed.pdf)
    for one in printed.layouts:
        click.echo(f"Form {one.form}, {one.kind}, {len(one.pages)} pages: {out}", err=True)


@print_group.command("passport")
@table_option
@out_option
@paper_option
@click.option(
    "--fold",
    type=click.Choice([fold.value for fold in printing.Fold]),
    default=printing.Fold.FLAT.value,
    show_default=True,
    help="Whole sheets, or a booklet: print on both sides, turn over the short edge, fold, staple.",
)
@click.option(
    "--since",
    type=click.DateTime(["%Y-%m-%d"]),
    help="Date of the passport that this one replaces: what is new since then is marked.",
)
@click.pass_obj
def print_passport(
    bench: Bench, number: str, out: Path, paper: str | None, fold: str, since: datetime | None
) -> None:
    """Print a table's passport as it is now."""
    pdf = printing.print_passport(
        bench.office,
        number,
        PAPERS.get(paper or ""),
        fold=printing.Fold(fold),
        since=since.date() if since else None,
    )
    write(out, pdf)


@print_group.command("handover")
@table_option
@out_option
@paper_option
@click.pass_obj
def print_handover(bench: Bench, number: str, out: Path, paper: str | None) -> None:
    """Print the hand-over sheet that customer and technician sign."""
    write(out, printing.print_handover(bench.office, number, PAPERS.get(paper or "")))


@print_group.command("label")
@table_option
@out_option
@click.option("--sheet", type=click.Choice(list(SHEETS)), help="Label sheet.")
@click.option("--start", type=int, default=1, show_default=True, help="First free place.")
@click.pass_obj
def print_label(bench: Bench, number: str, out: Path, sheet: str | None, start: int) -> None:
    """Print a table's label on a label sheet."""
    write(out, printing.print_label(bench.office, number, SHEETS.get(sheet or ""), start))


@print_group.command("actions")
@table_option
@click.option("--out", type=click.Path(path_type=Path), metavar="F.pdf", help="The PDF file.")
@paper_option
@with_json
@click.pass_obj
def print_actions(
    bench: Bench, number: str, out: Path | None, paper: str | None, as_json: bool
) -> None:
    """Print a table's next actions."""
    if out is None and not as_json:
        raise click.UsageError("Name the file to write with --out, or ask for --json.")
    if out is not None:
        write(out, printing.print_actions(bench.office, number, PAPERS.get(paper or "")))
    if as_json:
        told = story(bench.office, number)
        actions = action_list(told.table, told.visits, told.advice, told.stopped_by)
        show_json({"table": told.table.number, "actions": [action_json(one) for one in actions]})

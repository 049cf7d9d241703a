"""``register``, ``history``, ``advise``, ``due``: tables and what is known of them."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any, cast

import click

from forms.errors import UserError
from forms.numbers import grouped
from passport.commands.desk import (
    WAITS,
    Bench,
    finish,
    show_json,
    table_option,
    with_json,
)
from passport.documents.log import turned
from passport.leveling.advice import Advice
from passport.leveling.sight import unseen
from passport.office import registering
from passport.office.due import Due, due_list, reckon_aged
from passport.office.filed import Filed, all_visits_of, beside
from passport.office.history import advice_for
from passport.office.kits import adopt
from passport.office.reasons import why_of
from passport.office.told import forms_told
from passport.office.wording import advice_lines, record_lines, visit_lines
from passport.table import Table
from passport.table_file import describe
from passport.visit import Visit


@click.command()
@click.argument(
    "files", nargs=-1, required=True, metavar="FILE.toml…", type=click.Path(path_type=Path)
)
@with_json
@click.pass_obj
def register(bench: Bench, files: tuple[Path, ...], as_json: bool) -> None:
    """Add or update tables from their descriptions."""
    done, codes = [], [0]
    for path in files:
        try:
            done.append(registering.register(bench.office, path))
        except UserError as error:
            click.echo(str(error), err=True)
            codes.append(error.exit_code)
    adopt(bench.office, [one.table.number for one in done])
    if as_json:
        tables = [{"number": one.table.number, "name": one.table.name} for one in done]
        show_json({"tables": tables})
    else:
        for one in done:
            click.echo(f"Table {grouped(one.table.number)} {one.outcome.value}.")
            table = registering.table(bench.office, one.table.number)
            click.echo("\n".join((describe(table), *unseen(table))))
    finish(*codes)


@click.command()
@table_option
@with_json
@click.pass_obj
def history(bench: Bench, number: str, as_json: bool) -> None:
    """Show the visits to a table."""
    table = registering.table(bench.office, number)
    visits, others = all_visits_of(bench.office, table), beside(bench.office, table)
    kept = bench.office.store.table(table.number)
    moves = kept.moves
    prints = [{"paper": one.paper.value, "on": one.on.isoformat()} for one in kept.prints]
    asked = forms_told(bench.office, table, visits)
    if as_json:
        moved = [{"on": one.on.isoformat(), "site": one.site, "why": one.why} for one in moves]
        listed = _history_json(table, visits, others, asked)
        show_json({**listed, "moves": moved, "prints": prints})
        return
    if not visits:
        click.echo("No visit yet.")
    for visit in visits:
        lines = (*turned(visit), *asked[visit.form])
        click.echo("\n".join(visit_lines(visit, lines)))
    for one in others:
        click.echo("\n".join(record_lines(table, one)))
    for move in moves:
        place = move.site or "a place that was removed from the records"
        click.echo(f"{move.on.isoformat()}  moved to {place}: {move.why}")
    for paper in prints:
        click.echo(f"{paper['on']}  {paper['paper']} printed")


def _history_json(
    table: Table,
    visits: Sequence[Visit],
    others: Sequence[Filed],
    asked: Mapping[str, Sequence[str]],
) -> Any:
    """List visits with what their forms told, and beside them other records with what they say."""
    records = [
        {**plain(asdict(cast(Any, one.record))), "says": list(one.kind.tell(table, one.record))}
        for one in others
    ]
    shown = [{**plain(asdict(visit)), "told": list(asked[visit.form])} for visit in visits]
    return {"table": table.number, "visits": shown, "records": records}


@click.command()
@table_option
@with_json
@click.option(
    "--why",
    is_flag=True,
    help="Also print readings, weights, responses, plan and forecast, to check by hand.",
)
@click.pass_obj
def advise(bench: Bench, number: str, as_json: bool, why: bool) -> None:
    """Show a table's surface, plan and forecast from its history."""
    advice = advice_for(bench.office, number)
    table = registering.table(bench.office, number)
    reasons = why_of(bench.office, number, advice) if why else []
    if as_json:
        show_json(plain(asdict(advice)) | ({"explanation": reasons} if why else {}))
    else:
        click.echo("\n".join([*advice_lines(table, advice), *reasons]))
    finish(_code(advice))


@click.command()
@click.option("--limit", type=click.IntRange(1), default=1000, show_default=True)
@with_json
@click.pass_obj
def due(bench: Bench, limit: int, as_json: bool) -> None:
    """List which table needs a visit when, the most urgent first."""
    listed = due_list(bench.office, limit)
    reckon_aged(bench.office)
    if as_json:
        show_json({"due": [plain(asdict(one)) for one in listed]})
        return
    if not listed:
        click.echo("No table is registered.")
    for one in listed:
        click.echo(_due_line(one))
    if len(listed) == limit:
        click.echo(f"The list ends after {limit} tables; --limit lists more.")


def plain(value: Any) -> Any:
    """Turn records into values that JSON has: dates as text, sets as sorted lists."""
    if isinstance(value, dict):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, frozenset | set):
        return sorted(plain(item) for item in value)
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    if value is None or isinstance(value, bool | int | float | str):
        return value
    return str(value)


def _code(advice: Advice) -> int:
    return WAITS if advice.withheld else 0


def _due_line(one: Due) -> str:
    when = one.on.isoformat() if one.on else "not known"
    return f"{when}  table {grouped(one.table)}  {one.name}, {one.site}: {one.why}"

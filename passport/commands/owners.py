"""``contact``, ``move``, ``search``: whose a table is, where it went, and finding it."""

from dataclasses import asdict, replace
from datetime import datetime

import click

from forms.numbers import grouped
from passport.commands.desk import Bench, show_json, table_option, with_json
from passport.office import registering
from passport.records import Contact, Decision


@click.command()
@table_option
@click.option("--name", help="Whom to ask for.")
@click.option("--phone", help="Telephone.")
@click.option("--email", help="E-mail address.")
@click.option("--note", help="When to call, where to ring.")
@with_json
@click.pass_obj
def contact(
    bench: Bench,
    number: str,
    name: str | None,
    phone: str | None,
    email: str | None,
    note: str | None,
    as_json: bool,
) -> None:
    """Show or change whom to call about a table.

    What is not given stays as it is.
    """
    table = registering.table(bench.office, number)
    known = bench.office.store.table(table.number).contact or Contact()
    typed = {"name": name, "phone": phone, "email": email, "note": note}
    given = replace(known, **{key: value for key, value in typed.items() if value is not None})
    if given != known:
        bench.office.store.give_contact(table.number, given, bench.office.now())
    if as_json:
        show_json({"table": table.number, "contact": asdict(given)})
        return
    said = ", ".join(value for value in vars(given).values() if value)
    click.echo(f"Table {grouped(table.number)}: {said or 'nobody is named'}.")


@click.command()
@table_option
@click.option("--to", "site", required=True, metavar="SITE", help="Where it stands now.")
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="Since when; today if left out.")
@click.option("--who", required=True, help="Who says so.")
@click.option("--why", required=True, help="The reason.")
@click.pass_obj
def move(bench: Bench, number: str, site: str, on: datetime | None, who: str, why: str) -> None:
    """Say that a table was moved.

    Its leveling begins anew at the other place.
    """
    office = bench.office
    table = registering.table(office, number)
    day = on.date() if on else office.today
    office.store.move(table.number, site, day, Decision(who, why), office.now())
    click.echo(
        f"Table {grouped(table.number)} stands in {site} since {day.isoformat()}. If its room is "
        "another, change its description and register it; if its owner is, change the contact."
    )


@click.command()
@click.argument("words", nargs=-1, required=True, metavar="WORD…")
@click.option("--limit", type=click.IntRange(1), default=50, show_default=True)
@with_json
@click.pass_obj
def search(bench: Bench, words: tuple[str, ...], limit: int, as_json: bool) -> None:
    """Find tables by any words.

    By number, name, site or contact, all words anywhere; or by a form's number.
    """
    found = bench.office.store.search(" ".join(words), limit)
    if as_json:
        show_json({"tables": [asdict(one) for one in found]})
    elif not found:
        click.echo("No table has all of these words.")
    else:
        for one in found:
            click.echo(f"{grouped(one.number)}  {one.name}, {one.site}")

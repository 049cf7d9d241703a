"""The command line: ``table-passport`` with verbs.

Exit codes: 0 done; 2 usage; 3 done, but something waits for a person; 4 some input could not be
used, the rest was done; 5 store locked or damaged; 1 unforeseen. The highest of 5, 4, 3 wins.
"""

import os
from pathlib import Path

import click
from platformdirs import user_data_path

from forms.errors import UserError
from passport.commands.demo import demo
from passport.commands.desk import Bench
from passport.commands.doctor import doctor
from passport.commands.owners import contact, move, search
from passport.commands.pages import desk
from passport.commands.papers import print_group
from passport.commands.photos import doubts, intake, layouts, read, settle
from passport.commands.records import backup, care, close, export, forget, restore, verify
from passport.commands.tables import advise, due, history, register

HOME_VARIABLE = "TABLE_PASSPORT_HOME"
DATABASE_VARIABLE = "TABLE_PASSPORT_DATABASE"


class Verbs(click.Group):
    """A group whose verbs tell a person's mistake in one message, without a traceback."""

    def invoke(self, ctx: click.Context) -> object:
        """Run a verb; a message for the user goes to stderr, its kind into the exit code."""
        try:
            return super().invoke(ctx)
        except UserError as error:
            click.echo(str(error), err=True)
            raise click.exceptions.Exit(error.exit_code) from error


@click.group(cls=Verbs, context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--home",
    type=click.Path(path_type=Path, file_okay=False),
    envvar=HOME_VARIABLE,
    help=f"Folder that everything lives under; also {HOME_VARIABLE}.",
)
@click.option(
    "--database",
    metavar="URL",
    envvar=DATABASE_VARIABLE,
    help="PostgreSQL database that offices share, instead of the one that the settings name; "
    f"also {DATABASE_VARIABLE}.",
)
@click.version_option(package_name="table-passport")
@click.pass_context
def main(ctx: click.Context, home: Path | None, database: str | None) -> None:
    """Passports, field forms and leveling for long wooden game tables."""
    ctx.obj = Bench(home or user_data_path("table-passport"), database)
    ctx.call_on_close(ctx.obj.close)


for verb in (
    demo, register, contact, move, search, print_group, read, layouts, intake, doubts, settle,
    close, advise, history, due, export, verify, backup, restore, forget, care, desk, doctor,
):  # fmt: skip
    main.add_command(verb)

if __name__ == "__main__":
    os.environ.setdefault("PYTHONUTF8", "1")
    main()

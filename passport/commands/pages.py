"""``desk``: the office's web pages, and who may sign in there."""

from pathlib import Path
from urllib.parse import urlsplit

import click

from passport.commands.desk import Bench, show_json, with_json
from passport.desk.app import Options, make_app
from passport.desk.errors import NobodyYet
from passport.desk.here import EXTENSION
from passport.desk.lines import Patience, server
from passport.desk.memory import Memory
from passport.desk.people import People, Role
from passport.desk.ready import make_ready
from passport.desk.watching import Watch
from passport.office.readers import stand_by

AT_HAND = 2  # readers, so that two shots at once wait for none to start
HOME = "127.0.0.1"
OPEN_LINE = (
    "Passwords and pictures travel openly on this network. Let others in only through a server "
    "that speaks HTTPS, or on a network that is yours alone."
)

role_option = click.option(
    "--role", type=click.Choice([role.value for role in Role]), default=Role.CLERK.value,
    show_default=True, help="What this person may do.",
)  # fmt: skip
password_option = click.password_option(help="Asked for when left out.")


@click.group("desk", invoke_without_command=True)
@click.option("--host", default=HOME, show_default=True, help="Where to listen; 0.0.0.0: all.")
@click.option("--port", type=click.IntRange(1, 65535), default=8737, show_default=True)
@click.option(
    "--watch",
    "folder",
    type=click.Path(path_type=Path, exists=True, file_okay=False),
    metavar="DIR",
    help="Folder whose new photos and scans are taken in unattended.",
)
@click.pass_context
def desk(ctx: click.Context, host: str, port: int, folder: Path | None) -> None:
    """Serve the office's web pages until stopped."""
    if ctx.invoked_subcommand is not None:
        return
    office = ctx.obj.office
    if not _people(ctx.obj).all():
        raise NobodyYet
    app = make_app(office, Options(address=office.settings.desk_address))
    make_ready(app)
    stand_by(AT_HAND)
    if folder is not None:
        Watch(app.extensions[EXTENSION], folder).start()
    click.echo(f"The desk is open at {office.settings.desk_address or f'http://{host}:{port}'}")
    in_front = urlsplit(office.settings.desk_address or "").scheme == "https"
    if host != HOME and not in_front:
        click.echo(OPEN_LINE, err=True)
    server(app, host, port, Patience(from_one=None) if in_front else Patience()).run()


@desk.command("add")
@click.argument("name")
@role_option
@password_option
@click.pass_obj
def add(bench: Bench, name: str, role: str, password: str) -> None:
    """Let somebody sign in at the desk."""
    person = _people(bench).add(name, password, Role(role), bench.office.now())
    click.echo(f"{person.name} may sign in as {person.role}.")


@desk.command("people")
@with_json
@click.pass_obj
def people(bench: Bench, as_json: bool) -> None:
    """List who may sign in at the desk."""
    everybody = _people(bench).all()
    if as_json:
        show_json({"people": [{"name": one.name, "role": one.role.value} for one in everybody]})
        return
    for one in everybody:
        click.echo(f"{one.name}: {one.role}")


@desk.command("password")
@click.argument("name")
@password_option
@click.pass_obj
def password(bench: Bench, name: str, password: str) -> None:
    """Give somebody a new password, and sign them out everywhere."""
    _people(bench).give_password(name, password)
    click.echo(f"{name} has a new password.")


@desk.command("reset")
@click.argument("name")
@click.pass_obj
def reset(bench: Bench, name: str) -> None:
    """Take somebody's second factor away, for a phone that is lost."""
    _people(bench).reset_factor(name)
    click.echo(f"{name} signs in with the password alone until another second factor is set up.")


@desk.command("remove")
@click.argument("name")
@click.pass_obj
def remove(bench: Bench, name: str) -> None:
    """Let somebody sign in no more.

    What they decided stays in the records.
    """
    _people(bench).remove(name)
    click.echo(f"{name} can't sign in any more.")


def _people(bench: Bench) -> People:
    return People(Memory(bench.office.store.home))

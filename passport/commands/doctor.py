"""``doctor``: what is missing on this machine, by package name."""

from importlib.metadata import PackageNotFoundError, requires, version
from re import match

import click

from passport.commands.desk import UNUSABLE, finish, show_json, with_json
from passport.libraries import missing_packages


@click.command()
@with_json
def doctor(as_json: bool) -> None:
    """Show what is missing on this machine, by package name."""
    system, python = missing_packages(), missing_python()
    if as_json:
        show_json({"debian": system, "python": python})
    elif not system and not python:
        click.echo("Nothing is missing.")
    if not as_json and system:
        click.echo(f"Missing Debian packages: {' '.join(system)}. Run passport/install.")
    if not as_json and python:
        click.echo(f"Missing Python packages: {' '.join(python)}. Run passport/install.")
    finish(UNUSABLE if system or python else 0)


def missing_python() -> list[str]:
    """Name the Python packages that the project needs and this environment lacks."""
    needed = [one for one in requires("table-passport") or [] if "extra ==" not in one]
    names = [found[0] for one in needed if (found := match(r"[A-Za-z0-9._-]+", one))]
    return [name for name in names if not _is_installed(name)]


def _is_installed(name: str) -> bool:
    try:
        version(name)
    except PackageNotFoundError:
        return False
    return True

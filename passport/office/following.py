"""What follows when more of a form is known: a spare form finds its table, a kit its numbers."""

from passport.office import Office
from passport.office.binding import bind
from passport.office.kits import write_back


def follow(office: Office, form: str) -> None:
    """Do what the form's answers ask of the records, as far as they are sure."""
    bind(office, form)
    write_back(office, form)

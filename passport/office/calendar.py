"""Next visits as a calendar that other calendars subscribe to.

References
----------
RFC 5545 (iCalendar), 3.6.1: events; 3.8.4.7: an UID that stays the same; RFC 7986, 5.7: how often
to look again.
"""

from datetime import timedelta

from icalendar import Calendar, Event

from forms.numbers import grouped
from passport.office import Office
from passport.office.due import Due, due_list

MOST = 1000
LOOK_AGAIN = timedelta(hours=12)


def calendar(office: Office) -> bytes:
    """Write all visits that are due as one calendar: a day each, without any person's name."""
    made = Calendar()
    made.add("prodid", "-//table-passport//office desk//EN")
    made.add("version", "2.0")
    made.add("name", "Table visits")
    made.add("refresh-interval", LOOK_AGAIN, parameters={"VALUE": "DURATION"})
    for due in due_list(office, MOST):
        if due.on is not None:
            made.add_component(_event(office, due))
    return bytes(made.to_ical())


def _event(office: Office, due: Due) -> Event:
    event = Event()
    event.add("uid", f"{due.table}@table-passport")
    event.add("dtstamp", office.now())
    event.add("dtstart", max(due.on or office.today, office.today) if due.unsafe else due.on)
    event.add("summary", ("Out of use: " if due.unsafe else "Visit: ") + due.name)
    event.add("location", due.site)
    event.add("description", f"Table {grouped(due.table)}. {due.why}")
    event.add("transp", "TRANSPARENT")
    return event

"""The ids of the service form's fields, each written here and nowhere else.

They are stable: an id keeps its meaning for ever. ``walk`` is the number of a pass, 1 on the main
form, 2 and 3 on its pass sheets.
"""

import re

WALKS = FIRST, SECOND, THIRD = 1, 2, 3

NOTHING_TURNED = "quick.nothing_turned"
CELSIUS, FAHRENHEIT = "air.celsius", "air.fahrenheit"
HUMIDITY = "air.humidity"
CHECK = ("check.first", "check.turned_round")
LEGS_NOT_MEASURED = "legs.not_measured"
BRACKETS_NOT_MEASURED = "brackets.not_measured"
SHOTS_NOT_MEASURED = "shots.not_measured"
SURFACE = "surface"
CHANGED = "changed"
PLAYED = "changed.played"
OFFICE_MUST_READ, UNSAFE = "notes.office_must_read", "notes.unsafe"
NOTES, SIGNATURE, NAME = "notes.text", "signature", "technician.name"
TECHNICIAN = "technician"
MONTH, DAY, NEXT_YEAR = "date.month", "date.day", "date.next_year"
OTHER_KIT = "kit.other"
OTHER_CARD = {"imperial": "kit.card.tenth_thou", "metric": "kit.card.micrometre"}
OTHER_BEARING = {"imperial": "kit.bearing.tenth_inch", "metric": "kit.bearing.millimetre"}


def walk_of(field_id: str) -> int:
    """Say which pass a field belongs to: more than 1 only for a pass sheet's."""
    named = re.search(r"\.pass(\d)\.", field_id)
    return int(named[1]) if named else FIRST


def found(walk: int, station: str) -> str:
    """Name the reading before turning."""
    return f"{station}.pass{walk}.found"


def after(walk: int, station: str) -> str:
    """Name the reading after turning."""
    return f"{station}.pass{walk}.after"


def turned_round(field_id: str) -> str:
    """Name the same reading with the level turned round."""
    return f"{field_id}.turned_round"


def turns(walk: int, station: str) -> str:
    """Quarter turns at a bracket or of both feet of an end leg."""
    return f"{station}.pass{walk}.turns"


def foot(walk: int, leg: str, side: str) -> str:
    """Quarter turns of one foot."""
    return f"{leg}.pass{walk}.turns.{side}"


def outer(field_id: str) -> str:
    """Name the cards under the outer ends of a level that is stepped along the board."""
    return f"{field_id}.outer"


def bears(leg: str, side: str) -> str:
    """Whether a foot bears or is slack."""
    return f"{leg}.pass1.foot.{side}"


def untouched(station: str) -> str:
    """OK, as is: nothing was touched."""
    return f"{station}.pass1.untouched"


def loosened(leg: str) -> str:
    """Jam nuts loosened first."""
    return f"{leg}.pass1.jam_nuts.loosened"


def locked(walk: int, station: str) -> str:
    """Jam nuts tight, or both nuts of a bracket."""
    return f"{station}.pass{walk}.locked"


def clear(walk: int, leg: str) -> str:
    """Supporting leg raised clear of the floor."""
    return f"{leg}.pass{walk}.clear"


def touch(walk: int, leg: str) -> str:
    """Supporting leg down to touch."""
    return f"{leg}.pass{walk}.touch"


def minutes(walk: int) -> str:
    """How long after turning "after" was taken."""
    return f"after.pass{walk}.minutes"


def rise(end: str) -> str:
    """Station name of an end's rise."""
    return f"rise.{end}"


def shot(lane: str, end: str) -> str:
    """Where the middle shot of three came to rest."""
    return f"shot.{lane}.from_{end}"


def glide(end: str, what: str) -> str:
    """Name a part of a timed glide: ``feet``, ``metres`` or ``seconds``."""
    return f"glide.from_{end}.{what}"


def surface(what: str) -> str:
    """Tick of the surface's care."""
    return f"{SURFACE}.{what}"


def changed(what: str) -> str:
    """Tick of what changed since the last visit."""
    return f"{CHANGED}.{what}"

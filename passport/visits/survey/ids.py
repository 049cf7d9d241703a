"""The ids of the survey's fields, and the words of its ticks."""

from passport.visits.survey.passage import Place

SOCKETS, FLOOR, DOUBTFUL = "sockets", "floor.kind", "floor.doubtful"
HELPERS, RUN_UP = "help.people", {"A": "room.run_up.A", "B": "room.run_up.B"}
ROOM, MONTHS, AIDS = "room", "months", "aids"
UNIT = {"metric": "millimetre", "imperial": "tenth_inch"}

SOCKETS_BY: dict[int | str, str] = {
    "licensed": "a licensed electrician",
    "nobody": "nobody yet",
    "none": "no wires come along",
}
FLOORS: dict[int | str, str] = {
    "concrete": "concrete",
    "timber": "timber",
    "stone": "stone or tile",
    "carpet": "carpet over",
}
SEEN = {
    "radiator": "radiator near",
    "underfloor": "heated floor",
    "vent": "vent blows at it",
    "sun": "sun falls on it",
    "outside": "outside wall near",
    "damp": "damp below",
}
AID_WORDS = {
    "trolley": "trolley",
    "straps": "lifting straps",
    "stairs": "powered stair aid",
    "blocks": "blocks, spacers",
}
SEASONS = {"dry": "dry", "damp": "damp"}


def size(place: Place, index: int, units: str) -> str:
    """Name one size of a place, in the order of ``SIZES``."""
    return f"{place.name.lower()}.{index + 1}.{UNIT[units]}"


def seen(what: str) -> str:
    """Tick of what is near the table."""
    return f"{ROOM}.{what}"


def month(season: str, number: int) -> str:
    """Tick of one dry or damp month, 1 to 12."""
    return f"{MONTHS}.{season}.{number}"


def aid(what: str) -> str:
    """Tick of an aid that is there."""
    return f"{AIDS}.{what}"


def below(leg: str, side: str, units: str) -> str:
    """How far the floor lies below its highest place at a foot."""
    return f"floor.{leg}.{side}.{UNIT[units]}"

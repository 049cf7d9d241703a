"""The customer's page: how to care for this table, as one static file without any person in it.

The page lies at ``T/<TOKEN>/index.html``, upper case as in the code, so that any static host
serves it at ``/T/<TOKEN>``. An empty ``index.html`` in both folders above keeps tokens unlisted,
``404.html`` is what every other address shows, and ``hosting`` tells hosts how to serve them.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import Enum, auto
from os import fsync
from pathlib import Path
from urllib.parse import quote

from markupsafe import Markup

from forms.numbers import CareToken, NumberUnusable, grouped
from passport.documents import hosting, house, texts, wording
from passport.leveling.advice import Advice, Quantity
from passport.settings import Settings
from passport.table import Table

# Dimensional change coefficients of sugar and black maple, radial and tangential, per 1 % moisture
# content between 6 and 14 %: Wood Handbook, FPL-GTR-190 (2010), table 13-5.
MAPLE_RADIAL, MAPLE_TANGENTIAL = 0.00165, 0.00353
_DAY = re.compile(r"Written \d{1,2} \w+ \d{4};")  # as the page's foot has it
_HARD_MAPLE = ("hard maple", "sugar maple", "rock maple", "black maple")


class Use(Enum):
    """Whether the table may be played on."""

    OPEN = auto()
    STOPPED = auto()  # out of use until checked


def care_html(
    table: Table, advice: Advice, settings: Settings, *, today: date, use: Use = Use.OPEN
) -> str:
    """Write a table's care page.

    Parameters
    ----------
    table : Table
        Only its number, board and targets are shown: nothing of a person or a site.
    advice : Advice
        For the last and the next visit.
    settings : Settings
        The office's telephone and e-mail address.
    today : date
        Decides whether the next visit is due or overdue.
    use : Use
        ``Use.STOPPED`` puts "out of use until checked" on top.

    Returns
    -------
    str
        One HTML file without script or anything loaded from elsewhere.
    """
    phone = settings.phone or table.office_phone
    return house.page(
        "care.html",
        table=table,
        phone=phone,
        message=message_links(table, phone, settings.email),
        css=Markup(hosting.style()),
        policy=Markup(hosting.policy()),
        stopped=use is Use.STOPPED,
        due=_due(advice, today),
        last=_last(advice),
        bow=bow_words(table),
        dry=_months(table.room.dry_months),
        damp=_months(table.room.damp_months),
        today=today,
        texts=texts,
    )


@dataclass(frozen=True)
class Written:
    """What became of the care pages: how many there are, were written, were taken away."""

    pages: int
    written: int
    taken_away: int


def write_care(folder: Path, pages: Iterable[tuple[CareToken, str]]) -> Written:
    """Write the care pages below a folder and take away those of withdrawn tokens.

    A page that says what it said before stays as it is, its day too. A withdrawn address then looks
    the same as one that never was. Files that are not care pages are left alone; a page is there
    whole or not at all. Pages are written as they come, so that any number of them may.
    """
    tokens = folder / "T"
    tokens.mkdir(parents=True, exist_ok=True)
    for place in (folder, tokens):
        if not (place / "index.html").exists():
            _write(place / "index.html", "")
    for name, text in hosting.files().items():
        _write(folder / name, text)
    kept = {token.code: _write(tokens / token.code / "index.html", text) for token, text in pages}
    withdrawn = [
        old
        for old in tokens.iterdir()
        if old.is_dir() and old.name not in kept and _is_token(old.name)
    ]
    for old in withdrawn:
        _take_away(old)
    return Written(len(kept), sum(kept.values()), len(withdrawn))


def moisture_bow_mm(width_mm: float, thickness_mm: float) -> tuple[float, float]:
    """Hollow or crown across a hard maple board for 1 % moisture between its faces.

    Returns
    -------
    tuple of float
        For edge grain (radial) and flat grain (tangential). [mm]

    Notes
    -----
    A moisture that runs straight from face to face bends the board with curvature C / thickness;
    sagitta = curvature × width² / 8.

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), table 13-5; bending of a strip: S. Timoshenko,
    J. Opt. Soc. Am. 11 (1925), linear gradient in place of two layers.
    """
    factor = width_mm**2 / (8 * thickness_mm)
    return MAPLE_RADIAL * factor, MAPLE_TANGENTIAL * factor


def bow_words(table: Table) -> str | None:
    """Say what one per cent of moisture does to this board; None where no figure is known."""
    if not any(name in table.board.wood.lower() for name in _HARD_MAPLE):
        return None
    low, high = moisture_bow_mm(table.board.width_mm, table.board.thickness_mm)
    unit = wording.unit(table, Quantity.HOLLOW)
    ends = [wording.number(table, Quantity.HOLLOW, value) for value in (low, high)]
    target = table.targets.hollow_mm
    asked = wording.asked(table, Quantity.HOLLOW, target.value, target.tolerance)
    return (
        f"If the top of this board holds one per cent less moisture than its underside, the "
        f"playing surface bends by {ends[0]} to {ends[1]} {unit}; the hollow it is set to is "
        f"{asked} {unit}."
    )


def message_links(table: Table, phone: str | None, email: str | None) -> Mapping[str, str]:
    """Make the ready-made messages to the office; each names the table.

    Returns
    -------
    mapping
        Words of a link to its address, for each way that the office can be reached in writing.

    References
    ----------
    RFC 6068 (mailto), section 2; RFC 5724 (sms), section 2.2; both with percent-encoded text.
    """
    subject = f"Table {grouped(table.number)}"
    body = f"{subject}\n\nWhat I see:\n\nSince when:\n\nPlease call me at:\n"
    links = {}
    if email:
        mail = body.replace("\n", "\r\n")  # RFC 6068, section 5: lines end in %0D%0A
        links[f"Write to {email}"] = (
            f"mailto:{quote(email, '@')}?subject={quote(subject)}&body={quote(mail)}"
        )
    if phone:
        links["Send a text message"] = f"sms:{house.dialled(phone)}?body={quote(body)}"
    return links


def _last(advice: Advice) -> str | None:
    """Say when the last visit was, and how it left the table."""
    if advice.as_of is None:
        return None
    return f"{wording.month(advice.as_of)}. {texts.LAST_VISIT[advice.verdict]}"


def _due(advice: Advice, today: date) -> str:
    when = advice.next_visit
    if when is None:
        return "Not planned yet. Please call the office to agree on one."
    if (when.year, when.month) < (today.year, today.month):
        return f"A visit was due in {wording.month(when)}. Please call the office."
    return f"{wording.month(when)}. The office will call to agree on a day."


def _months(numbers: tuple[int, ...]) -> str:
    return wording.named(tuple(wording.MONTHS[number - 1] for number in numbers))


def _is_token(name: str) -> bool:
    try:
        return CareToken.parse(name).code == name
    except NumberUnusable:
        return False


def _write(path: Path, text: str) -> bool:
    """Write a file whole or not at all; say whether, for one that says the same stays as it is."""
    if path.exists() and _undated(path.read_text("utf-8")) == _undated(text):
        return False
    path.parent.mkdir(exist_ok=True)
    part = path.with_name(".part")
    with part.open("w", encoding="utf-8", newline="\n") as file:
        file.write(text)
        file.flush()
        fsync(file.fileno())
    part.replace(path)
    return True


def _undated(text: str) -> str:
    """Give a page without the day on which it was written."""
    return _DAY.sub("", text)


def _take_away(place: Path) -> None:
    (place / "index.html").unlink(missing_ok=True)
    if not any(place.iterdir()):
        place.rmdir()

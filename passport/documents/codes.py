"""The QR code that a table carries: what it says, and how it is drawn.

What it says stands apart from how it is drawn: ``care_code_text`` gives the words,
``code_matrix`` the modules, ``code_svg`` the picture.
"""

import re
from math import ceil, floor

from forms.marks import QUIET, Level, Matrix, modules_path, qr_matrix
from forms.numbers import grouped
from passport.documents.errors import HostUnusable, TooMuchForCode

MOST_CHARACTERS = 87  # ISO/IEC 18004:2024 table 7: alphanumeric capacity of version 5-Q
DOT_MM = 25.4 / 600  # one dot of a 600 dpi office printer: modules are whole dots
LEAST_MODULE_MM = 1.0

# The shortest care lines, most important first: as many as fit are taken.
CARE_LINES = (
    "NEVER LIFT OR MOVE IT.",
    "SWEEP AND WAX.",
    "AIR 35-55% RH.",
    "NO WATER.",
)

_HOST = re.compile(
    r"(?=.{1,60}$)[A-Za-z0-9](?:[A-Za-z0-9-]*[A-Za-z0-9])?"
    r"(?:\.[A-Za-z0-9](?:[A-Za-z0-9-]*[A-Za-z0-9])?)+"
)


def care_address(host: str, token: str) -> str:
    """Address of a table's care page, as people type it.

    Raises
    ------
    HostUnusable
        ``host`` is not a host name.
    """
    if not _HOST.fullmatch(host):
        raise HostUnusable(host)
    return f"https://{host.lower()}/T/{_bare(token)}"


def care_code_text(table: str, host: str | None, token: str | None, phone: str | None) -> str:
    """Text of the code that a table carries: an address, or plain words until there is one.

    Parameters
    ----------
    table : str
        Table number as it is printed.
    host, token : str or None
        Host of the care pages and the table's care token; without either the code carries words.
    phone : str or None
        The office's telephone.

    Returns
    -------
    str
        At most 87 characters of the QR code's alphanumeric set.

    Raises
    ------
    HostUnusable, TooMuchForCode
    """
    if host and token:
        text = care_address(host, token).upper()
        if len(text) > MOST_CHARACTERS:
            raise TooMuchForCode(len(text), MOST_CHARACTERS)
        return text
    return _plain_text(table, phone)


def code_matrix(text: str) -> Matrix:
    """Modules of the table's code: level Q, or level H where the version holds it.

    Raises
    ------
    TooMuchForCode
        The text needs more than version 5.
    """
    if len(text) > MOST_CHARACTERS:
        raise TooMuchForCode(len(text), MOST_CHARACTERS)
    return qr_matrix(text, Level.Q)


def module_mm(matrix: Matrix, side_mm: float) -> float:
    """Choose a module of whole 600 dpi dots, at least 1 mm, for a symbol ``side_mm`` wide."""
    dots = max(floor(side_mm / len(matrix) / DOT_MM), ceil(LEAST_MODULE_MM / DOT_MM))
    return dots * DOT_MM


def code_svg(text: str, side_mm: float) -> str:
    """Draw a code as SVG, its quiet zone included: one path on white.

    ``side_mm`` is the wish for the symbol's side without its quiet zone; see ``module_mm``.
    """
    matrix = code_matrix(text)
    module = module_mm(matrix, side_mm)
    side = (len(matrix) + 2 * QUIET) * module
    path = modules_path(matrix, QUIET * module, QUIET * module, module)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{side:.4f}mm" height="{side:.4f}mm" '
        f'viewBox="0 0 {side:.4f} {side:.4f}">'
        f'<path fill="#fff" d="M0 0H{side:.4f}V{side:.4f}H0Z"/><path d="{path}"/></svg>'
    )


def _plain_text(table: str, phone: str | None) -> str:
    text = f"TABLE {_alphanumeric(grouped(table))}."
    if phone and _alphanumeric(phone):
        text += f" CALL {_alphanumeric(phone)[:24].strip()}."
    for line in CARE_LINES:
        if len(text) + 1 + len(line) <= MOST_CHARACTERS:
            text += f" {line}"
    return text


def _alphanumeric(text: str) -> str:
    """Keep what the QR code's alphanumeric set has; anything else becomes one blank."""
    return re.sub(r"[^0-9A-Z$%*+\-./:]+", " ", text.upper()).strip()


def _bare(token: str) -> str:
    return token.replace("-", "").upper()

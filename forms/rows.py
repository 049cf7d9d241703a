"""Texts of a row become one run of text: a page with hundreds of texts is set three times faster.

Between two texts stand spaces of exact widths, which the shipped fonts have for this purpose.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from forms.drawing import text_box
from forms.form import Text
from forms.typeface import EM_UNITS, MEASURED_SPACES, MM_PER_PT

_STEP = min(MEASURED_SPACES.values())  # [font units] a three-hundredth of a millimetre at 9 pt
_WIDEST_FIRST = sorted(MEASURED_SPACES.items(), key=lambda space: -space[1])

_Look = tuple[float, float, bool, float]


def rows(texts: Iterable[Text]) -> tuple[Text, ...]:
    """Join texts of one line each that stand at one height and look alike.

    Texts of several lines stay as they are. A row takes the place of its first text in the order
    of reading.

    Parameters
    ----------
    texts : iterable of Text
        Broken into lines.

    Returns
    -------
    tuple of Text
        Left-aligned runs, and the texts of several lines.
    """
    found: dict[_Look, list[Text]] = {}
    order: list[Text | _Look] = []
    for text in texts:
        if "\n" in text.text:
            order.append(text)
            continue
        look = (round(text.y, 3), text.size_pt, text.bold, text.grey)
        if look not in found:
            order.append(look)
        found.setdefault(look, []).append(replace(text, x=text_box(text).x, align="left"))
    return tuple(_in_order(order, found))


def _in_order(order: Iterable[Text | _Look], found: dict[_Look, list[Text]]) -> Iterator[Text]:
    for one in order:
        if isinstance(one, Text):
            yield one
        else:
            yield from _runs(sorted(found[one], key=lambda text: text.x))


def _runs(texts: list[Text]) -> Iterator[Text]:
    """Join texts from left to right; one that begins before the last ends begins a new run."""
    run, end = texts[0], _end(texts[0])
    for text in texts[1:]:
        units = _units(text.x - end, text.size_pt)
        if units < 0:
            yield run
            run, end = text, _end(text)
        else:
            run = replace(run, text=f"{run.text}{spaces(units)}{text.text}")
            end += units * _unit_mm(text.size_pt) + text_box(text).width
    yield run


def _end(text: Text) -> float:
    return text.x + text_box(text).width


def _unit_mm(size_pt: float) -> float:
    return size_pt * MM_PER_PT / EM_UNITS


def _units(gap: float, size_pt: float) -> int:
    """Width of a gap in font units, in whole steps of the narrowest space."""
    return _STEP * round(gap / _unit_mm(size_pt) / _STEP)


def spaces(units: int) -> str:
    """Spaces that are together ``units`` wide [font units], an even number."""
    parts = []
    for space, width in _WIDEST_FIRST:
        count, units = divmod(units, width)
        parts.append(space * count)
    return "".join(parts)

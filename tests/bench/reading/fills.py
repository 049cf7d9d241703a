"""What is written on a page, and what a reader may say of it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

import numpy as np

from forms.field import Choice, Digits, Field, Note, Option, Scale, Tick
from forms.layout import Page
from passport.booth import acts

Value = int | str | bool | Decimal
SLIPPED = 0.06  # share of fields where the hand slips


@dataclass(frozen=True)
class Truth:
    """What one field means.

    Attributes
    ----------
    meant : value, optional
        None where nothing is meant; False for a tick left alone.
    allowed : tuple of values
        What may be reported as sure without being a silent error; None stands for ``empty``.
    slip : str
        How the hand slipped here, or nothing.
    """

    meant: Value | None
    allowed: tuple[Value | None, ...]
    slip: str = ""


@dataclass
class Fill:
    answers: dict[str, Value] = field(default_factory=dict)
    slips: list[acts.Act] = field(default_factory=list)
    truth: dict[str, Truth] = field(default_factory=dict)


def fill_of(page: Page, rng: np.random.Generator, *, anything: bool) -> Fill:
    """Answers over the whole range, or those that a technician might well give."""
    fill = Fill()
    for one in page.fields:
        if isinstance(one, Note):
            continue
        if rng.random() < SLIPPED and _slip(fill, one, rng):
            continue
        value = _anything(one, rng) if anything else _plausible(one, rng)
        if value is not None:
            fill.answers[one.id] = value
        meant = False if value is None and isinstance(one, Tick) else value
        fill.truth[one.id] = Truth(meant, (meant,))
    return fill


def _anything(one: Field, rng: np.random.Generator) -> Value | None:
    if rng.random() < 0.4:
        return None
    match one:
        case Tick():
            return True
        case Choice() | Scale():
            return _picked(one, rng).value
        case Digits():
            return _number(one, rng)
    return None


def _plausible(one: Field, rng: np.random.Generator) -> Value | None:
    """Count near what is hoped for; answer nearly everything; tick half of the boxes."""
    if rng.random() < (0.5 if isinstance(one, Tick) else 0.15):
        return None
    if not isinstance(one, Scale):
        return True if isinstance(one, Tick) else _anything(one, _sure(rng))
    hoped = one.expect.value if one.expect else 0
    wish = rng.normal(float(hoped), 1.5)
    return min((option.value for option in one.options), key=lambda value: abs(value - wish))


class _Sure:
    """A generator whose coin always falls on "answered"."""

    def __init__(self, rng: np.random.Generator):
        self.integers = rng.integers

    def random(self) -> float:
        return 1.0


def _sure(rng: np.random.Generator) -> np.random.Generator:
    return _Sure(rng)  # type: ignore[return-value]


def _picked(one: Choice | Scale, rng: np.random.Generator) -> Option:
    return one.options[rng.integers(len(one.options))]


def _number(one: Digits, rng: np.random.Generator) -> Decimal:
    unit = Decimal(1).scaleb(-one.decimals)
    low = (Decimal(str(one.low)) / unit).to_integral_value("ROUND_CEILING")
    high = (Decimal(str(one.high)) / unit).to_integral_value("ROUND_FLOOR")
    return (low + int(rng.integers(0, int(high - low) + 1))) * unit


def _slip(fill: Fill, one: Field, rng: np.random.Generator) -> bool:
    """Let the hand slip in a field; a field that knows no slips stays."""
    match one:
        case Choice() | Scale() if len(one.options) > 1:
            act, truth = _slip_in_row(one, rng)
        case Tick():
            act, truth = _slip_in_box(one, rng)
        case Digits():
            return _slip_in_digits(fill, one, rng)
        case _:
            return False
    fill.slips.append(act)
    fill.truth[one.id] = truth
    return True


def _truth(act: acts.Act, meant: Value | None, *allowed: Value | None) -> tuple[acts.Act, Truth]:
    return act, Truth(meant, allowed, type(act).__name__)


def _slip_in_row(one: Choice | Scale, rng: np.random.Generator) -> tuple[acts.Act, Truth]:
    first, second = (one.options[i].value for i in rng.choice(len(one.options), 2, replace=False))
    name = one.id
    return (
        _truth(acts.TwoMarks(name, first, second), None),
        _truth(acts.ScribbledOut(name, first, second), second, second),
        _truth(acts.ScribbledOut(name, first), None),
        _truth(acts.Faint(name, first, rng.uniform(0.12, 0.4)), first, first),
        _truth(acts.Erased(name, first, second, rng.uniform(0.05, 0.3)), second, second),
        _truth(acts.Erased(name, first, None, rng.uniform(0.05, 0.3)), None, None),
        _truth(acts.Filled(name, first), first, first),
        _truth(acts.Ditto(name, first), first, first),
    )[rng.integers(8)]


def _slip_in_box(one: Tick, rng: np.random.Generator) -> tuple[acts.Act, Truth]:
    name = one.id
    return (
        _truth(acts.ScribbledOut(name, True), False),
        _truth(acts.Faint(name, True, rng.uniform(0.12, 0.4)), True, True),
        _truth(acts.Erased(name, True, None, rng.uniform(0.05, 0.3)), False, False),
        _truth(acts.Filled(name, True), True, True),
    )[rng.integers(4)]


def _slip_in_digits(fill: Fill, one: Digits, rng: np.random.Generator) -> bool:
    """Write a number with one digit over another, or one struck out and put above."""
    places = len(one.boxes)
    text = str(int(_number(one, rng).scaleb(one.decimals))).zfill(places)
    at = int(rng.integers(places))
    wrong = str((int(text[at]) + int(rng.integers(1, 10))) % 10)
    kind = acts.Overwritten if rng.random() < 0.5 else acts.StruckOut
    fill.answers[one.id] = text[:at] + " " + text[at + 1 :]
    fill.slips.append(kind(one.id, at, wrong, text[at]))
    meant = Decimal(int(text)).scaleb(-one.decimals)
    fill.truth[one.id] = Truth(meant, (meant,), kind.__name__)
    return True


def digits_on(page: Page, answers: Mapping[str, Value]) -> Iterator[Digits]:
    """Name the number fields that get an answer."""
    return (one for one in page.fields if isinstance(one, Digits) and one.id in answers)

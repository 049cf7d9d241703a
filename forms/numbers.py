"""The three kinds of number, told apart by their form and never interchangeable.

TableNumber   seven digits and two check digits (ISO/IEC 7064, MOD 97-10): ``401 2734 56``
FormNumber    ten base-32 symbols and a check symbol: ``8K2M-4QX0-7RJ``
CareToken     sixteen base-32 symbols, 80 random bits: ``7ZK2-M04Q-X9RJ-1B5T``

``parse`` forgives spaces, hyphens and lower case; base-32 numbers also I and L for 1, O for 0.
``str`` gives the groups that people read, ``code`` the bare symbols for files and QR codes.
"""

import secrets
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import accumulate
from typing import ClassVar, Self

from forms.errors import FormsError

BASE32 = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # without I, L, O, U; D. Crockford's alphabet
_LOOKS_LIKE = str.maketrans("ILO", "110")
_SEPARATORS = str.maketrans("", "", " -\u00a0\u2010\u2011\u2013\t\r\n")

RandomBits = Callable[[int], int]


class NumberUnusable(FormsError):
    """A number that was typed or read and can't be used."""


class WrongLength(NumberUnusable):
    """Too few or too many symbols."""

    def __init__(self, kind: str, text: str, found: int, needed: int):
        self.kind, self.text, self.found, self.needed = kind, text, found, needed
        super().__init__(
            f"“{text}” has {found} symbols; a {kind} has {needed}. "
            f"Compare it with the paper and type all {needed}."
        )


class WrongSymbol(NumberUnusable):
    """A symbol that this kind of number never holds."""

    def __init__(self, kind: str, text: str, symbol: str, allowed: str):
        self.kind, self.text, self.symbol = kind, text, symbol
        super().__init__(
            f"“{text}” holds “{symbol}”, which no {kind} has: only {allowed}. "
            "Compare that symbol with the paper and type it again."
        )


class CheckFails(NumberUnusable):
    """The check digits or symbol do not fit: something was misread or swapped."""

    def __init__(self, kind: str, text: str):
        self.kind, self.text = kind, text
        super().__init__(
            f"“{text}” can't be a {kind}: its check does not fit, so a symbol is wrong or two are "
            "swapped. Compare it with the paper, symbol by symbol."
        )


class OtherKind(NumberUnusable):
    """A sound number of another kind."""

    def __init__(self, asked: str, text: str, found: str):
        self.asked, self.text, self.found = asked, text, found
        super().__init__(
            f"“{text}” is a {found}; a {asked} is asked for. Type the {asked} from the paper."
        )


@dataclass(frozen=True)
class _Number:
    """What the three kinds share: bare symbols, printed in groups."""

    code: str

    KIND: ClassVar[str]
    SYMBOLS: ClassVar[str]
    ALLOWED: ClassVar[str]
    GROUPS: ClassVar[tuple[int, ...]]
    BETWEEN: ClassVar[str] = "-"

    def __post_init__(self) -> None:
        fault = self._fault(self.code, self.code)
        if fault:
            raise fault

    def __str__(self) -> str:
        ends = accumulate(self.GROUPS)
        return self.BETWEEN.join(
            self.code[end - size : end] for size, end in zip(self.GROUPS, ends, strict=True)
        )

    @classmethod
    def parse(cls, text: str) -> Self:
        """Read a number as people type it.

        Raises
        ------
        WrongLength, WrongSymbol, CheckFails, OtherKind
            Why the text is no number of this kind.
        """
        code = cls._bare(text)
        fault = cls._fault(code, text)
        if fault is None:
            return cls(code)
        other = next((kind for kind in KINDS if kind._is_sound(text)), None)
        raise OtherKind(cls.KIND, other._shown(text), other.KIND) if other else fault

    @classmethod
    def _bare(cls, text: str) -> str:
        return text.translate(_SEPARATORS).upper().translate(_LOOKS_LIKE)

    @classmethod
    def _shown(cls, text: str) -> str:
        return text

    @classmethod
    def _is_sound(cls, text: str) -> bool:
        return cls._fault(cls._bare(text), text) is None

    @classmethod
    def _fault(cls, code: str, text: str) -> NumberUnusable | None:
        shown, needed = cls._shown(text), sum(cls.GROUPS)
        strange = next((symbol for symbol in code if symbol not in cls.SYMBOLS), None)
        if strange:
            return WrongSymbol(cls.KIND, shown, strange, cls.ALLOWED)
        if len(code) != needed:
            return WrongLength(cls.KIND, shown, len(code), needed)
        return None if cls._check_fits(code) else CheckFails(cls.KIND, shown)

    @classmethod
    def _check_fits(cls, code: str) -> bool:
        return True


@dataclass(frozen=True)
class TableNumber(_Number):
    """Names a table for ever; the only number that people write by hand."""

    KIND = "table number"
    SYMBOLS = "0123456789"
    ALLOWED = "digits"
    GROUPS = (3, 4, 2)
    BETWEEN = " "

    @classmethod
    def new(cls, bits: RandomBits = secrets.randbits) -> "TableNumber":
        """Draw a number; the first digit is never 0, so that none is lost in writing."""
        drawn = next(value for value in _draws(bits, 24) if 1_000_000 <= value <= 9_999_999)
        return cls(f"{drawn}{mod_97_10(drawn):02d}")

    @classmethod
    def _bare(cls, text: str) -> str:
        return text.translate(_SEPARATORS).upper()

    @classmethod
    def _check_fits(cls, code: str) -> bool:
        return int(code[-2:]) == mod_97_10(int(code[:-2]))


@dataclass(frozen=True)
class FormNumber(_Number):
    """Names one printed copy of one form; a reprint is a new number."""

    KIND = "form number"
    SYMBOLS = BASE32
    ALLOWED = "digits and the letters A to Z without I, L, O, U"
    GROUPS = (4, 4, 3)

    @classmethod
    def new(cls, bits: RandomBits = secrets.randbits) -> "FormNumber":
        """Draw a number whose check symbol is one of the 32 data symbols.

        The five further check symbols would not all print in a QR code's alphanumeric mode.
        """
        drawn = next(value for value in _draws(bits, 50) if mod_37(value) < 32)
        return cls(base32(drawn, 10) + BASE32[mod_37(drawn)])

    @classmethod
    def _check_fits(cls, code: str) -> bool:
        return BASE32.index(code[-1]) == mod_37(number_of(code[:-1]))


@dataclass(frozen=True)
class CareToken(_Number):
    """Leads to a table's care page and nowhere else; replaceable, never logged or exported.

    Neither ``repr`` nor a message shows more than its first group.
    """

    KIND = "care token"
    SYMBOLS = BASE32
    ALLOWED = "digits and the letters A to Z without I, L, O, U"
    GROUPS = (4, 4, 4, 4)

    @classmethod
    def new(cls, bits: RandomBits = secrets.randbits) -> "CareToken":
        """Draw 80 random bits."""
        return cls(base32(bits(80), 16))

    def __repr__(self) -> str:
        return f"CareToken({self._shown(self.code)})"

    @classmethod
    def _shown(cls, text: str) -> str:
        return f"{text[:4]}…"


KINDS: tuple[type[_Number], ...] = (TableNumber, FormNumber, CareToken)


def grouped(text: str) -> str:
    """Print a table number in the groups that people read; any other text as it stands."""
    try:
        return str(TableNumber.parse(text))
    except NumberUnusable:
        return text


def mod_97_10(value: int) -> int:
    """Two check digits, as a number from 2 to 98, that make ``value`` followed by them 1 mod 97.

    References
    ----------
    ISO/IEC 7064:2003, MOD 97-10.
    """
    return 98 - value * 100 % 97


def mod_37(value: int) -> int:
    """Check value of a base-32 number, 0 to 36; from 32 on it has no data symbol.

    References
    ----------
    D. Crockford, Base 32 (crockford.com/base32.html).
    """
    return value % 37


def base32(value: int, symbols: int) -> str:
    """Write ``value`` in base 32 with leading zeros up to ``symbols``.

    References
    ----------
    D. Crockford, Base 32 (crockford.com/base32.html).
    """
    return "".join(BASE32[value >> 5 * place & 31] for place in reversed(range(symbols)))


def number_of(code: str) -> int:
    """Read bare base-32 symbols as a number."""
    value = 0
    for symbol in code:
        value = value * 32 + BASE32.index(symbol)
    return value


def _draws(bits: RandomBits, count: int) -> Iterator[int]:
    while True:
        yield bits(count)

"""What can go wrong at the desk, and what the user is told.

PassportError
└── DeskError              exit code 2: what was asked can't be done
    ├── NobodyYet          the desk was opened before anybody can sign in
    ├── NameUnusable       a name that nobody could tell apart or type
    ├── NameTaken          a name that somebody has
    ├── PersonUnknown      nobody of that name
    ├── PasswordShort      a password that is too short
    ├── PasswordCommon     a password that is soon guessed
    ├── PasswordWrong      the password before, asked for a new one, does not fit
    ├── TooOften           wrong passwords or codes, one after the other
    ├── CodeWrong          a code of the second factor that does not fit
    ├── FactorNeeded       an administrator without a second factor
    └── LastAdministrator  nobody would be left who can let people in
"""

from math import ceil

from passport.errors import PassportError


class DeskError(PassportError):
    """What was asked of the desk can't be done."""

    exit_code = 2


class NobodyYet(DeskError):
    """Nobody can sign in at the desk yet."""

    def __init__(self) -> None:
        super().__init__(
            "Nobody can sign in at the desk yet. Add the first person with: "
            "table-passport desk add NAME --role administrator"
        )


class NameUnusable(DeskError):
    """A name that nobody could tell apart or type."""

    def __init__(self, name: str, most: int):
        self.name = name
        super().__init__(
            f"{name!r} can't be a name to sign in with: it takes 1 to {most} letters, digits, "
            "points and hyphens, no blanks. Choose another one."
        )


class NameTaken(DeskError):
    """Somebody has this name."""

    def __init__(self, name: str):
        self.name = name
        super().__init__(f"Somebody signs in as {name} already. Choose another name.")


class PersonUnknown(DeskError):
    """Nobody of this name may sign in."""

    def __init__(self, name: str):
        self.name = name
        super().__init__(f"Nobody signs in as {name}. Look at: table-passport desk people")


class PasswordShort(DeskError):
    """A password that is too short to resist guessing."""

    def __init__(self, found: int, least: int):
        self.found, self.least = found, least
        super().__init__(
            f"The password has {found} characters; at least {least} are needed. "
            "Several words that do not belong together are easy to remember."
        )


class PasswordCommon(DeskError):
    """A password that is soon guessed."""

    def __init__(self) -> None:
        super().__init__(
            "This password is soon guessed: it repeats itself, or is made of the name, of one "
            "well-known word or of a row of keys. Choose several words that nobody connects."
        )


class PasswordWrong(DeskError):
    """The present password does not fit."""

    def __init__(self) -> None:
        super().__init__("The present password does not fit, so nothing was changed. Try again.")


class TooOften(DeskError):
    """Wrong passwords or codes, one after the other."""

    def __init__(self, what: str, wait_s: float):
        self.what, self.wait_s = what, ceil(wait_s)
        super().__init__(f"Too many wrong {what}. Wait {self.wait_s} s, then try again.")


class CodeWrong(DeskError):
    """A code of the second factor that does not fit."""

    def __init__(self) -> None:
        super().__init__(
            "This code does not fit, or was used before. Look whether the phone's clock is right, "
            "wait until it shows the next code, and type that."
        )


class FactorNeeded(DeskError):
    """Somebody who must have a second factor can't be without it."""

    def __init__(self, name: str):
        self.name = name
        super().__init__(
            f"{name} signs in with a second factor, as everybody of this role must, so it stays. "
            "Set up another phone in its place instead."
        )


class LastAdministrator(DeskError):
    """The desk would be left without anybody who can let people in."""

    def __init__(self, name: str):
        self.name = name
        super().__init__(
            f"{name} is the last administrator, so nothing was changed. "
            "Make somebody else an administrator first."
        )

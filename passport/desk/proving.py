"""Asking again who somebody is, with the same patience everywhere: OWASP ASVS 5.0, 6.3.1, 6.3.3."""

from passport.desk.errors import CodeWrong, PasswordWrong, TooOften
from passport.desk.here import address, desk, office


def prove(name: str, password: str) -> None:
    """Make sure that a password is the one of whoever is signed in.

    Raises
    ------
    TooOften, PasswordWrong
    """
    now = office().now()
    wait = desk().throttle.wait_s(address(), name, now)
    if wait > 0:
        raise TooOften("passwords", wait)
    if desk().people.check(name, password) is None:
        desk().throttle.wrong(address(), name, now)
        desk().diary.write(name, address(), "wrong password", now)
        raise PasswordWrong


def prove_code(name: str, code: str) -> None:
    """Make sure that a code is one of somebody's second factor, and use it up.

    Raises
    ------
    TooOften, CodeWrong
    """
    now = office().now()
    wait = desk().factors.wait_s(name, now)
    if wait > 0:
        raise TooOften("codes", wait)
    if not desk().factors.check(name, code, now):
        desk().diary.write(name, address(), "wrong code", now)
        raise CodeWrong

"""The second factor: a code that a phone reckons from a shared secret and the time.

Whoever has lost the phone types a recovery code instead; each counts once. What a phone shares with
the desk lies in the desk's own file, which is for its owner only: whoever may read that file can
sign in anyway, so it is not locked with a key that would lie beside it.

References
----------
RFC 6238 (TOTP) over RFC 4226 (HOTP): SHA-1, 30 s, six digits, which every app for this reckons.
OWASP ASVS 5.0, 6.5.1 to 6.5.5: once only, recovery codes hashed, from a sure source of chance.
"""

import secrets
from dataclasses import dataclass
from datetime import datetime
from hmac import compare_digest

import pyotp
from argon2 import PasswordHasher
from argon2.exceptions import VerificationError

from forms.numbers import BASE32
from passport.desk.memory import Memory

ISSUER = "Office desk"
STEP_S = 30  # RFC 6238, 5.2: the time step that it recommends
DRIFT = 1  # steps that a phone's clock may be off either way; RFC 6238, 5.2 and 6
OFFERED_S = 3600  # how long a secret that was shown may be put to use
CODES, SYMBOLS = 10, 10  # recovery codes, and the symbols of each: 50 random bits
FREE = 5  # wrong codes in a row that cost nothing
MOST_WAIT_S = 3600  # 40 tries a day: one day in 8,000 guesses one of the three codes that fit

_LOOKS_LIKE = str.maketrans("ILO", "110", " -")


@dataclass(frozen=True)
class Factors:
    """The second factors of everybody who has one."""

    memory: Memory
    hasher: PasswordHasher

    def has(self, name: str) -> bool:
        """Say whether somebody signs in with a second factor."""
        return bool(self.memory.rows("SELECT 1 FROM factors WHERE name = ?", name))

    def offered(self, name: str, at: datetime) -> str:
        """Give the secret that somebody may set up: the one before, or a new one after an hour."""
        found = self._offered(name, at)
        if found is None:
            found = pyotp.random_base32()
            row = (name, found, at.timestamp())
            self.memory.change("INSERT OR REPLACE INTO offered VALUES (?, ?, ?)", *row)
        return found

    def set_up(self, name: str, code: str, at: datetime) -> tuple[str, ...]:
        """Put the offered secret to use once its code fits, in place of the one before.

        Returns
        -------
        tuple of str
            Recovery codes, as they are shown this once; none if the code does not fit.
        """
        secret = self._offered(name, at)
        step = None if secret is None else step_of(secret, code, at)
        if step is None:
            return ()
        self.forget(name)
        row = (name, secret, step, 0, at.timestamp())
        self.memory.change("INSERT INTO factors VALUES (?, ?, ?, ?, ?)", *row)
        return self._new_recovery(name)

    def wait_s(self, name: str, at: datetime) -> float:
        """How long until the next code is looked at; doubled with each wrong one. [s]."""
        found = self.memory.rows("SELECT wrong, wrong_at FROM factors WHERE name = ?", name)
        wrong, since = (int(found[0]["wrong"]), float(found[0]["wrong_at"])) if found else (0, 0.0)
        if wrong < FREE:
            return 0.0
        pause = float(min(MOST_WAIT_S, 1 << min(wrong - FREE, 12)))
        return max(0.0, since + pause - at.timestamp())

    def check(self, name: str, typed: str, at: datetime) -> bool:
        """Say whether this is the phone's code, or a recovery code, and use it up."""
        if not self._may_try(name, at):
            return False
        code = typed.upper().translate(_LOOKS_LIKE)
        if not (self._is_code(name, code, at) or self._is_recovery(name, code)):
            return False
        self.memory.change("UPDATE factors SET wrong = 0 WHERE name = ?", name)
        return True

    def recovery_left(self, name: str) -> int:
        """Count the recovery codes that were not used yet."""
        return len(self.memory.rows("SELECT 1 FROM recovery WHERE name = ?", name))

    def forget(self, name: str) -> None:
        """Take somebody's second factor away, recovery codes and offers included."""
        for table in ("factors", "recovery", "offered"):
            self.memory.change(f"DELETE FROM {table} WHERE name = ?", name)

    def _may_try(self, name: str, at: datetime) -> bool:
        """Count a try before it is looked at: many at once are no more than one."""
        now, pause = at.timestamp(), f"MIN({MOST_WAIT_S}, 1 << MIN(12, wrong - {FREE}))"
        may = f"wrong < {FREE} OR wrong_at + {pause} <= ?"
        count = f"UPDATE factors SET wrong = wrong + 1, wrong_at = ? WHERE name = ? AND ({may})"
        return bool(self.memory.change(count, now, name, now))

    def _is_code(self, name: str, code: str, at: datetime) -> bool:
        found = self.memory.rows("SELECT secret FROM factors WHERE name = ?", name)
        step = step_of(found[0]["secret"], code, at) if found else None
        used = "UPDATE factors SET step = ? WHERE name = ? AND step < ?"  # RFC 6238, 5.2: once
        return step is not None and bool(self.memory.change(used, step, name, step))

    def _is_recovery(self, name: str, code: str) -> bool:
        place, symbols = code[:1], code[1:]
        of = (name, place)
        found = self.memory.rows("SELECT hash FROM recovery WHERE name = ? AND place = ?", *of)
        try:
            fits = bool(found) and self.hasher.verify(found[0]["hash"], symbols)
        except VerificationError:
            return False
        used = "DELETE FROM recovery WHERE name = ? AND place = ?"
        return fits and bool(self.memory.change(used, *of))

    def _offered(self, name: str, at: datetime) -> str | None:
        since = at.timestamp() - OFFERED_S
        query = "SELECT secret FROM offered WHERE name = ? AND at > ?"
        found = self.memory.rows(query, name, since)
        return str(found[0]["secret"]) if found else None

    def _new_recovery(self, name: str) -> tuple[str, ...]:
        codes = ["".join(secrets.choice(BASE32) for _ in range(SYMBOLS)) for _ in range(CODES)]
        hashed = ((name, str(place), self.hasher.hash(one)) for place, one in enumerate(codes))
        self.memory.add("recovery", tuple(hashed))
        half = SYMBOLS // 2
        return tuple(f"{place}-{one[:half]}-{one[half:]}" for place, one in enumerate(codes))


def step_of(secret: str, code: str, at: datetime) -> int | None:
    """Say which time step a code belongs to, among those near this moment; None for none."""
    now = int(at.timestamp()) // STEP_S
    typed = "".join(code.split())
    near = (now - DRIFT, now, now + DRIFT)
    fits = [one for one in near if compare_digest(code_at(secret, one).encode(), typed.encode())]
    return fits[-1] if fits else None


def code_at(secret: str, step: int) -> str:
    """Reckon the code of a time step, as a phone does: RFC 6238, 4.2."""
    return pyotp.HOTP(secret).at(step)


def address_for_phone(name: str, secret: str) -> str:
    """Say all that a phone's app must know, as its QR code holds it."""
    return pyotp.TOTP(secret, name=name, issuer=ISSUER).provisioning_uri()

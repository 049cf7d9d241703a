"""Each message of the desk, whole, once."""

import pytest

from passport.desk import errors
from passport.office.pictures import PictureGone

MESSAGES = [
    (
        errors.NobodyYet(),
        "Nobody can sign in at the desk yet. Add the first person with: "
        "table-passport desk add NAME --role administrator",
    ),
    (
        errors.NameUnusable("a b", 32),
        "'a b' can't be a name to sign in with: it takes 1 to 32 letters, digits, points and "
        "hyphens, no blanks. Choose another one.",
    ),
    (
        errors.NameTaken("ann"),
        "Somebody signs in as ann already. Choose another name.",
    ),
    (
        errors.PersonUnknown("ann"),
        "Nobody signs in as ann. Look at: table-passport desk people",
    ),
    (
        errors.PasswordShort(3, 12),
        "The password has 3 characters; at least 12 are needed. "
        "Several words that do not belong together are easy to remember.",
    ),
    (
        errors.PasswordCommon(),
        "This password is soon guessed: it repeats itself, or is made of the name, of one "
        "well-known word or of a row of keys. Choose several words that nobody connects.",
    ),
    (
        errors.PasswordWrong(),
        "The present password does not fit, so nothing was changed. Try again.",
    ),
    (
        PictureGone("8K2M4QX07RJ", 2),
        "Page 2 of form 8K2M4QX07RJ can't be shown from its photo. Look at the paper itself, or "
        "photograph the page again and take it in.",
    ),
    (
        errors.TooOften("codes", 3.2),
        "Too many wrong codes. Wait 4 s, then try again.",
    ),
    (
        errors.CodeWrong(),
        "This code does not fit, or was used before. Look whether the phone's clock is right, wait "
        "until it shows the next code, and type that.",
    ),
    (
        errors.FactorNeeded("ann"),
        "ann signs in with a second factor, as everybody of this role must, so it stays. "
        "Set up another phone in its place instead.",
    ),
    (
        errors.LastAdministrator("ann"),
        "ann is the last administrator, so nothing was changed. "
        "Make somebody else an administrator first.",
    ),
]


@pytest.mark.parametrize(("error", "said"), MESSAGES, ids=lambda x: type(x).__name__)
def test_each_message_says_what_was_found_and_what_to_do(error: errors.DeskError, said: str):
    assert str(error) == said


@pytest.mark.parametrize(
    "password",
    [
        "aaaaaaaaaaaaaaaa",
        "some-clerk12",
        "123456789012",
        "qwertyuiop12",
        "abababababab",
        "1q2w3e4r5t6y",
        "unbelievable",
        "iloveyou1234",
        "administrator",
        "table-passport",
    ],
)
def test_a_password_that_is_soon_guessed_is_refused(desk, password: str):
    with pytest.raises(errors.PasswordCommon):
        desk.people.give_password("some-clerk", password)


def test_a_sound_password_of_any_script_and_length_is_taken(desk):
    for password in ("вісім тихих ламп", "four odd green lamps " * 10):
        desk.people.give_password("some-clerk", password)

        assert desk.people.check("some-clerk", password) is not None

"""Fields and their boxes."""

from forms.field import Box, Choice, Digits, Note, Option, Scale, Tick, boxes_of, moved

ONE, TWO = Box(1, 2, 4, 5), Box(8, 2, 4, 5)
OPTIONS = (Option("+", ONE), Option("-", TWO))


def test_a_choice_has_the_boxes_of_its_options() -> None:
    assert boxes_of(Choice("sign", "sign", OPTIONS)) == (ONE, TWO)


def test_digits_have_their_boxes_in_order() -> None:
    assert boxes_of(Digits("air", "air", "%", (ONE, TWO))) == (ONE, TWO)


def test_a_note_has_one_box() -> None:
    assert boxes_of(Note("notes", "notes", ONE)) == (ONE,)


def test_a_moved_tick_moves_its_box() -> None:
    assert moved(Tick("done", "done", ONE), 10, 20) == Tick("done", "done", Box(11, 22, 4, 5))


def test_a_moved_scale_keeps_its_bounds() -> None:
    scale = Scale("count", "count", "card", (Option(5, ONE, bound=True),))

    assert moved(scale, 10, 20).options == (Option(5, Box(11, 22, 4, 5), bound=True),)


def test_moved_digits_keep_their_point() -> None:
    digits = Digits("size", "size", "mm", (ONE, TWO), decimals=1)

    assert moved(digits, 10, 20) == Digits(
        "size", "size", "mm", (Box(11, 22, 4, 5), Box(18, 22, 4, 5)), decimals=1
    )

import pytest

from passport.quantity import UnreadableQuantity
from passport.table import Hand, Thread
from passport.thread import HandsDiffer, PitchImpossible, PitchNotOfSeries, parse_thread

THREADS = [  # as written, mm a turn
    ("3/8-16 UNC", 1.5875),
    ("3/8-16", 1.5875),
    ('3/8"-16', 1.5875),
    ("3/8 UNC", 1.5875),
    ("1/2-13", 25.4 / 13),
    ("#10-32 UNF", 25.4 / 32),
    ("1 1/4-7", 25.4 / 7),
    ("1-1/4-7", 25.4 / 7),
    ("3/8-20 UN", 1.27),
    ("M10x1.5", 1.5),
    ("M10 × 1,25", 1.25),
    ("m8x1", 1.0),
]


@pytest.mark.parametrize(("text", "pitch"), THREADS)
def test_thread_has_its_travel_and_keeps_what_was_written(text: str, pitch: float):
    read = parse_thread(text)

    assert (read.thread, read.pitch_assumed) == (Thread(text, pitch, Hand.RIGHT), False)


@pytest.mark.parametrize(("text", "pitch"), [("M10", 1.5), ("M12", 1.75), ("3/8", 1.5875)])
def test_thread_without_pitch_has_the_coarse_one_assumed(text: str, pitch: float):
    read = parse_thread(text)

    assert (read.thread.pitch_mm, read.pitch_assumed) == (pitch, True)


@pytest.mark.parametrize("text", ["3/8-16 left", "M10x1.5 LH", "M10-LH", "M10 left-hand"])
def test_hand_may_follow_the_thread(text: str):
    read = parse_thread(text)

    assert (read.thread.hand, read.hand_assumed) == (Hand.LEFT, False)


def test_hand_may_stand_apart():
    assert parse_thread("M10x1.5", Hand.LEFT).thread.hand is Hand.LEFT


def test_hand_that_nobody_wrote_is_right_and_assumed():
    read = parse_thread("M10x1.5")

    assert (read.thread.hand, read.hand_assumed) == (Hand.RIGHT, True)


@pytest.mark.parametrize("text", ["bolt", "M11", "3/0-16", "11/32 UNC", "1-8-9", "M10 lefty", ""])
def test_thread_that_says_something_else_is_refused(text: str):
    with pytest.raises(UnreadableQuantity) as refused:
        parse_thread(text)

    assert refused.value.found == text


def test_count_that_is_not_of_the_series_is_refused():
    with pytest.raises(PitchNotOfSeries) as refused:
        parse_thread("3/8-24 UNC", key="legs.1.thread")

    assert str(refused.value) == (
        "legs.1.thread is '3/8-24 UNC', but UNC of that size has 16 threads to the inch. Measure "
        "the thread with a pitch gauge, and write the count or the series that fits."
    )


@pytest.mark.parametrize("text", ["M10x9", "M10x0.1", "3/8-1", "3/8-0", "M0x1"])
def test_pitch_that_its_diameter_has_no_room_for_is_refused(text: str):
    with pytest.raises(PitchImpossible) as refused:
        parse_thread(text, key="legs.1.thread")

    assert str(refused.value) == (
        f"legs.1.thread is '{text}': such a pitch doesn't fit its diameter. "
        "Measure the thread with a pitch gauge, and write it like M10x1.5 or 3/8-16."
    )


def test_two_different_hands_are_refused():
    with pytest.raises(HandsDiffer) as refused:
        parse_thread("M10 LH", Hand.RIGHT, "legs.1.thread")

    assert str(refused.value) == (
        "legs.1.thread is 'M10 LH', but its hand is given as 'right'. "
        "Look at the thread: rising to the right is a right-hand one; then write it once."
    )

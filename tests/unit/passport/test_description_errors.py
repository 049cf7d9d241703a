"""Every message about a description, whole."""

import pytest

from passport.description.errors import (
    DescriptionUnusable,
    NotToml,
    ScaleTooCoarse,
    StepUnknown,
)
from passport.table_file import read_table, table_number

TOP = 'name = "Hall table"\nsite = "Invented hall"\n'
BOARD = '[board]\nlength = "9 ft"\n'
KIT = '[kit]\ncard = "0.005 in"\n'
TURNING = '[[legs]]\nat = "1 ft"\nthread = "3/8-16"\n[[legs]]\nat = "8 ft"\nthread = "3/8-16"\n'
RISING = "".join(
    f'[[legs]]\nat = "{at}"\nthread = "3/8-16"\n' for at in ("22 in", "11 ft", "20 ft 2 in")
)
GOOD_LEG = '[[legs]]\nat = "8 ft"\n'


def problems_of(text: str) -> list[str]:
    with pytest.raises(DescriptionUnusable) as refused:
        read_table(text, "hall.toml", "401273456")
    return [str(problem) for problem in refused.value.problems]


def with_board(text: str) -> str:
    return f"{TOP}{KIT}{BOARD}{text}"


def with_kit(text: str) -> str:
    return f"{TOP}{BOARD}{KIT}{text}"


def with_part(text: str) -> str:
    return f"{TOP}{BOARD}{KIT}{text}"


def test_all_problems_of_a_file_are_told_at_once():
    with pytest.raises(DescriptionUnusable) as refused:
        read_table(with_board('width = "2 fee"\nwide = "20 in"\n'), "hall.toml", "401273456")

    assert str(refused.value) == (
        "hall.toml has 2 things to put right; nothing of it was stored.\n"
        "- board.wide is not a known key. Did you mean width?\n"
        "- board.width is '2 fee', which can't be read as a length. Write it like 22 ft, 6' 3\", "
        "20 1/2 in, 0.005 in, 508 mm, 12,5 mm or 1.5 m."
    )


def test_one_problem_is_told_in_the_singular():
    with pytest.raises(DescriptionUnusable) as refused:
        read_table(f"{TOP}{BOARD}", "hall.toml", "401273456")

    assert str(refused.value) == (
        "hall.toml has 1 thing to put right; nothing of it was stored.\n"
        "- kit.card is missing. Write the thickness of one card of this kit: measure a stack of "
        'ten with a micrometer and divide by ten, like "0.0078 in".'
    )


def test_file_that_is_not_toml_names_the_place():
    with pytest.raises(NotToml) as refused:
        read_table('name = "Hall"\nsite = hall\n', "hall.toml", "401273456")

    assert str(refused.value) == (
        "hall.toml can't be read at line 2, column 8. Each line is a key, an equals sign and a "
        'value, and text stands in double quotes, like length = "22 ft"; correct it there.'
    )


def test_number_of_a_file_that_is_not_toml_is_refused_too():
    with pytest.raises(NotToml) as refused:
        table_number("name = [", "hall.toml")

    assert str(refused.value) == (
        "hall.toml can't be read at end of document. Each line is a key, an equals sign and a "
        'value, and text stands in double quotes, like length = "22 ft"; correct it there.'
    )


def test_empty_file_names_all_that_nobody_can_assume():
    assert problems_of("") == [
        'board.length is missing. Write the length of the board, like "22 ft".',
        'name is missing. Write what the office calls the table, like "Hall table 1".',
        'site is missing. Write where the table stands, like "Club house, ground floor".',
        "kit.card is missing. Write the thickness of one card of this kit: measure a stack of "
        'ten with a micrometer and divide by ten, like "0.0078 in".',
    ]


ONE_PROBLEM = {
    "unknown key without a near one": (
        with_kit("colour = 1\n"),
        "kit.colour is not a known key. Known here: name, level_length, bearing_length, "
        "sensitivity, display_step, cross_by, cross_read, card, card_uncertainty, feelers, "
        "feeler_uncertainty, level_zero, "
        "level_zero_uncertainty, edge_bow, edge_bow_uncertainty, checked, rise_by, line_mass, "
        "line_mass_uncertainty, line_weight, line_weight_uncertainty, line_blocks, "
        "line_blocks_uncertainty, laser_slope, laser_slope_uncertainty, rise_step, "
        "rise_uncertainty.",
    ),
    "zero without its uncertainty": (
        with_kit('level_zero = "0.12 mm/m"\n'),
        "kit.level_zero_uncertainty is missing. Write the standard uncertainty of kit.level_zero.",
    ),
    "uncertainty of nothing": (
        with_kit('edge_bow_uncertainty = "0.01 mm"\n'),
        "kit.edge_bow is missing. Write what kit.edge_bow_uncertainty is the uncertainty of.",
    ),
    "bow of half an inch": (
        with_kit('edge_bow = "1/2 in"\nedge_bow_uncertainty = "0.001 in"\n'),
        "kit.edge_bow is '1/2 in', more than a level in use has (5 mm/m, 5 mm). Correct its unit; "
        "if it is so, have the level adjusted and check it again.",
    ),
    "day in quotes": (
        with_kit('checked = "4 May"\n'),
        "kit.checked is '4 May'. Write a day without quotes: 2026-05-04.",
    ),
    "unknown section": (
        f'{TOP}{BOARD}{KIT}[bracket]\nat = "1 ft"\n',
        "bracket is not a known key. Did you mean brackets?",
    ),
    "number without unit": (
        with_board("width = 20\n"),
        "board.width is '20', which can't be read as a length. Write it like 22 ft, 6' 3\", "
        "20 1/2 in, 0.005 in, 508 mm, 12,5 mm or 1.5 m.",
    ),
    "thousands": (
        with_board('width = "1,508 mm"\n'),
        "board.width is '1,508 mm': the comma can mean a decimal or a thousand. "
        "Write '1508 mm' or '1.508 mm'.",
    ),
    "truth for a length": (
        with_board("width = true\n"),
        "board.width is true. Write a number with its unit, in quotes.",
    ),
    "list for a length": (
        with_board('width = ["20 in"]\n'),
        "board.width is a list. Write a number with its unit, in quotes.",
    ),
    "number for a text": (with_board("wood = 3\n"), "board.wood is '3'. Write text in quotes."),
    "blank text": (with_board('wood = " "\n'), "board.wood is ' '. Write text in quotes."),
    "long text": (
        with_board(f'wood = "{"m" * 61}"\n'),
        "board.wood has 61 characters; 60 fit on a printed line. Shorten it.",
    ),
    "text with a control character": (
        with_board('wood = "maple\\u001b[2J"\n'),
        "board.wood holds a character that can't be printed (U+001B). "
        "Type the text again without it.",
    ),
    "infinite size": (
        with_board("width = inf\n"),
        "board.width is 'Infinity', which can't be read as a length. Write it like 22 ft, "
        "6' 3\", 20 1/2 in, 0.005 in, 508 mm, 12,5 mm or 1.5 m.",
    ),
    "text for a section": (
        f'{TOP}room = "cold"\n{BOARD}{KIT}',
        "room is 'cold'. Write its values as a section of keys: heated, dry_months, damp_months, "
        "visit_within_weeks.",
    ),
    "section for a list": (
        with_part('[brackets]\nat = "1 ft"\n'),
        "brackets is a section. Write each one under its own [[brackets]], in double brackets.",
    ),
    "unknown word": (
        f'units = "furlong"\n{TOP}{BOARD}{KIT}',
        "units is 'furlong', which is not understood. Write imperial or metric.",
    ),
    "size of zero": (
        with_part(f'{GOOD_LEG}[[legs]]\nat = "1 ft"\nfoot_spacing = "0 in"\n'),
        "legs.2.foot_spacing is '0 in'; it must be more than zero. Measure it and correct it.",
    ),
    "thread left below zero": (
        with_part(f'{GOOD_LEG}[[legs]]\nat = "1 ft"\nthread_left = "-1 in"\n'),
        "legs.2.thread_left is '-1 in'; it can't be below zero. Measure it and correct it.",
    ),
    "feet too far apart": (
        with_part(f'{GOOD_LEG}[[legs]]\nat = "1 ft"\nfoot_spacing = "4 ft"\n'),
        "legs.2.foot_spacing is '4 ft', more than twice board.width, '20 in' (assumed). "
        "Measure both again and correct the wrong one.",
    ),
    "wider than long": (
        with_board('width = "10 ft"\n'),
        "board.width is '10 ft', more than board.length, '9 ft'. "
        "Measure both again and correct the wrong one.",
    ),
    "thicker than wide": (
        with_board('thickness = "21 in"\n'),
        "board.thickness is '21 in', more than board.width, '20 in' (assumed). "
        "Measure both again and correct the wrong one.",
    ),
    "leg beyond the board": (
        with_part(f'{GOOD_LEG}[[legs]]\nat = "10 ft"\n'),
        "legs.2.at is '10 ft', but the board reaches from 0 at end A to '9 ft' at end B. "
        "Measure its distance from end A along the board.",
    ),
    "bracket before the board": (
        with_part('[[brackets]]\nat = "-1 in"\n'),
        "brackets.1.at is '-1 in', but the board reaches from 0 at end A to '9 ft' at end B. "
        "Measure its distance from end A along the board.",
    ),
    "two brackets in one place": (
        with_part('[[brackets]]\nat = "2 ft"\n[[brackets]]\nat = "24 1/2 in"\n'),
        "brackets.2.at is '24 1/2 in' and brackets.1.at is '2 ft': both would stand in one place "
        "(less than 1 in, 25.4 mm, apart). Measure both from end A, or take one out.",
    ),
    "two legs in one place": (
        with_part(f"{GOOD_LEG}{GOOD_LEG}"),
        "legs.2.at is '8 ft' and legs.1.at is '8 ft': both would stand in one place "
        "(less than 1 in, 25.4 mm, apart). Measure both from end A, or take one out.",
    ),
    "place left out once": (
        with_part(f"{GOOD_LEG}[[legs]]\n"),
        "legs.2.at is missing, though others are given. Write its distance from end A, "
        'like "4 ft 6 in", or leave all of them out to have them assumed.',
    ),
    "one leg": (
        with_part(GOOD_LEG),
        "legs has 1 of the 2 legs that a table needs at least. Describe each leg under its own "
        "[[legs]], or leave all out to have them assumed from the board's length.",
    ),
    "one leg without its place": (
        with_part("[[legs]]\n"),
        "legs has 1 of the 2 legs that a table needs at least. Describe each leg under its own "
        "[[legs]], or leave all out to have them assumed from the board's length.",
    ),
    "no legs": (
        f"legs = []\n{TOP}{BOARD}{KIT}",
        "legs has 0 of the 2 legs that a table needs at least. Describe each leg under its own "
        "[[legs]], or leave all out to have them assumed from the board's length.",
    ),
    "centre leg at an end": (
        with_part(f'{GOOD_LEG}[[legs]]\nat = "1 ft"\nrole = "centre"\n'),
        "legs.2.role is 'centre', which doesn't fit there: the first and the last leg along the "
        "board are end legs, those between are supporting, at most one of them centre. "
        "Write end, or correct where the leg is.",
    ),
    "end leg in the middle": (
        with_part('[[legs]]\nat="1 ft"\n[[legs]]\nat="4 ft"\nrole="end"\n[[legs]]\nat="8 ft"\n'),
        "legs.2.role is 'end', which doesn't fit there: the first and the last leg along the "
        "board are end legs, those between are supporting, at most one of them centre. "
        "Write supporting, or correct where the leg is.",
    ),
    "two centre legs": (
        with_part(
            '[[legs]]\nat = "1 ft"\n[[legs]]\nat = "3 ft"\nrole = "centre"\n'
            '[[legs]]\nat = "5 ft"\nrole = "centre"\n[[legs]]\nat = "8 ft"\n'
        ),
        "legs.3.role is 'centre', which doesn't fit there: the first and the last leg along the "
        "board are end legs, those between are supporting, at most one of them centre. "
        "Write supporting, or correct where the leg is.",
    ),
    "hand without thread": (
        with_part('[[brackets]]\nat = "2 ft"\nhand = "left"\n'),
        "brackets.1.hand is 'left', but the thread itself is not given. "
        'Write thread = "3/8-16 UNC" or what it is, or leave the hand out.',
    ),
    "thread that contradicts itself": (
        with_part('[[brackets]]\nat = "2 ft"\nthread = "3/8-24 UNC"\n'),
        "brackets.1.thread is '3/8-24 UNC', but UNC of that size has 16 threads to the inch. "
        "Measure the thread with a pitch gauge, and write the count or the series that fits.",
    ),
    "unreadable thread": (
        with_part('[[brackets]]\nat = "2 ft"\nthread = "bolt"\n'),
        "brackets.1.thread is 'bolt', which can't be read as a thread. "
        "Write it like 3/8-16 UNC, 1/2-13 or M10x1.5.",
    ),
    "bubble and display": (
        with_kit('sensitivity = "0.5 mm/m"\ndisplay_step = "0.05 deg"\n'),
        "kit.sensitivity is '0.5 mm/m' and kit.display_step is '0.05 deg': a bubble has the "
        "first, a digital level the second. Take out the one that this level doesn't have.",
    ),
    "level longer than the board": (
        with_kit('level_length = "10 ft"\n'),
        "kit.level_length is '10 ft', more than board.length, '9 ft'. "
        "Measure both again and correct the wrong one.",
    ),
    "bearing longer than the level": (
        with_kit('level_length = "16 in"\nbearing_length = "17 in"\n'),
        "kit.bearing_length is '17 in', more than kit.level_length, '16 in'. "
        "Measure both again and correct the wrong one.",
    ),
    "bearing longer than the board is wide": (
        with_kit('bearing_length = "22 in"\n'),
        "kit.bearing_length is '22 in', more than board.width, '20 in' (assumed). "
        "Measure both again and correct the wrong one.",
    ),
    "feelers as one text": (
        with_kit('feelers = "0.05 mm"\n'),
        "kit.feelers is '0.05 mm'. Write lengths in quotes, thinnest first: "
        '["0.05 mm", "0.10 mm", "0.15 mm"].',
    ),
    "a feeler without quotes": (
        with_kit("feelers = [0.05]\n"),
        "kit.feelers is '0.05'. Write lengths in quotes, thinnest first: "
        '["0.05 mm", "0.10 mm", "0.15 mm"].',
    ),
    "feelers out of order": (
        with_kit('feelers = ["0.10 mm", "0.05 mm", "0.15 mm"]\n'),
        "kit.feelers is '0.10 mm, 0.05 mm, 0.15 mm'; a form's scale holds 3 to 8 feelers, each "
        "thicker than the one before. Write those that you use, thinnest first.",
    ),
    "feelers too few": (
        with_kit('feelers = ["0.10 mm", "0.15 mm"]\n'),
        "kit.feelers is '0.10 mm, 0.15 mm'; a form's scale holds 3 to 8 feelers, each thicker than "
        "the one before. Write those that you use, thinnest first.",
    ),
    "feeler's uncertainty without feelers": (
        with_kit('feeler_uncertainty = "0.002 mm"\n'),
        "kit.feelers is missing. Write what kit.feeler_uncertainty is the uncertainty of.",
    ),
    "feelers too far apart": (
        with_kit('feelers = ["0.1 mm", "0.2 mm", "0.9 mm"]\n'),
        "targets.hollow_tolerance is '0.0075 in' (assumed), but no two neighbours of this kit's "
        "feelers can prove that B1, B2 and B3 are within it. Put finer ones about 0.02 in "
        "(0.508 mm) into kit.feelers, or write a wider tolerance.",
    ),
    "card of an inch": (
        f'{TOP}{BOARD}[kit]\ncard = "1 in"\n',
        "kit.card is '1 in'; no card is thicker than 3 mm (0.118 in). "
        "Measure a stack of ten with a micrometer and divide by ten.",
    ),
    "card less certain than thick": (
        with_kit('card_uncertainty = "0.006 in"\n'),
        "kit.card_uncertainty is '0.006 in', more than kit.card, '0.005 in'. "
        "Measure both again and correct the wrong one.",
    ),
    "tolerance of zero": (
        with_part('[targets]\nhollow_tolerance = "0 in"\n'),
        "targets.hollow_tolerance is '0 in'; it must be more than zero. Measure it and correct it.",
    ),
    "slope for a hollow": (
        with_part('[targets]\ncross = "1 mm"\n'),
        "targets.cross is '1 mm', which can't be read as a slope. "
        "Write it like 0.8 mm/m, 1/8 in/ft, 0.05 deg or 2 arc minutes.",
    ),
    "rise on two legs": (
        with_part('[targets]\nrise = "1/8 in"\n'),
        "targets.rise is '1/8 in', but without a centre leg the ends can't be raised by feet. "
        "Take it out, or give the leg in the middle the role centre.",
    ),
    "rise that floats the board": (
        with_part(
            '[[legs]]\nat = "9 in"\n[[legs]]\nat = "4 ft 6 in"\n[[legs]]\nat = "8 ft 3 in"\n'
            '[targets]\nrise = "1/8 in"\n'
        ),
        "targets.rise is '1/8 in', but above 0.0079 in this board is about to float off its "
        "centre leg. Write 0.0079 in or less, or leave it out to have it assumed.",
    ),
    "slope finer than quarter turns": (
        f'{TOP}{BOARD}{TURNING}[targets]\ncross_tolerance = "0.35 mm/m"\n'
        '[kit]\ncard = "0.002 in"\nsensitivity = "0.1 mm/m"\n',
        "targets.cross_tolerance is '0.35 mm/m', finer than quarter turns can set: at L1 and L2 "
        "the nearest one may be 0.0047 in/ft (0.4 mm/m) off. Write 0.0047 in/ft (0.4 mm/m) or "
        "more.",
    ),
    "rise finer than quarter turns": (
        f'{TOP}[board]\nlength = "22 ft"\n{KIT}{RISING}[targets]\nrise_tolerance = "0.05 mm"\n',
        "targets.rise_tolerance is '0.05 mm', finer than quarter turns can set: at L1 and L3 the "
        "nearest one may be 0.004 in (0.1 mm) off. Write 0.004 in (0.1 mm) or more.",
    ),
    "display coarser than a tolerance": (
        with_kit('display_step = "0.1 deg"\n'),
        "targets.cross_tolerance is '0.8 mm/m' (assumed), less than one step of the level's "
        "display, 0.021 in/ft (1.75 mm/m). Take a level with a finer display and correct "
        "kit.display_step, or write 0.021 in/ft (1.75 mm/m) or more.",
    ),
    "cards too thick for a hollow": (
        f'{TOP}{BOARD}[kit]\ncard = "0.0138 in"\n',
        "targets.hollow_tolerance is '0.0075 in' (assumed), but no count of cards of 0.0138 in "
        "(0.351 mm) can prove that B1, B2 and B3 are within it. Cards of 0.0085 in (0.216 mm) "
        "could: measure such a pack and correct kit.card, or write a wider tolerance.",
    ),
    "bubble too coarse for any card": (
        with_kit('sensitivity = "5 mm/m"\n'),
        "targets.cross_tolerance is '0.8 mm/m' (assumed), but no count of cards of 0.005 in "
        "(0.127 mm) can prove that L1 and L2 are within it. No thinner card could either: write "
        "a wider tolerance, or describe a finer kit.",
    ),
    "heated by word": (
        with_part('[room]\nheated = "yes"\n'),
        "room.heated is 'yes'. Write true or false, without quotes.",
    ),
    "weeks as text": (
        with_part('[room]\nvisit_within_weeks = "26 weeks"\n'),
        "room.visit_within_weeks is '26 weeks'. Write a whole number of weeks from 1 to 52, "
        "like 26.",
    ),
    "weeks of two years": (
        with_part("[room]\nvisit_within_weeks = 104\n"),
        "room.visit_within_weeks is '104'. Write a whole number of weeks from 1 to 52, like 26.",
    ),
    "months as text": (
        with_part('[room]\ndry_months = "January"\n'),
        'room.dry_months is \'January\'. Write months, like ["January", "February"].',
    ),
    "unknown month": (
        with_part('[room]\ndry_months = ["Smarch"]\n'),
        "room.dry_months is 'Smarch', which is not understood. Write January, February, March, "
        "April, May, June, July, August, September, October, November or December.",
    ),
    "number that is not text": (
        f"number = 401273456\n{TOP}{BOARD}{KIT}",
        "number is '401273456'. Write text in quotes.",
    ),
}


@pytest.mark.parametrize(("text", "message"), ONE_PROBLEM.values(), ids=ONE_PROBLEM)
def test_problem_is_told_alone_with_key_value_and_cure(text: str, message: str):
    assert problems_of(text) == [message]


def test_place_before_the_board_is_told_though_its_length_is_unknown():
    text = f'{TOP}{KIT}[board]\nlength = "9"\n[[brackets]]\nat = "-1 in"\n'

    assert problems_of(text)[1:] == [
        "brackets.1.at is '-1 in'; it can't be below zero. Measure it and correct it."
    ]


def test_unreadable_width_is_told_once():
    assert len(problems_of(with_board('width = "0 in"\n'))) == 1


def test_rise_that_a_message_allows_is_accepted():
    text = (
        '[[legs]]\nat = "9 in"\n[[legs]]\nat = "4 ft 6 in"\n[[legs]]\nat = "8 ft 3 in"\n'
        '[targets]\nrise = "0.0079 in"\n'
    )

    assert read_table(with_part(text), "hall.toml", "401273456").targets.rise_mm is not None


def test_many_brackets_are_named_from_first_to_last():
    text = f'{TOP}[board]\nlength = "22 ft"\n[kit]\ncard = "0.0138 in"\n'

    assert "can prove that B1 to B8 are within it" in problems_of(text)[0]


def test_tolerance_that_a_message_allows_is_accepted():
    text = with_part(f'{TURNING}[targets]\ncross_tolerance = "0.0047 in/ft"\n')

    assert read_table(text, "hall.toml", "401273456").targets.cross_mm_per_m.value == 0


def test_rise_just_above_what_a_message_allows_is_refused():
    text = (
        '[[legs]]\nat = "9 in"\n[[legs]]\nat = "4 ft 6 in"\n[[legs]]\nat = "8 ft 3 in"\n'
        '[targets]\nrise = "0.0080 in"\n'
    )

    assert "Write 0.0079 in or less" in problems_of(with_part(text))[0]


def test_step_unknown_asks_for_what_is_counted():
    assert str(StepUnknown("kit.cross_by", "divisions", "kit.sensitivity")) == (
        "kit.cross_by is 'divisions', but kit.sensitivity is not written, so nobody knows how much "
        "one of them is. Write kit.sensitivity as it stands on the level, or take kit.cross_by "
        "out: the level is then levelled with cards."
    )


def test_scale_too_coarse_names_the_cards_that_could():
    error = ScaleTooCoarse(
        "targets.cross_tolerance", "'0.5 mm/m'", ("0.87 mm/m (0.0105 in/ft)", "boxes"), "0.13 mm"
    )

    assert str(error) == (
        "targets.cross_tolerance is '0.5 mm/m', but one of the boxes that this level is read by is "
        "0.87 mm/m (0.0105 in/ft): none of them can prove that a leg is within it. Cards of 0.13 "
        "mm under this level could: take kit.cross_by out; or describe a finer level, or write a "
        "wider tolerance."
    )


def test_scale_too_coarse_without_cards_that_could():
    error = ScaleTooCoarse("k", "'0.1 mm/m'", ("0.3 mm/m", "divisions"), None)

    assert str(error).endswith("within it. Describe a finer level, or write a wider tolerance.")

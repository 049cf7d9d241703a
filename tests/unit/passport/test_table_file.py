import pytest

from passport.description.errors import DescriptionUnusable
from passport.invented import invented_descriptions
from passport.table import (
    Board,
    FootType,
    Hand,
    Kit,
    Leg,
    LineLaser,
    Own,
    RiseBy,
    Role,
    Room,
    Side,
    Steps,
    Table,
    Target,
    Thread,
)
from passport.table_file import describe, description_lines, read_table, table_number

HEAD = 'name = "Hall table"\nsite = "Invented hall"\n'
KIT = '[kit]\ncard = "0.005 in"\n'
THREAD = 'thread = "3/8-16 UNC"\n'


def plain(length: str) -> Table:
    return read_table(f'{HEAD}[board]\nlength = "{length}"\n{KIT}', "t.toml", "401273456")


def legs(*places: str, each: str = THREAD) -> str:
    return "".join(f'[[legs]]\nat = "{place}"\n{each}' for place in places)


def described(text: str, length: str = "22 ft") -> Table:
    return read_table(f'{HEAD}[board]\nlength = "{length}"\n{KIT}{text}', "t.toml", "401273456")


SIZES = [  # length, legs, brackets: common practice, no source
    ("9 ft", 2, 3),
    ("11 ft 11 in", 2, 4),
    ("12 ft", 3, 4),
    ("14 ft", 3, 5),
    ("17 ft 11 in", 3, 7),
    ("18 ft", 5, 7),
    ("22 ft", 5, 8),
    ("30 ft", 5, 8),
    ("5 ft", 2, 3),
]


@pytest.mark.parametrize(("length", "leg_count", "bracket_count"), SIZES)
def test_legs_and_brackets_left_out_follow_from_the_length(
    length: str, leg_count: int, bracket_count: int
):
    table = plain(length)

    assert (len(table.legs), len(table.brackets)) == (leg_count, bracket_count)


def test_five_legs_left_out_are_end_supporting_centre_supporting_end():
    roles = [leg.role for leg in plain("22 ft").legs]

    assert roles == [Role.END, Role.SUPPORTING, Role.CENTRE, Role.SUPPORTING, Role.END]


def test_legs_left_out_stand_a_twelfth_from_the_ends_and_evenly_between():
    places = [leg.x_mm / 25.4 for leg in plain("22 ft").legs]

    assert places == pytest.approx([22, 77, 132, 187, 242])


def test_brackets_left_out_stand_in_the_middle_of_their_shares():
    places = [bracket.x_mm / 25.4 for bracket in plain("9 ft").brackets]

    assert places == pytest.approx([18, 54, 90])


def test_places_left_out_are_alike_from_both_ends():
    table = plain("6703 mm")

    assert [leg.x_mm for leg in table.legs] == [560, 1960, 3351.5, 4743, 6143]


def test_board_left_out_is_maple_of_common_size():
    assert plain("22 ft").board == Board(6705.6, 508.0, 76.2, "maple")


def test_targets_left_out_are_the_trades():
    targets = plain("22 ft").targets

    assert (targets.hollow_mm, targets.cross_mm_per_m) == (
        Target(0.508, 0.1905),
        Target(0.0, 0.8),
    )


def test_kit_left_out_bears_on_the_boards_width():
    kit = plain("22 ft").kit

    assert kit == Kit("level and cards", 609.6, 508.0, 0.5, None, 0.127, 0.00762)


def test_everything_left_out_is_named_as_assumed():
    assert plain("22 ft").assumed == (
        "units",
        "nuts_by",
        "legs",
        "brackets",
        "board.width",
        "board.thickness",
        "board.wood",
        "targets.hollow",
        "targets.hollow_tolerance",
        "targets.cross",
        "targets.cross_tolerance",
        "kit.name",
        "kit.level_length",
        "kit.bearing_length",
        "kit.card_uncertainty",
        "kit.sensitivity",
    )


@pytest.mark.parametrize(("length", "units"), [("22 ft", "imperial"), ("6.7 m", "metric")])
def test_units_left_out_are_those_of_the_boards_length(length: str, units: str):
    assert plain(length).units == units


def test_rise_left_out_is_two_turns_of_the_end_legs_feet():
    rise = described(legs("22 in", "11 ft", "20 ft 2 in")).targets.rise_mm

    assert rise == Target(3.175, 0.79375)


def test_rise_left_out_is_half_of_what_floats_a_shorter_board():
    """5 w L⁴ / (24 E I) with L = 1.778 m, 3 in sugar maple of 705.6 kg/m³ and 12.6 GPa."""
    rise = described(legs("14 in", "7 ft", "12 ft 10 in"), "14 ft").targets.rise_mm

    assert rise is not None
    assert rise.value == pytest.approx(2.3637 / 2, abs=5e-4)


def test_rise_left_out_is_none_where_a_quarter_turn_would_float_the_board():
    assert described(legs("9 in", "4 ft 6 in", "8 ft 3 in"), "9 ft").targets.rise_mm is None


def test_two_legs_have_no_rise():
    assert described(legs("9 in", "8 ft 3 in"), "9 ft").targets.rise_mm is None


def test_rise_is_none_while_a_thread_is_unknown():
    assert plain("22 ft").targets.rise_mm is None


def test_rise_as_written_keeps_its_tolerance():
    text = legs("22 in", "11 ft", "20 ft 2 in")
    table = described(f'{text}[targets]\nrise = "3 mm"\nrise_tolerance = "1 mm"\n')

    assert table.targets.rise_mm == Target(3.0, 1.0)


def test_rise_as_written_has_a_quarter_either_way():
    text = legs("22 in", "11 ft", "20 ft 2 in")
    table = described(f'{text}[targets]\nrise = "2 mm"\n')

    assert (table.targets.rise_mm, table.assumed[-1]) == (
        Target(2.0, 0.5),
        "targets.rise_tolerance",
    )


def test_leg_as_written_is_kept_whole():
    text = (
        'thread = "M10x1.5"\nhand = "left"\nrole = "end"\nfoot_spacing = "560 mm"\n'
        'foot_type = "nut on stud"\nthread_left = "1 in"\n'
    )
    table = described(legs("2 ft", "20 ft", each=text))

    assert table.legs[0] == Leg(
        *("L1", 609.6, Role.END, 560.0, FootType.NUT_ON_STUD),
        *(Thread("M10x1.5", 1.5, Hand.LEFT), 25.4),
    )


def test_legs_are_counted_from_end_a_whatever_their_order_in_the_file():
    table = described(legs("20 ft", "2 ft"))

    assert [(leg.name, leg.x_mm) for leg in table.legs] == [("L1", 609.6), ("L2", 6096.0)]


def test_what_was_written_is_counted_from_end_a_too():
    written = dict(described(legs("20 ft", "2 ft")).written)

    assert (written["legs.1.at"], written["legs.2.at"]) == ("2 ft", "20 ft")


def test_pitch_and_hand_that_nobody_wrote_are_named_as_assumed():
    table = described(legs("2 ft", "20 ft", each='thread = "M10"\n'))

    assert {"legs.1.thread.pitch", "legs.1.hand"} <= set(table.assumed)


def test_leg_places_may_be_left_out_alone():
    table = described('[[legs]]\nthread = "M10"\n' * 3)

    assert [leg.x_mm / 25.4 for leg in table.legs] == pytest.approx([22, 132, 242])


def test_centre_leg_named_elsewhere_leaves_the_middle_one_supporting():
    text = legs("22 in") + legs("8 ft", each='role = "center"\n')
    table = described(text + legs("11 ft", "15 ft", "20 ft 2 in"))

    assert [leg.role for leg in table.legs][1:3] == [Role.CENTRE, Role.SUPPORTING]


def test_threads_are_never_assumed():
    table = plain("22 ft")

    assert {leg.thread for leg in table.legs} | {b.thread for b in table.brackets} == {None}


def test_bracket_as_written_is_kept_whole():
    text = 'at = "2 ft"\nthread = "1/2-13"\nhand = "right"\nworking_side = "left"\n'
    bracket = described(f"[[brackets]]\n{text}").brackets[0]

    assert (bracket.name, bracket.x_mm, bracket.working_side, bracket.thread) == (
        *("B1", 609.6, Side.LEFT),
        Thread("1/2-13", 25.4 / 13),
    )


def test_table_without_brackets_is_accepted():
    table = read_table(
        f'{HEAD}brackets = []\n[board]\nlength = "9 ft"\n{KIT}', "t.toml", "401273456"
    )

    assert (table.brackets, "brackets" in table.assumed) == ((), False)


def test_digital_level_has_a_display_step_and_no_sensitivity():
    table = read_table(
        f'{HEAD}[board]\nlength="9 ft"\n{KIT}display_step = "0.01 deg"\n', "t.toml", "401273456"
    )

    assert (table.kit.display_step_deg, table.kit.sensitivity_mm_per_m) == (0.01, None)


def test_hollow_is_read_by_feelers_where_they_are_described():
    kit = described('feelers = ["0.05 mm", "8 thou", "0.4 mm", "0.6 mm"]\n').kit

    assert (kit.feelers_mm, kit.feeler_u_mm) == ((0.05, 0.2032, 0.4, 0.6), 0.003)


def test_cross_level_is_read_by_cards_unless_described():
    by = [
        described(text).kit.cross_by.value
        for text in ("", 'sensitivity = "0.3 mm/m"\ncross_by = "divisions"\n')
    ]

    assert by == ["cards", "divisions"]


def test_cross_level_is_read_one_way_round_unless_described():
    ways = [described(text).kit.cross_read.value for text in ("", 'cross_read = "both ways"\n')]

    assert ways == ["one way", "both ways"]


def test_room_and_telephone_are_kept():
    table = described(
        '[room]\nheated = true\ndry_months = ["Feb", "january"]\n[office]\nphone = "555-0100"\n'
    )

    assert (table.room, table.office_phone) == (Room(True, (1, 2)), "555-0100")


def test_nuts_may_be_turned_by_sixths():
    table = read_table(f'nuts_by = "sixths"\n{HEAD}[board]\nlength = "9 ft"\n{KIT}', "t", "1")

    assert (table.nuts_by, value_of(table, "nuts_by")) == (Steps.SIXTHS, "sixths")
    assert "nuts_by" not in table.assumed


def test_owners_longest_wait_is_kept_and_shown():
    table = described("[room]\nvisit_within_weeks = 26\n")

    shown = value_of(table, "room.visit_within_weeks")
    assert (table.room, shown) == (Room(visit_within_weeks=26), "26 weeks")


def test_what_was_written_is_kept_beside_what_it_became():
    written = dict(plain("22 feet").written)

    assert written == {"board.length": "22 feet", "kit.card": "0.005 in"}


def test_zero_needs_no_unit():
    assert described("[targets]\ncross = 0\n").targets.cross_mm_per_m == Target(0.0, 0.8)


def test_file_may_start_with_a_byte_order_mark():
    text = f'\ufeff{HEAD}[board]\nlength = "9 ft"\n{KIT}'

    assert read_table(text, "t.toml", "401273456").name == "Hall table"


def test_number_in_a_file_says_which_table_it_updates():
    numbers = [table_number(text, "t.toml") for text in ('number = "401273456"', HEAD)]

    assert numbers == ["401273456", None]


INVENTED = [(9, 2, 3), (14, 3, 5), (22, 5, 8)]  # feet, legs, brackets


def test_invented_tables_are_a_short_a_middle_and_a_long_one():
    tables = [read_table(text, name, "401273456") for name, text in invented_descriptions()]

    sizes = [(round(t.board.length_mm / 304.8), len(t.legs), len(t.brackets)) for t in tables]
    assert sizes == INVENTED


@pytest.mark.parametrize(("name", "text"), invented_descriptions())
def test_invented_tables_know_every_thread(name: str, text: str):
    table = read_table(text, name, "401273456")

    assert None not in [part.thread for part in (*table.legs, *table.brackets)]


def test_description_says_what_was_assumed():
    text = describe(plain("9 ft"))

    assert text == (
        "Table: name Hall table; site Invented hall; units imperial, assumed; "
        "nuts turned by quarters,\n    assumed.\n"
        "Board: length 9 ft (2743 mm); width 20 in (508 mm), assumed; thickness 3 in (76 mm), "
        "assumed; wood\n    maple, assumed.\n"
        "Leg L1: from end A 9 in (229 mm), assumed; role end, assumed; feet apart 20 in (508 mm), "
        "assumed;\n    foot unknown; thread unknown; thread left in the leg unknown.\n"
        "Leg L2: from end A 8 ft 3 in (2515 mm), assumed; role end, assumed; feet apart 20 in "
        "(508 mm),\n    assumed; foot unknown; thread unknown; thread left in the leg unknown.\n"
        "Bracket B1: from end A 18 in (457 mm), assumed; thread unknown; working side unknown.\n"
        "Bracket B2: from end A 4 ft 6 in (1372 mm), assumed; thread unknown; working side "
        "unknown.\n"
        "Bracket B3: from end A 7 ft 6 in (2286 mm), assumed; thread unknown; working side "
        "unknown.\n"
        "Targets: hollow 0.02 in (0.508 mm), assumed; within ± 0.0075 in (0.19 mm), assumed; "
        "cross slope 0\n    in/ft (0 mm/m), assumed; within ± 0.0096 in/ft (0.8 mm/m), assumed; "
        "rise of the ends none, for\n    want of a centre leg.\n"
        "Kit: name level and cards, assumed; level 24 in (610 mm), assumed; bearing over 20 in "
        "(508 mm),\n    assumed; one division 0.006 in/ft (0.5 mm/m), assumed; card 0.005 in "
        "(0.127 mm); its standard\n    uncertainty 0.0003 in (0.008 mm), assumed."
    )


def value_of(table: Table, key: str) -> str:
    return next(line.value for line in description_lines(table) if line.key == key)


def test_description_says_why_a_stiff_board_has_no_rise():
    table = described(legs("9 in", "4 ft 6 in", "8 ft 3 in"), "9 ft")

    assert value_of(table, "targets.rise") == (
        "none, for a quarter turn would all but float this board off its centre leg"
    )


def test_description_says_why_a_table_with_unknown_threads_has_no_rise():
    assert value_of(plain("22 ft"), "targets.rise") == (
        "none, while the thread of the end legs' feet is unknown"
    )


def test_description_has_every_value_of_a_full_one():
    tables = [read_table(text, name, "401273456") for name, text in invented_descriptions()]

    keys = [{line.key for line in description_lines(table)} for table in tables]
    missing = [
        {key for key, _ in table.written} - found for table, found in zip(tables, keys, strict=True)
    ]
    assert missing == [set(), set(), set()]


def test_description_shows_a_display_step_and_the_room():
    table = read_table(
        f'{HEAD}[board]\nlength="9 ft"\n{KIT}display_step = "0.01 deg"\n[room]\nheated = false\n'
        'damp_months = ["July", "August"]\n',
        *("t.toml", "401273456"),
    )

    shown = [value_of(table, key) for key in ("kit.display_step", "room.heated")]
    assert [*shown, value_of(table, "room.damp_months")] == ["0.01°", "no", "July, August"]


LINE = """rise_by = "line"
line_mass = "0.5 g/m"
line_mass_uncertainty = "0.02 g/m"
line_weight = "3 kg"
line_weight_uncertainty = "50 g"
line_blocks = "1/2 in"
line_blocks_uncertainty = "0.05 mm"
rise_step = "0.001 in"
rise_uncertainty = "0.05 mm"
"""


def test_taut_line_is_read_with_its_uncertainties_and_described():
    table = described(LINE)

    line = table.kit.line
    assert (line.mass_g_per_m, line.block_mm, line.step_mm, line.read_u_mm) == (
        Own(0.5, 0.02),
        Own(12.7, 0.05),
        0.0254,
        0.05,
    )
    assert line.pull_n == Own(pytest.approx(29.41995), pytest.approx(0.4903325))
    assert "rise of the ends read by line; line 0.5 ± 0.02 g/m" in " ".join(describe(table).split())


def test_laser_is_read_with_its_slope_s_uncertainty():
    table = described(
        'rise_by = "laser"\nlaser_slope_uncertainty = "0.2 mm/m"\nrise_step = "0.5 mm"\n'
        'rise_uncertainty = "0.3 mm"\n'
    )

    assert table.kit.laser == LineLaser(Own(0.0, 0.2), 0.5, 0.3)


def test_level_stepped_along_the_board_needs_no_number_of_its_own():
    table = described('rise_by = "steps"\n')

    assert table.kit.rise_by is RiseBy.STEPS
    assert "rise of the ends read by steps" in " ".join(describe(table).split())


def test_line_without_its_numbers_is_refused():
    with pytest.raises(DescriptionUnusable, match=r"kit\.line_mass"):
        described('rise_by = "line"\n')

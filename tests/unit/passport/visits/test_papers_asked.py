"""What is asked of the papers, line by line, and the tests that show it; each is there."""

from pathlib import Path

import pytest

TESTS = Path(__file__).parents[3]
VISITS = {
    "survey: does the board get in, as an interval": (
        "test_board_between_the_bounds_is_too_close_for_the_tape"
    ),
    "survey: the tightest spot is named": "test_tightest_spot_is_named_first_with_its_interval",
    "survey: zero width, by formula": "test_longest_bar_round_a_corner_is_that_of_the_astroid",
    "survey: with width and thickness, brute force": "test_corner_agrees_with_a_search_of_poses",
    "survey: tilted in a lift": "test_lift_takes_the_longest_of_the_cabins_three_diagonals",
    "survey: weight, people, aids; where the method does not apply": (
        "test_weights_and_published_lifting_say_where_the_method_does_not_apply"
    ),
    "survey: doubtful load, who looked at the sockets": (
        "test_what_must_be_settled_first_is_told_first"
    ),
    "survey: how far feet must reach": "test_floor_says_how_far_feet_must_differ_with_the_tape",
    "survey: what to bring": "test_survey_tells_what_to_bring_and_leaves_out_what_is_there",
    "the word safe is never used": "test_no_form_promises_that_anything_is_safe",
    "installation: gates in order, each signed before the next": (
        "test_stage_that_was_passed_by_and_one_that_is_not_signed_are_doubted"
    ),
    "installation: only what applies": "test_only_the_stages_of_this_table_are_printed",
    "installation: a card to pin up": "test_calls_stand_on_a_card_to_pin_up",
    "installation: two pass sheets": (
        "test_installation_brings_two_pass_sheets_whatever_is_read_and_learned"
    ),
    "service: learned look-ups": "test_each_count_has_under_it_what_the_calculator_asks_for",
    "service: what is open is looked at first": (
        "test_what_is_open_stands_at_the_head_and_at_its_stations"
    ),
    "service: five-minute route": "test_visit_without_marks_but_quick_and_dated_has_no_doubts",
    "service: last visit's values not beside empty rows": (
        "test_last_visit_is_expected_but_not_printed"
    ),
    "service: OK boxes framed heavily": (
        "test_boxes_wholly_in_tolerance_are_framed_heavily_in_both_rows"
    ),
    "surface: hazard statements are copied by the user": (
        "test_caution_stands_beside_the_step_it_is_about"
    ),
    "card: postcard": "test_a_postcard_of_a4_is_a6_and_of_letter_a_quarter_of_it",
    "card: no names, no level readings": "test_card_asks_for_no_name_and_no_level_reading",
    "card: sent back as a photo and read": (
        "test_cut_out_card_is_filled_photographed_read_and_filed_as_it_was_written"
    ),
    "kit: cards": "test_card_is_a_tenth_of_the_stack_with_its_parts_as_squares",
    "kit: reversal": "test_tilt_of_the_spot_does_not_enter_the_zero",
    "kit: edges": "test_three_edges_give_each_its_own_bow",
    "kit: used from then on": "test_form_says_what_the_kits_check_found_and_when",
    "spare: number by hand, check digits": "test_spare_form_becomes_the_visit_that_the_hand_wrote",
    "round: cover in order": "test_round_holds_the_cover_and_every_paper_in_the_order_of_the_cover",
    "round: what comes along is named": (
        "test_cover_names_the_service_form_that_comes_along_with_an_installation"
    ),
    "form: up to which visit it has learned": (
        "test_form_says_up_to_which_visit_its_look_ups_have_learned"
    ),
    "form: when it was printed": "test_form_says_when_it_was_printed",
    "form: for which kit": "test_every_page_names_the_kit_it_is_printed_for",
    "form: an older one is read, and what it told": (
        "test_form_older_than_the_newest_visit_is_read_and_says_what_it_did_not_know"
    ),
}
DOCUMENTS = {
    "passport: reprinting marks what changed": (
        "test_passport_marks_what_changed_since_the_visit_before"
    ),
    "passport: grid": "test_passport_shows_target_tolerance_found_left_and_verdict",
    "passport: charts": "test_every_station_has_a_chart",
    "passport: map": "test_every_drawn_height_is_a_contour_of_the_relief",
    "passport: seasons": "test_year_says_its_ends_and_what_it_rests_on",
    "passport: care and cautions": "test_passport_carries_each_caution_to_the_customer",
    "passport: log": "test_passport_logs_each_visit_with_what_was_turned",
    "passport: booklet": "test_booklet_keeps_title_language_and_tags",
    "label: 30 mm": "test_code_on_a_label_is_at_least_thirty_millimetres_with_white_around",
    "label: module": "test_module_is_whole_printer_dots_and_at_least_a_millimetre",
    "label: correction": "test_code_takes_the_highest_error_correction_that_keeps_its_version",
    "label: smudges": "test_damaged_label_is_read_by_one_of_two_readers",
    "actions: one page": "test_all_turns_of_the_longest_table_are_one_page",
    "actions: order": "test_actions_follow_the_order_of_the_trade",
    "actions: condition, what, why": "test_turn_says_where_when_what_why_and_what_to_expect",
    "actions: bring": "test_actions_name_what_waits_and_what_to_bring",
    "actions: people": "test_page_says_how_many_people_are_needed",
    "actions: the next form looks there first": "test_next_form_looks_first_at_what_is_open",
    "hand-over": "test_sheet_asks_for_two_signatures_and_what_was_shown",
    "care page": "test_care_page_carries_each_caution",
}
QUALITY = {
    "tags": "test_every_mark_belongs_to_the_element_that_names_it",
    "a round's metadata": "test_round_says_that_it_has_no_tags",
    "same bytes": "test_same_story_and_clock_give_the_same_bytes",
    "same bytes, of forms": "test_the_same_form_and_time_give_the_same_bytes",
    "nothing is fetched": "test_nothing_of_this_machine_gets_into_a_paper",
    "nothing is fetched: file": "test_a_local_file_can_not_be_attached",
    "nothing is fetched: http": "test_no_picture_is_fetched_from_elsewhere",
    "escaped": "test_what_people_wrote_is_printed_as_they_wrote_it",
    "fonts": "test_every_typeface_is_embedded_and_can_be_copied_as_text",
    "fonts: licences": "test_every_folder_of_fonts_has_its_licence",
    "numbers and their units": "test_a_number_is_never_parted_from_its_unit",
    "each fault is noticed": "test_each_fault_would_be_noticed",
    "check bar": "test_every_sheet_has_a_bar_of_a_hundred_millimetres",
    "the reader reports the measured scale": "test_shrunken_print_shows_in_the_scale",
    "longest names": "test_form_holds_the_longest_names_of_table_site_and_kit",
    "pass sheet of look-ups that all differ": (
        "test_look_ups_that_differ_at_every_bracket_and_leg_take_no_page_more"
    ),
    "all combinations, on the PDF": "test_form_is_printed_without_a_fault",
    "and of documents": "test_documents_fit_their_paper_without_overlap",
    "page budget": "test_five_legs_and_eight_brackets_take_three_pages_and_a_pass_sheet",
    "whole way": "test_filed_record_is_what_the_hand_wrote",
    "speed": "test_a_page_takes_no_longer_than_the_layout_engine_would",
    "blanks": "test_a_copy_of_a_blank_takes_less_than_ten_milliseconds_a_page",
    "progress": "test_round_shows_how_far_it_is",
    "memory": "test_round_of_three_hundred_pages_takes_little_more_memory_than_a_short_one",
    "cautions": "test_caution_stands_beside_the_step_it_is_about",
}


@pytest.fixture(scope="module")
def written() -> str:
    return "".join(path.read_text() for path in TESTS.rglob("test_*.py"))


@pytest.mark.parametrize(
    "asked", [VISITS, DOCUMENTS, QUALITY], ids=["visits", "documents", "quality"]
)
def test_each_line_has_its_test(written: str, asked: dict[str, str]):
    assert [name for name in asked.values() if f"def {name}(" not in written] == []

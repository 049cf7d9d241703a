"""What is asked of the desk, line by line, and the tests that show it; each is there.

First what the office's people are promised, then what keeps strangers out: testable statements
after OWASP ASVS 5.0, level 2, as far as an application of this size is asked.
"""

from pathlib import Path

import pytest

TESTS = Path(__file__).parents[3]
WORK = {
    "photos, scans, PDFs are dropped": "test_files_are_taken_in_one_after_the_other",
    "a form's code opens its camera, with the count of the round": (
        "test_the_code_of_a_form_leads_to_its_camera"
    ),
    "a form's code holds the desk's address when that is set": (
        "test_an_address_before_a_page_code_says_nothing_of_the_page"
    ),
    "a good or bad sign within two seconds": "test_a_shot_gets_its_sign_within_two_seconds",
    "a bad shot says how to photograph again": "test_a_bad_shot_says_what_to_do",
    "every file ends in a clear state": "test_many_files_at_once_end_each_in_its_own_state",
    "what came before says so": "test_a_photo_that_came_before_says_so",
    "forms out against pages in, per round": (
        "test_each_round_has_its_totals_and_names_the_missing_pages"
    ),
    "forms out for too long": "test_a_form_out_for_too_long_is_asked_after",
    "an incomplete form shows its sure values": (
        "test_an_incomplete_form_shows_its_sure_values_and_what_waits_for_it"
    ),
    "actions wait until it is complete or closed": (
        "test_actions_are_not_printed_until_the_form_is_complete_or_closed"
    ),
    "a watched folder": "test_a_file_is_taken_in_once_it_lies_still",
    "the crop beside its field, at its height": "test_doubts_are_worked_off_by_keyboard_alone",
    "neighbours in view": "test_the_picture_of_a_doubt_has_its_neighbours_in_view",
    "why it is doubtful": "test_every_doubt_has_its_picture_and_says_why",
    "ticks: one key accepts the best guess": (
        "test_the_likely_box_of_a_mark_is_marked_and_has_the_focus"
    ),
    "what turns a nut is typed blind": "test_what_turns_a_nut_does_not_show_the_guess",
    "the guess is hidden until typed": "test_the_guess_is_shown_once_something_was_typed",
    "grouped by kind": "test_they_are_grouped_by_kind",
    "undo until the sheet is accepted": "test_an_answer_can_be_taken_back",
    "nothing is decided by default": "test_nothing_is_decided_before_the_sheet_is_accepted",
    "count of what is left": "test_what_is_left_is_counted",
    "photos that disagree, a second fill": "test_two_photos_that_disagree_are_both_shown",
    "an answer far from what was expected": (
        "test_an_answer_far_from_what_was_expected_is_shown_as_such"
    ),
    "a confirmed value counts like any other": "test_a_surprising_value_counts_like_any_other",
    "one that a rule refuses is asked again": (
        "test_an_answer_that_a_rule_of_the_form_refuses_is_asked_again_with_the_rules_words"
    ),
    "ink in a note lists the visit": "test_ink_in_a_note_lists_the_visit_with_its_picture",
    "unsafe comes first, and who called": "test_unsafe_comes_first_and_asks_who_called",
    "next actions open with out of use": "test_stopped_table_says_out_of_use_first",
    "the care page says so": "test_care_page_of_a_stopped_table_opens_with_out_of_use",
    "search by anything": "test_a_table_is_found_by_anything",
    "where it stands": "test_a_tables_page_shows_where_it_stands_and_its_history",
    "the map": "test_the_map_of_the_surface_has_a_page_of_its_own",
    "a value leads to its box": "test_a_value_leads_to_its_box_on_the_photo",
    "done, not needed, not possible": (
        "test_an_action_is_closed_as_done_not_needed_or_not_possible"
    ),
    "every print": "test_every_print_stands_on_the_tables_page",
    "every paper": "test_every_paper_is_printed",
    "due by urgency and place": "test_the_due_list_goes_by_urgency_or_by_place",
    "the day's round": "test_the_days_round_is_one_pdf_with_a_form_for_each_table",
    "a calendar": "test_the_calendar_keeps_rfc_5545s_lines",
    "corrections are new events": (
        "test_a_correction_is_a_new_entry_and_the_old_value_stays_visible"
    ),
    "axe, 320 px and desk, light and dark": "test_no_page_keeps_anybody_out_or_runs_over",
    "the same in the middle of work": "test_pages_in_the_middle_of_work_keep_nobody_out",
    "200 %": ("test_at_twice_the_size_nothing_runs_over_and_the_browser_has_no_complaint"),
    "without JavaScript": "test_doubts_are_worked_off_by_keyboard_without_javascript",
    "signing in by keyboard": ("test_signing_in_takes_a_keyboard_only_also_without_javascript"),
}
GUARD = {
    "listens on this machine only": "test_the_desk_listens_on_this_machine_only",
    "a foreign host": "test_a_foreign_host_is_refused",
    "no token": "test_nothing_is_taken_without_the_pages_own_token",
    "another site": "test_nothing_is_taken_from_another_site_even_with_the_token",
    "signed out": "test_signed_out_every_page_asks_to_sign_in",
    "the cookie": "test_the_cookie_is_out_of_reach_of_scripts_and_other_sites",
    "twelve hours": "test_after_a_working_day_the_password_is_asked_again",
    "a new number": "test_signing_in_gives_a_new_number",
    "signing out": "test_signing_out_ends_the_session_at_the_desk",
    "ten wrong passwords": "test_the_eleventh_wrong_password_in_a_minute_waits",
    "an unknown name": "test_an_unknown_name_costs_a_hash_like_a_known_one",
    "second factor: everybody": (
        "test_nobody_gets_further_without_one_unless_the_owner_exempts_them"
    ),
    "second factor: administrators": (
        "test_an_administrator_without_one_gets_no_further_than_its_page"
    ),
    "second factor: RFC 6238": "test_the_code_of_each_time_is_the_tables",
    "second factor: once": "test_a_code_opens_the_desk_once",
    "second factor: throttled": "test_a_sixth_wrong_code_waits_and_each_doubles_the_wait",
    "recovery codes: once": "test_each_recovery_code_opens_the_desk_once",
    "recovery codes: hashed": "test_recovery_codes_are_kept_as_argon2id_only",
    "recovery: by another administrator": ("test_an_administrator_takes_away_what_somebody_lost"),
    "the key": "test_the_key_is_made_once_for_its_owner_only",
    "too much": "test_more_than_the_limit_is_refused_by_its_announced_length",
    "trickled in": "test_a_request_that_trickles_in_is_cut_off_though_never_silent",
    "all lines held": "test_one_address_can_not_hold_all_lines",
    "too many parts": "test_more_parts_than_the_limit_are_refused",
    "kind by decoding; archives, bombs, locked, nested": "test_a_hostile_file_spoils_only_itself",
    "what stands behind a photo": (
        "test_a_form_with_something_behind_it_is_read_and_kept_without_it"
    ),
    "names of files": "test_a_files_name_touches_nothing_and_is_shown_escaped",
    "30 000² pixels": "test_picture_that_claims_too_many_pixels_is_refused_before_it_is_decoded",
    "the limit comes first": "test_the_limit_is_set_before_opencv_is_loaded",
    "a reader that breaks": "test_a_file_that_breaks_its_reader_harms_no_other",
    "no camera's notes, kept": "test_notes_go_and_the_picture_stays_as_it_is",
    "no camera's notes, shown": "test_pictures_are_made_anew_without_a_cameras_notes",
    "words as typed, desk": (
        "test_hostile_words_in_every_field_of_a_table_stand_as_they_were_typed"
    ),
    "words as typed, papers": "test_what_people_wrote_is_printed_as_they_wrote_it",
    "words as typed, care page": "test_care_page_escapes_what_people_wrote",
    "no template switches escaping off": "test_no_template_writes_unescaped_or_inline",
    "papers read no file": "test_a_local_file_can_not_be_attached",
    "papers fetch nothing": "test_no_picture_is_fetched_from_elsewhere",
    "policy and caching": "test_every_page_has_a_strict_policy_and_is_not_kept",
    "care page: nothing else is asked for": (
        "test_care_page_is_all_that_is_asked_for_and_leaves_nothing_behind"
    ),
    "care page: nobody's name": "test_care_page_names_no_person_site_or_token",
    "care page: unknown is withdrawn": "test_every_address_that_is_none_looks_the_same",
    "80 random bits": "test_a_care_token_holds_all_eighty_bits",
    "from the system's chance": "test_numbers_come_from_the_systems_own_chance",
    "no order in what is made": "test_what_is_made_later_is_neither_higher_nor_lower",
    "a code opens nothing": "test_a_code_with_an_address_opens_nothing",
    "a foreign code": "test_a_foreign_code_is_refused_with_what_it_says",
    "records are only added to": ("test_an_event_can_be_neither_changed_nor_removed_nor_replaced"),
    "a flipped byte": "test_any_flipped_byte_of_the_events_is_found",
    "a cut tail": "test_a_cut_tail_is_found_by_the_printed_mark",
    "kill -9": "test_what_was_acknowledged_survives_kill_9_and_nothing_is_there_twice",
    "power cuts": "test_a_power_cut_breaks_no_promise",
    "the control": "test_without_flushing_the_same_power_cuts_lose_acknowledged_photos",
    "two writers": "test_two_writers_at_once_lose_nothing_and_the_chain_stays_whole",
    "ten at once": "test_the_same_photo_sent_ten_times_by_two_at_once_is_recorded_once",
    "formulas in tables of text": "test_a_text_never_starts_a_formula",
    "logs": "test_nothing_secret_is_logged",
    "a cluster beyond this machine": (
        "test_an_open_cluster_is_not_joined_unless_the_network_is_closed"
    ),
    "a backup's head": "test_a_restored_store_has_the_same_head_and_content",
    "what nobody would send": "test_no_address_makes_the_desk_stumble",
    "what no page offers": "test_no_answer_makes_the_desk_stumble",
    "no known holes": "test_no_version_with_a_known_hole_is_let_in",
    "a withdrawn care page is gone": "test_withdrawn_care_page_is_gone_and_other_files_stay",
    "a withdrawn address at real hosts": "test_every_other_address_looks_the_same",
    "beyond this machine without HTTPS": "test_listening_for_others_without_https_is_told",
    "no two desks share a key": "test_two_desks_never_share_a_key",
    "licences": "test_every_package_that_is_needed_has_a_licence_on_the_list",
}


@pytest.fixture(scope="module")
def written() -> str:
    return "".join(path.read_text() for path in TESTS.rglob("test_*.py"))


@pytest.mark.parametrize("asked", [WORK, GUARD], ids=["work", "guard"])
def test_each_line_has_its_test(written: str, asked: dict[str, str]):
    assert [name for name in asked.values() if f"def {name}(" not in written] == []

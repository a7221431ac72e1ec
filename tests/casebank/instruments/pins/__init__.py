"""What pins each number of shaping: a check of what canals do, which holds over its range and fails out of it.

Each says whether the bench behaves as a closed form or the trade says it should, in two canals or more.
"""

from collections.abc import Callable

from tests.casebank.instruments.pins import cutting, harming, reading, rinsing, stopping

PINS: dict[str, Callable[[], bool]] = {
    "longest_mm": stopping.the_longest_stop_is_the_longest_instrument,
    "core_share": stopping.a_file_is_as_stiff_as_a_triangle,
    "steel_n_per_mm2": stopping.steel_is_as_stiff_as_handbooks_say,
    "nickel_titanium_n_per_mm2": stopping.nickel_titanium_leans_a_fifth_to_a_seventh_as_hard,
    "shear_n_per_mm2": harming.a_thin_file_held_at_its_tip_separates_on_the_second_light_pass,
    "friction": stopping.friction_drags_as_on_a_bent_beam,
    "side_half_n": cutting.a_file_leaning_with_one_newton_takes_a_fifth_to_two_fifths_to_one_side,
    "bite_mm": stopping.a_file_gripped_along_its_body_advances_about_a_millimetre_a_stroke,
    "pilot_hand_share": stopping.an_08_passes_where_a_10_does_not,
    "pilot_engine_share": stopping.a_small_engine_file_follows_a_loose_15_and_a_large_one_does_not,
    "zone_mm": stopping.a_tip_in_an_even_canal_cuts_about_a_millimetre_ahead_of_its_body,
    "overcut_mm": cutting.a_file_is_loose_after_the_third_to_fifth_stroke,
    "overcut_most_mm": cutting.a_file_worked_loose_still_holds_the_next_larger_and_a_cone_of_its_size,
    "room_share": rinsing.a_file_bogs_down_in_a_tight_canal_and_comes_through_on_the_third_or_fourth_pass,
    "carry_share": rinsing.most_chips_come_out_on_the_flutes_of_a_flooded_canal,
    "mud_share": rinsing.a_file_pushes_through_a_tenth_of_mud_and_not_through_three_tenths,
    "brush_mm": cutting.four_strokes_of_the_flare_open_an_orifice_by_two_to_five_sizes,
    "engine_brush_share": cutting.a_brushed_pass_takes_about_what_a_stroke_of_the_flare_does,
    "engine_brush_strokes": cutting.a_brushed_pass_takes_about_what_a_stroke_of_the_flare_does,
    "ledge_mm": harming.forcing_a_30_round_a_bend_makes_a_ledge_and_a_light_25_does_not,
    "near_notch_mm": harming.notches_a_third_of_a_millimetre_apart_are_one_and_four_fifths_apart_two,
    "push_light_n": stopping.a_light_hand_cuts_round_a_bend_with_a_30_and_not_with_a_40,
    "push_firm_n": stopping.a_firm_hand_cuts_round_a_bend_with_a_40_and_not_with_a_50,
    "reading_mm": reading.a_fifth_of_a_millimetre_cannot_be_told_and_a_third_can,
    "snug_mm": cutting.a_cone_of_the_last_size_holds_and_the_next_smaller_does_not,
    "thin_wall_mm": harming.a_wall_is_called_thin_when_a_third_of_a_millimetre_is_gone_below,
    "wall_watch_ends_mm": harming.walls_are_watched_where_the_root_is_still_a_root,
    "turns_per_pass": harming.a_pass_turns_for_two_to_five_seconds,
    "fatigue_cycles": harming.a_file_turning_in_a_sharp_bend_lasts_for_ten_to_forty_passes,
    "stressed_share": harming.an_instrument_shows_its_stress_before_it_separates_and_not_from_the_start,
    "fragment_mm": harming.a_piece_two_to_four_millimetres_long_separates,
    "precurve_length_mm": stopping.a_precurve_relieves_the_last_millimetres,
    "outer_cut_mm": cutting.a_file_cuts_outside_the_bend_at_its_tip_and_inside_it_higher_up,
    "bridge_mm": cutting.a_file_bridges_the_beginning_of_a_bend_by_about_a_millimetre,
    "wet_per_use": rinsing.a_flooded_canal_is_dry_after_three_to_five_uses,
    "exchange_mm": rinsing.irrigant_is_exchanged_for_about_a_millimetre_ahead_of_the_needle,
    "stirred_share": rinsing.a_stirred_canal_is_rinsed_well_and_not_wholly,
    "needle_back_mm": rinsing.a_needle_two_millimetres_from_where_it_binds_is_as_near_as_may_be,
    "terminus_mm": reading.the_working_length_ends_half_to_one_millimetre_short,
    "terminus_tolerance_mm": reading.a_prepared_end_half_a_millimetre_off_is_kept_and_a_whole_one_is_not,
    "foramen_widened": harming.a_foramen_a_twentieth_wider_is_as_it_was_and_a_sixth_wider_is_not,
    "foramen_torn": harming.a_foramen_a_sixth_wider_is_not_torn_and_a_third_wider_is,
    "recapitulation_strokes": rinsing.a_recapitulation_frees_nearly_all_mud,
    "recapitulation_precurve_per_mm": stopping.a_small_file_is_bent_as_canals_are,
}

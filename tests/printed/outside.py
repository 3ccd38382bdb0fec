"""What each calc function is held against besides print: the solver, library or exact arithmetic, and the test.

Data, so that a table for the documentation can be made of it.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Outside:
    """A function of calc, what stands outside it, and the test in tests/calc that compares the two."""

    function: str
    against: str
    test: str


SYMPY, SHAPELY, NUMPY, PINT = "sympy's beam solver", "shapely", "numpy", "pint"
EXACT, CUTTING, TRIED = "exact rationals", "the cutting, done in exact rationals", "one fewer tried"

OUTSIDE: tuple[Outside, ...] = (
    Outside(
        "lumber.in_a_row",
        CUTTING,
        "test_rules_of_the_shop.py::test_a_row_of_pieces_ends_where_cutting_one_after_another_does",
    ),
    Outside(
        "rough.thickness_for_leaves",
        CUTTING,
        "test_rules_of_the_shop.py::test_a_blank_for_leaves_is_used_up_by_sawing_and_planing_them",
    ),
    Outside(
        "grooves.room_in_grooves",
        SHAPELY,
        "test_rules_of_the_shop.py::test_a_panel_and_what_it_leaves_free_fill_the_opening_and_both_grooves",
    ),
    Outside(
        "enclosed.drawer_volume",
        PINT,
        "test_enclosed.py::test_a_drawer_encloses_its_room_less_an_eighth_of_its_height",
    ),
    Outside("enclosed.door_volume", PINT, "test_enclosed.py::test_half_the_room_behind_a_door_counts"),
    Outside(
        "joints.tenon_strips",
        CUTTING,
        "test_joinery.py::test_strips_for_tenons_are_those_that_cutting_one_after_another_takes",
    ),
    Outside(
        "boxes.sunk",
        "the surfaces, written out",
        "test_boxes.py::test_what_is_sunk_in_a_surface_opens_there_and_leaves_the_rest",
    ),
    Outside("boxes.shared", SHAPELY, "test_boxes.py::test_what_two_boxes_share_is_what_their_views_share"),
    Outside(
        "boxes.between",
        SHAPELY,
        "test_boxes.py::test_the_wood_between_two_boxes_is_the_distance_of_their_views",
    ),
    Outside(
        "boxes.walls",
        "the surfaces, written out",
        "test_boxes.py::test_what_is_sunk_in_a_surface_opens_there_and_leaves_the_rest",
    ),
    Outside(
        "boxes.centered",
        "symmetry",
        "test_boxes.py::test_what_stands_in_the_middle_has_as_much_on_either_side",
    ),
    Outside("beams.deflection", SYMPY, "test_beams.py::test_sag_and_moment_are_those_of_the_beam_solver"),
    Outside("beams.bending_stress", SYMPY, "test_beams.py::test_sag_and_moment_are_those_of_the_beam_solver"),
    Outside(
        "beams.section_modulus",
        "moment over stress",
        "test_beams.py::test_a_short_thin_member_is_weak_before_it_sags",
    ),
    Outside(
        "beams.beam_check",
        "the worked shelf",
        "test_beams.py::test_the_worked_shelf_passes_two_hundredths_by_the_foot_when_new_and_not_after_creep",
    ),
    Outside(
        "spans.least_thickness", "a hair thinner tried", "test_beams.py::test_the_least_thickness_just_passes"
    ),
    Outside("spans.longest_span", "a hair longer tried", "test_beams.py::test_the_longest_span_just_passes"),
    Outside(
        "clamps.clamp_row",
        TRIED,
        "test_gluing.py::test_clamps_stand_no_further_apart_than_the_spacing_and_the_same_from_both_ends",
    ),
    Outside("clamps.clamp_force", PINT, "test_gluing.py::test_clamping_36_square_inches_of_hardwood"),
    Outside("clamps.clamps_for_force", PINT, "test_gluing.py::test_clamping_36_square_inches_of_hardwood"),
    Outside(
        "clamps.clamp_choice",
        "all clamps and pairs tried",
        "test_gluing.py::test_the_clamps_chosen_reach_and_no_shorter_choice_does",
    ),
    Outside(
        "glue_lines.tenon_glue_area", SHAPELY, "test_glue_lines.py::test_a_tenon_is_glued_on_both_cheeks"
    ),
    Outside("glue_lines.dowel_glue_area", SHAPELY, "test_glue_lines.py::test_a_dowel_is_glued_all_round"),
    Outside(
        "glue_lines.seam_area",
        SHAPELY,
        "test_glue_lines.py::test_pieces_side_by_side_have_one_seam_fewer_than_pieces",
    ),
    Outside(
        "gluing.glue_up_time",
        TRIED,
        "test_gluing.py::test_each_step_keeps_to_both_times_and_one_step_fewer_would_not",
    ),
    Outside(
        "gluing.adhesive_weight", PINT, "test_gluing.py::test_adhesive_by_spread_rate_is_what_the_units_say"
    ),
    Outside(
        "gluing.adhesive_volume", PINT, "test_gluing.py::test_adhesive_by_spread_rate_is_what_the_units_say"
    ),
    Outside(
        "finishing.part_surface", NUMPY, "test_finishing.py::test_a_part_has_the_surface_of_its_six_faces"
    ),
    Outside("finishing.panel_surface", SHAPELY, "test_finishing.py::test_a_panel_is_finished_on_both_sides"),
    Outside(
        "finishing.finish_amount",
        PINT,
        "test_finishing.py::test_the_amount_to_buy_is_surface_times_coats_over_coverage",
    ),
    Outside(
        "finishing.finish_calendar",
        "a clock walked hour by hour",
        "test_finishing.py::test_in_shop_hours_each_coat_starts_at_the_first_hour_that_will_do",
    ),
    Outside(
        "joints.tenon_stock", CUTTING, "test_joinery.py::test_tenon_stock_is_used_up_exactly_when_it_is_cut"
    ),
    Outside(
        "joints.tenon_division",
        TRIED,
        "test_joinery.py::test_a_divided_tenon_fills_its_width_and_no_part_is_too_wide",
    ),
    Outside(
        "joints.haunched_tenon",
        "the rail's width put together",
        "test_joinery.py::test_haunch_groove_and_tenon_make_up_the_rail",
    ),
    Outside(
        "dowels.dowel_row",
        "symmetry and least distances",
        "test_joinery.py::test_dowels_keep_to_the_spacing_and_stand_the_same_from_both_edges",
    ),
    Outside(
        "mortises.cheek_walls",
        "the member's width put together",
        "test_joinery.py::test_the_two_cheeks_and_the_mortise_make_up_the_member",
    ),
    Outside(
        "mortises.corner_mortises",
        SHAPELY,
        "test_joinery.py::test_mortises_meet_just_where_their_rectangles_overlap",
    ),
    Outside(
        "mortises.depth_passes", TRIED, "test_joinery.py::test_depth_passes_are_equal_and_no_more_than_needed"
    ),
    Outside(
        "grooves.cutter_reach",
        SHAPELY,
        "test_joinery.py::test_a_disc_cutter_reaches_half_its_chord_at_the_surface",
    ),
    Outside(
        "grooves.groove_plan",
        SHAPELY,
        "test_joinery.py::test_grooves_keep_clear_of_every_mortise_and_are_nowhere_shorter_than_they_must",
    ),
    Outside(
        "movement.coefficient_from_shrinkage",
        "sympy, the slope of eq. 4-9",
        "test_movement.py::test_a_coefficient_is_the_slope_of_the_shrinkage_line_over_the_size_at_ten_percent",
    ),
    Outside(
        "movement.change_by_shrinkage",
        "Wood Handbook eq. 4-9, exactly",
        "test_movement.py::test_the_change_by_shrinkage_goes_along_the_shrinkage_line",
    ),
    Outside(
        "movement.groove_depth_needed",
        "the panel of that groove, at its driest",
        "test_movement.py::test_in_a_groove_of_the_depth_needed_a_panel_bears_just_enough_and_keeps_its_clearance",
    ),
    Outside(
        "movement.seasonal_swing",
        "Wood Handbook eq. 4-9, exactly",
        "test_movement.py::test_the_swing_of_a_top_is_its_size_wet_less_its_size_dry",
    ),
    Outside(
        "moisture.equilibrium_moisture",
        "the Handbook's constants for degrees C",
        "test_moisture.py::test_both_printed_sets_of_constants_agree",
    ),
    Outside(
        "rough.ply_thickness", CUTTING, "test_rough.py::test_plies_planed_glued_and_cleaned_up_are_the_part"
    ),
    Outside(
        "rough.least_plies",
        TRIED,
        "test_rough.py::test_the_fewest_plies_fit_the_stock_and_one_fewer_would_not",
    ),
    Outside(
        "rough.stave_width",
        CUTTING,
        "test_rough.py::test_staves_jointed_at_every_seam_are_wide_enough_and_waste_no_more_than_one_seam",
    ),
    Outside(
        "rough.jointed_stave_width",
        CUTTING,
        "test_rough.py::test_jointed_staves_laid_side_by_side_are_the_part_and_its_trim",
    ),
    Outside(
        "rough.planed_stave_thickness",
        CUTTING,
        "test_rough.py::test_a_thirty_second_off_each_face_of_the_glued_whole_leaves_the_part",
    ),
    Outside(
        "rough.least_staves",
        TRIED,
        "test_rough.py::test_the_fewest_staves_are_no_wider_than_allowed_and_one_fewer_would_be",
    ),
    Outside(
        "rough.leaves_from", CUTTING, "test_rough.py::test_leaves_sawn_off_one_by_one_are_as_many_as_said"
    ),
    Outside(
        "rough.gangs",
        EXACT,
        "test_rough.py::test_ganged_blanks_hold_every_piece_and_none_is_too_short_for_the_machines",
    ),
    Outside(
        "lumber.board_feet", PINT, "test_lumber.py::test_board_feet_are_the_volume_over_144_cubic_inches"
    ),
    Outside(
        "lumber.net_volume",
        PINT,
        "test_lumber.py::test_a_net_volume_is_the_product_of_the_sizes_however_thin",
    ),
    Outside(
        "lumber.surface_measures",
        EXACT,
        "test_lumber.py::test_surface_measures_are_those_of_exact_rationals_with_halves_up_and_down_by_turns",
    ),
    Outside(
        "lumber.tally_board_feet",
        EXACT,
        "test_lumber.py::test_a_bundle_is_rounded_once_and_not_board_by_board",
    ),
    Outside(
        "shapes.stations",
        "numpy, with the circle",
        "test_shapes.py::test_every_station_of_a_template_lies_on_the_circle",
    ),
    Outside(
        "shapes.arc_radius",
        NUMPY,
        "test_shapes.py::test_the_circle_through_both_ends_and_the_rise_has_the_radius",
    ),
    Outside(
        "shapes.arc_offsets", NUMPY, "test_shapes.py::test_every_station_of_a_template_lies_on_the_circle"
    ),
    Outside(
        "shapes.arc_length",
        SHAPELY,
        "test_shapes.py::test_the_arc_is_as_long_as_the_line_through_many_stations",
    ),
    Outside(
        "shapes.bent_strip_offsets",
        SYMPY,
        "test_shapes.py::test_a_pushed_strip_takes_the_line_of_a_beam_loaded_in_the_middle",
    ),
    Outside(
        "shapes.strip_departure",
        "sympy, the largest difference",
        "test_shapes.py::test_arc_and_pushed_strip_differ_by_two_twenty_sevenths_of_a_small_rise",
    ),
    Outside(
        "shapes.curved_blank_width",
        NUMPY,
        "test_shapes.py::test_the_blank_of_a_top_rail_with_a_half_inch_rise_is_a_half_inch_wider",
    ),
    Outside(
        "spacing.listed_spacing", EXACT, "test_spacing.py::test_members_and_listed_gaps_fill_the_run_exactly"
    ),
    Outside("spacing.equal_spacing", EXACT, "test_spacing.py::test_members_and_gaps_fill_the_run_exactly"),
    Outside(
        "spacing.most_members", EXACT, "test_spacing.py::test_one_member_more_than_the_most_would_overlap"
    ),
    Outside(
        "spacing.fewest_members",
        EXACT,
        "test_spacing.py::test_one_member_fewer_than_the_fewest_leaves_too_large_a_gap",
    ),
    Outside(
        "spacing.exact",
        EXACT,
        "test_spacing.py::test_a_metric_run_that_just_keeps_the_largest_gap_needs_no_extra_member",
    ),
    Outside("tapers.taper", SHAPELY, "test_shapes.py::test_a_taper_takes_off_the_area_between_the_two_ends"),
    Outside(
        "tapers.taper_offsets",
        SHAPELY,
        "test_shapes.py::test_a_taper_takes_off_the_area_between_the_two_ends",
    ),
    Outside(
        "tapers.wedge_angle",
        NUMPY,
        "test_shapes.py::test_a_wedge_of_one_in_eight_is_seven_and_an_eighth_degrees",
    ),
    Outside(
        "weight.basic_specific_gravity",
        "eq. 4-13 put back",
        "test_weight.py::test_going_to_basic_gravity_and_back_changes_nothing",
    ),
    Outside(
        "weight.specific_gravity",
        "Wood Handbook Table 5-3b, all species",
        "test_weight.py::test_the_equation_agrees_with_the_gravities_tabulated_green_and_at_twelve_percent",
    ),
    Outside(
        "weight.density_kg_m3",
        PINT,
        "test_weight.py::test_pounds_and_kilograms_agree_to_the_three_figures_of_62_4",
    ),
    Outside(
        "weight.density_lb_ft3",
        PINT,
        "test_weight.py::test_pounds_and_kilograms_agree_to_the_three_figures_of_62_4",
    ),
    Outside(
        "shrinkage.shrinkage_from_coefficient",
        "Wood Handbook Tables 13-5 and 4-3",
        "test_shrinkage.py::test_the_shrinkage_of_black_cherry_comes_back_from_its_coefficient",
    ),
    Outside(
        "money.markup_from_margin",
        "printed pairs of margin and markup",
        "test_markup_and_margin.py::test_margin_and_markup_stand_as_printed",
    ),
    Outside(
        "money.margin_from_markup",
        "printed pairs of margin and markup",
        "test_markup_and_margin.py::test_margin_and_markup_stand_as_printed",
    ),
    Outside(
        "money.price_by_margin",
        "the identity of margin and markup",
        "test_markup_and_margin.py::test_a_price_by_margin_is_the_price_by_its_markup",
    ),
    Outside(
        "money.price_by_markup",
        "the identity of margin and markup",
        "test_markup_and_margin.py::test_a_price_by_margin_is_the_price_by_its_markup",
    ),
    Outside(
        "lumber.pile_share",
        NUMPY,
        "test_lumber.py::test_shares_of_the_piles_lie_on_the_line_that_numpy_draws",
    ),
    Outside(
        "metric_stock.straightened_thickness",
        "the trade's figures for 27 mm stock",
        "test_lumber.py::test_27_mm_stock_dries_to_26_5_and_straightens_to_24",
    ),
    Outside("weight.weight_lb", PINT, "test_weight.py::test_weights_are_volume_times_density"),
    Outside("weight.weight_kg", PINT, "test_weight.py::test_weights_are_volume_times_density"),
    Outside(
        "clamps.clamp_length",
        SHAPELY,
        "test_rules_of_the_shop.py::test_a_clamp_holds_the_assembly_and_its_jaws_end_to_end",
    ),
    Outside(
        "joints.loose_tenon_length",
        SHAPELY,
        "test_rules_of_the_shop.py::test_a_loose_tenon_fills_both_mortises_but_for_the_glue",
    ),
    Outside(
        "movement.slot_length",
        SHAPELY,
        "test_rules_of_the_shop.py::test_a_screw_stays_in_its_slot_from_the_driest_to_the_wettest",
    ),
    Outside(
        "joints.tenon_thickness_share",
        EXACT,
        "test_rules_of_the_shop.py::test_a_tenon_takes_its_exact_share_of_the_member",
    ),
    Outside(
        "joints.dowel_diameter_share",
        EXACT,
        "test_rules_of_the_shop.py::test_a_dowel_takes_its_exact_share_of_the_member",
    ),
    Outside(
        "mortises.mortise_depth",
        SHAPELY,
        "test_rules_of_the_shop.py::test_the_wood_behind_a_mortise_is_what_the_drill_leaves",
    ),
    Outside(
        "mortises.stepped_recess",
        SHAPELY,
        "test_rules_of_the_shop.py::test_the_wood_behind_each_step_of_a_recess_is_what_the_cutter_leaves",
    ),
    Outside(
        "beams.working_stress",
        "sympy, a beam loaded in the middle",
        "test_rules_of_the_shop.py::test_a_beam_at_its_working_stress_breaks_at_as_many_times_the_load_as_the_divisor_says",
    ),
    Outside(
        "finishing.grit_steps",
        "grain sizes of FEPA 43, from memory",
        "test_rules_of_the_shop.py::test_grits_that_are_called_coarser_have_no_finer_grain",
    ),
    Outside(
        "gluing.adhesives_that_fit",
        "a clock walked minute by minute",
        "test_rules_of_the_shop.py::test_an_adhesive_fits_when_a_clock_beside_the_bench_says_so",
    ),
    Outside("money.labor_cost", PINT, "test_rules_of_the_shop.py::test_work_costs_its_hours_times_the_rate"),
    Outside(
        "money.overhead",
        EXACT,
        "test_rules_of_the_shop.py::test_shares_of_a_sum_are_those_of_exact_rationals",
    ),
    Outside(
        "money.tax", EXACT, "test_rules_of_the_shop.py::test_shares_of_a_sum_are_those_of_exact_rationals"
    ),
    Outside(
        "money.deposit", EXACT, "test_rules_of_the_shop.py::test_shares_of_a_sum_are_those_of_exact_rationals"
    ),
    Outside(
        "lifting.hands",
        "load constant of NIOSH 94-110",
        "test_bench_rules.py::test_one_person_lifts_the_load_constant_and_two_lift_less_than_twice_it",
    ),
    Outside(
        "resawing.sawn_leaf",
        EXACT,
        "test_bench_rules.py::test_leaves_as_sawn_and_their_kerfs_make_up_the_flattened_blank",
    ),
    Outside(
        "gluing.shared_out",
        "NumPy's array_split",
        "test_bench_rules.py::test_joints_are_shared_out_like_an_array",
    ),
    Outside(
        "finishing.next_opening",
        "a clock walked quarter hour by quarter hour",
        "test_bench_rules.py::test_work_goes_on_when_a_clock_in_the_shop_says_it_is_open",
    ),
)

"""Refusals whose case stands in another room's tests: the code, a phrase, and the test's name."""

from __future__ import annotations

from typing import NamedTuple


class Elsewhere(NamedTuple):
    """A refusal's code, a phrase of its sentence, the test, and what its text shows of it."""

    code: str
    phrase: str
    file: str
    test: str
    shown: str


FEATURES = ("parts/shape/test_features.py", "test_what_cannot_be_drawn_says_why")
FALLS = ("parts/display/test_stand.py", "test_what_would_fall_is_refused")
STANDS = ("parts/display/test_stand.py", "test_what_cannot_stand_is_refused")
READINGS = ("calibration/test_readings.py", "test_readings_that_cannot_be")
SETS = ("property/test_set_scale.py", "test_the_largest_scale_is_what_brute_force_finds")
INPUTS = ("analysis/test_allowed_range.py", "test_inputs_that_cannot_vary_are_refused_in_words")
SYSTEMS = ("constraints/test_no_frame.py", "test_what_cannot_be_solved_is_refused_in_words")
PLUGINS = ("plugins/test_builtins.py", "test_unknown_doubled_and_broken_plugins")

ELSEWHERE = [
    Elsewhere("unknown-input", "", *INPUTS, "follows from others"),
    Elsewhere(
        "held-by-others",
        "cannot vary: other values of the spec",
        *INPUTS,
        "other values of the spec say the same",
    ),
    Elsewhere(
        "held-by-others",
        "rib.count cannot vary",
        "analysis/test_sweep.py",
        "test_an_input_that_others_hold_is_refused",
        'match="longitude"',
    ),
    Elsewhere("no-scale", "can be built at no scale", *SETS, '"no-scale"'),
    Elsewhere("scales-exclude", "no scale fits all", *SETS, '"scales-exclude"'),
    Elsewhere(
        "broken-body",
        "gives radii of",
        "plugins/test_sample.py",
        "test_errors_name_it",
        "' gives radii of",
    ),
    Elsewhere(
        "coupon-slots",
        "makes no slot of",
        "calibration/test_readings.py",
        "test_no_slot_at_all",
        "makes no slot",
    ),
    Elsewhere("no-reading", "nothing was read", *READINGS, "no-reading"),
    Elsewhere("reading-slot", "no slot of this coupon", *READINGS, "reading-slot"),
    Elsewhere(
        "reading-strips",
        "a knife takes nothing",
        "calibration/test_readings.py",
        "test_a_knife_needs_only_slot_and_caliper",
        '"reading-strips"',
    ),
    Elsewhere("reading-caliper", "is far from the", *READINGS, "reading-caliper"),
    Elsewhere("reading-strips", "the stack gives a kerf", *READINGS, "reading-strips"),
    Elsewhere(
        "doubled-body",
        "is in the catalogues",
        "plugins/test_kit_catalogue.py",
        "test_a_row_that_another_has_too",
        "in the catalogues",
    ),
    Elsewhere(
        "catalogue-data",
        "",
        "catalogue/test_catalogue_data.py",
        "test_faulty_bodies_are_refused",
        "catalogue-data",
    ),
    Elsewhere(
        "coupon-words",
        "",
        "cli/test_coupon.py",
        "test_wrong_words_are_2_and_change_nothing",
        '["--step", "0"]',
    ),
    Elsewhere(
        "own-value",
        "has its own",
        "cli/test_coupon.py",
        "test_a_set_takes_the_values_in_its_shared_part",
        "has its own sheet.thickness",
    ),
    Elsewhere(
        "does-not-determine",
        "so they do not settle it",
        "constraints/test_loop_rows.py",
        "test_any_law_in_rows_as_by_itself",
        "test_any_law_in_rows",
    ),
    Elsewhere("no-solution", "agrees with the given", *SYSTEMS, "working_angle agrees"),
    Elsewhere(
        "several-solutions",
        "all agree with the given",
        "solution/test_solve.py",
        "test_a_wanted_slot_depth_that_fits_twice_lists_both_heights",
        "several-solutions",
    ),
    Elsewhere("no-input", "", *SYSTEMS, "distance is no input"),
    Elsewhere("held-by-others", "", *SYSTEMS, "other values say the same"),
    Elsewhere("too-little-given", "", *SYSTEMS, "too little is given"),
    Elsewhere("values-disagree", "", *SYSTEMS, "these disagree"),
    Elsewhere(
        "offset",
        "cannot be moved by",
        "geometry/test_offset.py",
        "test_too_fine_is_refused",
        "cannot be moved by",
    ),
    Elsewhere(
        "no-mass",
        "have no centre of mass",
        "parts/display/test_balance.py",
        "test_nothing_has_no_centre",
        "no centre of mass",
    ),
    Elsewhere(
        "hung-at-centre",
        "rest in any position",
        "parts/display/test_balance.py",
        "test_nothing_has_no_centre",
        "rest in any position",
    ),
    Elsewhere("stand-proud", "proud of the skin", *FALLS, 'match="proud"'),
    Elsewhere("stand-rolls", "Without rubbing", *FALLS, "Without rubbing"),
    Elsewhere("stand-no-ribs", "There are no ribs", *FALLS, "no ribs"),
    Elsewhere("stand-falls", "", *FALLS, "would fall"),
    Elsewhere("stand-hollow", "it is hollow there", *STANDS, 'match="hollow"'),
    Elsewhere("stand-edge", "the flat end of the skin", *STANDS, 'match="flat end"'),
    Elsewhere("stand-obstacle-table", "below the table", *STANDS, "below the table"),
    Elsewhere("stand-low", "The lap of the plates", *STANDS, "lap of the plates"),
    Elsewhere("stand-tips", "outside the feet", *STANDS, "outside the feet"),
    Elsewhere(
        "ring-range",
        "The ring's",
        "parts/display/test_strength.py",
        "test_inputs_out_of_range_are_refused",
        "test_inputs_out_of_range",
    ),
    Elsewhere("slot-narrower-than-tool", "a tool of diameter", *FEATURES, "tool of diameter 4 mm"),
    Elsewhere("outline-crosses", "breaks through its own edge", *FEATURES, "a rib breaks through"),
    Elsewhere("relief-does-not-fit", "does not fit near", *FEATURES, "does not fit near"),
    Elsewhere("mortise-off-disc", "does not lie in a disc", *FEATURES, "does not lie in a disc"),
    Elsewhere("mortises-meet", "apart meet", *FEATURES, "apart meet"),
    Elsewhere("rib-in-sector", "stands in the sector", *FEATURES, "stands in the sector"),
    Elsewhere("sector-cuts-joint", "through their joints", *FEATURES, "through their joints"),
    Elsewhere("slots-meet", "leave no rim", *FEATURES, '"no rim"'),
    Elsewhere("flange-too-narrow", "do not lie in a flange", *FEATURES, "do not lie in a flange"),
    Elsewhere("slots-meet", "leave no tooth", *FEATURES, "leave no tooth"),
    Elsewhere("end-closed", "the skin meets the axis", *FEATURES, "meets the axis"),
    Elsewhere("ends-meet", "leave nothing between", *FEATURES, "nothing between"),
    Elsewhere("rabbet-off-rib", "a rabbet to radius", *FEATURES, "a rabbet to"),
    Elsewhere("tongue-off-rib", "a tongue from radius", *FEATURES, "a tongue from"),
    Elsewhere("notches-meet", "meets another", *FEATURES, "meets another"),
    Elsewhere("notch-off-skin", "does not reach into", *FEATURES, "does not reach into"),
    Elsewhere("hole-breaks-out", "a hole of radius", *FEATURES, "a hole of radius"),
    Elsewhere("notch-through-skin", "cuts the rib in two", *FEATURES, "mm cuts the rib in two"),
    Elsewhere("sector-angle", "cannot be taken away", *FEATURES, "cannot be taken away"),
    Elsewhere(
        "part-loose",
        "is not joined",
        "parts/verify/test_assembly.py",
        "test_the_assembly_test_finds_a_part_that_is_loose",
        "is not joined",
    ),
    Elsewhere(
        "outside-skin",
        "leaves the skin by",
        "parts/verify/test_hand_made_frames.py",
        "test_a_disc_that_leaves_the_skin_is_found",
        "leaves the skin by",
    ),
    Elsewhere(
        "solids-overlap",
        "",
        "parts/verify/test_assembly.py",
        "test_the_assembly_test_finds_an_overlap",
        "test_the_assembly_test_finds_an_overlap",
    ),
    Elsewhere(
        "way-blocked",
        "in its way",
        "parts/verify/test_planted_overlaps.py",
        "test_a_rib_barred_by_the_neighbour_on_either_side",
        "mm³ in its way",
    ),
    Elsewhere(
        "check-failed",
        "",
        "cli/test_sets.py",
        "test_the_rest_of_a_set_is_listed_where_a_frame_cannot_be",
        "test_the_rest_of_a_set",
    ),
    Elsewhere(
        "stock-runs-out",
        "",
        "cli/test_sets.py",
        "test_sheets_that_run_out_are_exit_2_and_nothing_is_written",
        "at hand runs out",
    ),
    Elsewhere("unknown-joint", "there is no", *PLUGINS, "registered by"),
    Elsewhere("doubled-joint", "is registered by", *PLUGINS, "registered by"),
    Elsewhere("broken-joint", "", *PLUGINS, "registered by"),
    Elsewhere(
        "nest-too-large",
        "does not fit a sheet of",
        "sheets/stock/test_supply.py",
        "test_small_sets_of_any_stock_are_legal_and_complete",
        "nest-too-large",
    ),
    Elsewhere(
        "nest-no-engine",
        "needs the package spyrrow",
        "sheets/nest/tight/test_nester.py",
        "test_without_spyrrow_the_command_that_installs_it_is_told",
        "needs the package spyrrow",
    ),
    Elsewhere(
        "nest-seconds",
        "seconds is no search",
        "sheets/nest/tight/test_nester.py",
        "test_seconds_that_are_no_time_are_refused",
        "seconds is no search",
    ),
    Elsewhere(
        "bridge-too-wide",
        "has no edge for a bridge",
        "sheets/route/test_bridges.py",
        "test_a_bridge_longer_than_any_edge_is_a_sentence",
        "no edge for a bridge. A bridge of",
    ),
    Elsewhere(
        "coupon-too-large",
        "the coupon does not go",
        "cli/test_coupon.py",
        "test_a_small_sheet_is_told_or_the_coupon_turned",
        "test_a_small_sheet_is_told",
    ),
    Elsewhere(
        "rib-too-wide",
        "between the axis's clearance",
        "analysis/test_allowed_range.py",
        "test_an_input_that_no_check_depends_on_ends_where_the_frame_does",
        "test_an_input_that_no_check_depends_on_ends",
    ),
    Elsewhere(
        "part-unknown",
        "what is no part",
        "files/test_release.py",
        "test_every_road_refuses",
        '"part-unknown"',
    ),
    Elsewhere(
        "part-without-place",
        "no sheet holds",
        "files/test_release.py",
        "test_every_road_refuses",
        '"part-without-place"',
    ),
    Elsewhere(
        "solids-untested",
        "were not tested as solids",
        "files/test_release.py",
        "test_every_road_refuses",
        '"solids-untested"',
    ),
    Elsewhere(
        "no-hang-hole",
        "finds no place",
        "parts/display/test_hanging.py",
        "test_an_unreachable_hang_names_what_can_be_had",
        "make the hole smaller",
    ),
]

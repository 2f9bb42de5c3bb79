"""Every kind of mistake, in the order of the table."""

from __future__ import annotations

from collections.abc import Mapping

from tests.mutation.kinds.joins import colour_only_join, drop_a_ground, drop_a_join, join_two_nets
from tests.mutation.kinds.leads import ladder_reference_to_body, missing_cap
from tests.mutation.kinds.pins import mirror_a_face, reversed_speaker, swap_two_pins
from tests.mutation.kinds.protection import fuse_one_size_up, missing_clamp, missing_fuse, wrong_gauge
from tests.mutation.kinds.supplies import STEP, feed_from_the_wrong_position, step_downs
from tests.mutation.made import Kind

KINDS: Mapping[str, Kind] = {
    "swap two pins": swap_two_pins,
    "mirror a face": mirror_a_face,
    "drop a join": drop_a_join,
    "drop a ground": drop_a_ground,
    "join two nets": join_two_nets,
    "wrong gauge": wrong_gauge,
    STEP: step_downs,
    "feed from the wrong position": feed_from_the_wrong_position,
    "reversed speaker": reversed_speaker,
    "missing cap": missing_cap,
    "fuse one size up": fuse_one_size_up,
    "missing fuse": missing_fuse,
    "missing clamp": missing_clamp,
    "ladder reference to body": ladder_reference_to_body,
    "colour-only join": colour_only_join,
}
"""The table's row by its name. Each gives every place of a job where that mistake can be made."""

"""Every rule there is, in the order in which conflicts of one level are listed."""

from __future__ import annotations

from collections.abc import Mapping

from core.checks.cavities.airbag import airbag_touched
from core.checks.cavities.cut_into_car import cut_into_car
from core.checks.cavities.empty_mate import empty_mate
from core.checks.cavities.look_alikes import look_alikes
from core.checks.cavities.two_conductors import two_conductors
from core.checks.cavities.wrong_terminal import wrong_terminal
from core.checks.colours.found_differs import found_differs
from core.checks.colours.same_colour import same_colour
from core.checks.feeds.awake import load_awake
from core.checks.feeds.by_data import fed_by_data
from core.checks.feeds.cranking import falls_while_cranking
from core.checks.feeds.dead import load_dead
from core.checks.feeds.exchanged import feeds_exchanged
from core.checks.feeds.joined import feeds_joined
from core.checks.feeds.leads_nowhere import leads_nowhere
from core.checks.feeds.midpoint import load_on_midpoint
from core.checks.feeds.output_fed import output_fed
from core.checks.feeds.output_overloaded import output_overloaded
from core.checks.feeds.shorted import feed_shorted
from core.checks.feeds.step_down_backwards import step_down_backwards
from core.checks.feeds.supply_overloaded import supply_overloaded
from core.checks.feeds.tap_too_weak import tap_too_weak
from core.checks.feeds.turn_on import turn_on_dimmed
from core.checks.finish.live_lead import live_lead
from core.checks.finish.not_decided import not_decided
from core.checks.finish.parallel import parallel_leads
from core.checks.finish.removed_part import removed_part
from core.checks.finish.temporary import temporary_join
from core.checks.grounds.case_pole import case_pole
from core.checks.grounds.cut_off import cut_off
from core.checks.grounds.lamp_wire import lamp_wire
from core.checks.grounds.no_return import no_return
from core.checks.grounds.shared import shared_ground
from core.checks.grounds.shield_loop import shield_loop
from core.checks.grounds.thin_return import thin_return
from core.checks.protection.breaker import resetting_breaker
from core.checks.protection.clamp import coil_without_clamp
from core.checks.protection.diode import diode_wrong
from core.checks.protection.small_fuse import fuse_too_small
from core.checks.protection.thin_lead import thin_lead
from core.checks.protection.unfused_feed import unfused_feed
from core.checks.protection.unprotected import conductor_unprotected
from core.checks.record.reading import reading_disagrees
from core.checks.registry import Rule
from core.checks.signals.close_buttons import close_buttons
from core.checks.signals.data_pair import data_pair
from core.checks.signals.interlock import interlock
from core.checks.signals.line_level import line_level
from core.checks.signals.pairs import functions_joined
from core.checks.signals.unused_output import unused_output
from core.checks.signals.wrong_reference import wrong_reference
from core.checks.speakers.across import across_channels
from core.checks.speakers.exchanged import plus_minus_exchanged
from core.checks.speakers.grounded import speaker_grounded
from core.checks.speakers.least_ohms import least_ohms
from core.checks.speakers.no_speaker import no_speaker
from core.checks.speakers.two_amplifiers import two_amplifiers
from core.checks.speakers.unused_joined import unused_joined
from core.checks.voltage.cannot_hold import cannot_hold
from core.checks.voltage.reversed import reversed_polarity
from core.checks.voltage.too_few import too_few_volts
from core.checks.voltage.too_much import too_many_volts
from core.checks.voltage.wrong_when_loaded import wrong_when_loaded
from core.checks.wire.amps import amps_above_gauge
from core.checks.wire.drop import drop_above_limit
from core.checks.wire.gauges import gauges_differ
from core.checks.wire.joint_full import joint_too_full
from core.checks.wire.too_thin import wire_too_thin

RULES: tuple[Rule, ...] = (
    airbag_touched,
    feed_shorted,
    feeds_joined,
    output_fed,
    step_down_backwards,
    reversed_polarity,
    too_many_volts,
    load_on_midpoint,
    speaker_grounded,
    two_amplifiers,
    across_channels,
    unused_joined,
    least_ohms,
    case_pole,
    lamp_wire,
    no_return,
    cut_off,
    thin_return,
    shared_ground,
    shield_loop,
    empty_mate,
    feeds_exchanged,
    fed_by_data,
    load_dead,
    leads_nowhere,
    falls_while_cranking,
    supply_overloaded,
    cannot_hold,
    too_few_volts,
    wrong_when_loaded,
    output_overloaded,
    turn_on_dimmed,
    tap_too_weak,
    load_awake,
    data_pair,
    line_level,
    unused_output,
    live_lead,
    removed_part,
    temporary_join,
    plus_minus_exchanged,
    no_speaker,
    wrong_reference,
    close_buttons,
    interlock,
    functions_joined,
    not_decided,
    parallel_leads,
    reading_disagrees,
    cut_into_car,
    two_conductors,
    wrong_terminal,
    look_alikes,
    found_differs,
    same_colour,
    unfused_feed,
    amps_above_gauge,
    wire_too_thin,
    conductor_unprotected,
    thin_lead,
    fuse_too_small,
    diode_wrong,
    coil_without_clamp,
    resetting_breaker,
    drop_above_limit,
    joint_too_full,
    gauges_differ,
)
RULE_NAMED: Mapping[str, Rule] = {rule.name: rule for rule in RULES}

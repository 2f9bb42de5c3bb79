"""Edits: pure functions from one job to the next.

Each takes the job first, checks what it touches, and raises EditRefused with a sentence for the technician
where hands could not do it; the job that was given is never changed.
"""

from core.edits.answers import Verdict
from core.edits.base import replaced
from core.edits.cables import join_by_cable
from core.edits.cavities import remove_lead, set_cavities, set_cavity, set_lead, set_leads, swap_pins
from core.edits.copying import Clip, copy, delete, paste
from core.edits.decide import open_ends
from core.edits.finishes import cap, clear_finish, leave, pull
from core.edits.internals import add_internal, remove_internal, set_internal
from core.edits.invariants import check_invariants
from core.edits.joins import (
    join,
    join_by_wire,
    lifted,
    remove_joint,
    replug,
    set_joint,
    unjoin,
)
from core.edits.mates import can_mate, mate, unmate
from core.edits.notes import add_note, remove_notes, set_note
from core.edits.parts import add_mated, add_part, added_tag, remove_parts, rename_tag, set_part, set_parts
from core.edits.place import move, open_pair, place_all, set_side
from core.edits.record import accept, add_reading, remove_reading, set_settings, set_sheet, withdraw
from core.edits.replacing import lost_joins, replace_part
from core.edits.verdicts import Verdicts, verdict
from core.edits.wires import (
    add_cable,
    add_wire,
    crimp,
    remove_cables,
    remove_wires,
    set_cable,
    set_conductor,
    set_wire,
    set_wires,
    uncrimp,
)

__all__ = [
    "Clip",
    "Verdict",
    "Verdicts",
    "accept",
    "add_cable",
    "add_internal",
    "add_mated",
    "add_note",
    "add_part",
    "add_reading",
    "add_wire",
    "added_tag",
    "can_mate",
    "cap",
    "check_invariants",
    "clear_finish",
    "copy",
    "crimp",
    "delete",
    "join",
    "join_by_cable",
    "join_by_wire",
    "leave",
    "lifted",
    "lost_joins",
    "mate",
    "move",
    "open_ends",
    "open_pair",
    "paste",
    "place_all",
    "pull",
    "remove_cables",
    "remove_internal",
    "remove_joint",
    "remove_lead",
    "remove_notes",
    "remove_parts",
    "remove_reading",
    "remove_wires",
    "rename_tag",
    "replace_part",
    "replaced",
    "replug",
    "set_cable",
    "set_cavities",
    "set_cavity",
    "set_conductor",
    "set_internal",
    "set_joint",
    "set_lead",
    "set_leads",
    "set_note",
    "set_part",
    "set_parts",
    "set_settings",
    "set_sheet",
    "set_side",
    "set_wire",
    "set_wires",
    "swap_pins",
    "uncrimp",
    "unjoin",
    "unmate",
    "verdict",
    "withdraw",
]

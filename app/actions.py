"""The one table of everything that can be done: menus, toolbar, keys and the help page come from it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction, QKeySequence

from app.commands import checking, editing, files, joining, parts, printing, reading, ruling, showing
from app.desk import Desk
from core.ids import kind_of

MENUS = ("Job", "Edit", "Part", "Join", "Check", "View", "Help")


@dataclass(frozen=True)
class ActionSpec:
    """One thing that can be done. `hint` is the line shown while the pointer or the menu rests on it.

    `key` is a portable key sequence; `toolbar` puts a button on the first screen; `enabled` says when it
    makes sense. Keys that are also typed into fields work on the map only (`map_only`).
    """

    id: str
    menu: str
    text: str
    hint: str
    run: Callable[[Desk], object]
    key: str = ""
    toolbar: str = ""
    enabled: Callable[[Desk], bool] = lambda desk: True
    map_only: bool = False
    separator: bool = False


def _has(*kinds: str) -> Callable[[Desk], bool]:
    return lambda desk: any(kind_of(ref) in kinds for ref in desk.session.selection)


def _ends(least: int) -> Callable[[Desk], bool]:
    return lambda desk: len(joining.selected_ends(desk)) >= least


def _writable(desk: Desk) -> bool:
    return not desk.session.read_only_because


# fmt: off
ACTIONS: tuple[ActionSpec, ...] = (
    ActionSpec("new", "Job", "&New job", "Start an empty job in a window of its own", files.new, "Ctrl+N"),
    ActionSpec("open", "Job", "&Open…", "Open a job file", files.open_job, "Ctrl+O"),
    ActionSpec("start", "Job", "S&tart page", "Recent jobs, sample jobs and recovered work",
               files.start_page),
    ActionSpec("save", "Job", "&Save", "Write this job to its file", files.save, "Ctrl+S",
               enabled=_writable, separator=True),
    ActionSpec("save as", "Job", "Save &as…", "Write this job to another file", files.save_as,
               "Ctrl+Shift+S"),
    ActionSpec("job sheet", "Job", "&Job sheet…", "Shop, number, vehicle, equipment, technician",
               files.job_sheet, "Ctrl+J", separator=True),
    ActionSpec("car", "Job", "Ca&r and bench…",
               "System volts, ground, battery, bench supply and the job's own switches", files.car,
               "Ctrl+Shift+J"),
    ActionSpec("print", "Job", "&Print drawing…", "See the build drawing, then print it or save it as PDF",
               printing.show_drawing, "Ctrl+P", toolbar="Print drawing"),
    ActionSpec("save pdf", "Job", "Save drawing as P&DF…", "Write the build drawing to a PDF file",
               printing.save_pdf, "Ctrl+Shift+P"),
    ActionSpec("library folder", "Job", "Shop library &folder…",
               "Choose the folder with the shop's own parts", files.library_folder, separator=True),
    ActionSpec("close", "Job", "&Close window", "Close this job", files.close, "Ctrl+W"),
    ActionSpec("quit", "Job", "&Quit", "Close every job and leave", files.leave, "Ctrl+Q"),
    ActionSpec("undo", "Edit", "&Undo", "Take back the last step", editing.undo, "Ctrl+Z", toolbar="Undo",
               enabled=lambda desk: desk.session.undo_stack.canUndo()),
    ActionSpec("redo", "Edit", "&Redo", "Do the step again that was taken back", editing.redo,
               "Ctrl+Shift+Z", toolbar="Redo", enabled=lambda desk: desk.session.undo_stack.canRedo()),
    ActionSpec("cut", "Edit", "Cu&t", "Copy what is selected, then delete it", editing.cut, "Ctrl+X",
               enabled=_has("part", "note"), separator=True),
    ActionSpec("copy", "Edit", "&Copy", "Copy parts with the joins between them, also to another job",
               editing.copy, "Ctrl+C", enabled=_has("part", "note")),
    ActionSpec("paste", "Edit", "&Paste", "Put in what was copied", editing.paste, "Ctrl+V"),
    ActionSpec("delete", "Edit", "&Delete", "Delete what is selected", editing.delete, "Del",
               enabled=lambda desk: bool(desk.session.selection), map_only=True),
    ActionSpec("select all", "Edit", "Select &all", "Select every part", editing.select_all, "Ctrl+A",
               map_only=True),
    ActionSpec("find", "Edit", "&Find…", "Find a pin, colour, function, part or joint", editing.find,
               "Ctrl+F", separator=True),
    ActionSpec("add part", "Part", "&Add a part…",
               "Take a part from the shelf: type its name, or drag it onto the map", parts.add,
               "Ctrl+Return", toolbar="Add part"),
    ActionSpec("blank plug", "Part", "&Blank plug…", "Make a plug from rows and columns", parts.blank_plug,
               "Ctrl+B"),
    ActionSpec("note", "Part", "Add a &note", "Pin free words to the map", parts.add_note, "Ctrl+Shift+N"),
    ActionSpec("change part", "Part", "&Tag, name and state…",
               "Change them in the details panel: tag first, then name and state", parts.change, "F2",
               enabled=_has("part"), map_only=True, separator=True),
    ActionSpec("replace", "Part", "&Replace…", "Put another part in its place and keep its joins",
               parts.replace, enabled=_has("part")),
    ActionSpec("mate", "Part", "&Mate two plugs", "Plug one selected part into the other", parts.mate,
               "Ctrl+M", enabled=lambda desk: len(parts.selected_parts(desk)) == 2),
    ActionSpec("unmate", "Part", "&Unplug", "Take the two halves of a mated pair apart", parts.unmate,
               enabled=parts.is_mated),
    ActionSpec("open pair", "Part", "&Show both faces", "Open or close a mated pair to see both its faces",
               parts.open_pair, "O", enabled=parts.is_mated, map_only=True),
    ActionSpec("done", "Part", "Mark as &done",
               "Nothing more to decide here: what is open becomes a conflict", parts.done, "D",
               enabled=_has("part"), map_only=True),
    ActionSpec("join", "Join", "&Join",
               "Join the selected ends, or pick the other end by keyboard or pointer", joining.join, "J",
               toolbar="Join", enabled=_ends(1), map_only=True),
    ActionSpec("type join", "Join", "Join by &typing…", "Type the other end, such as CAM-1 or J3",
               joining.type_join, "T", enabled=_ends(1), map_only=True),
    ActionSpec("join by wire", "Join", "Join with a &wire between",
               "Put a wire from stock between two ends", joining.by_wire, "W", enabled=_ends(2),
               map_only=True),
    ActionSpec("join by cable", "Join", "Join with a ca&ble between",
               "Put one cable between the selected ends of two parts", joining.by_cable, "B",
               enabled=_ends(2), map_only=True),
    ActionSpec("unjoin", "Join", "Take &out of its joint", "The end is free again", joining.unjoin, "U",
               enabled=joining.any_joined, map_only=True),
    ActionSpec("swap", "Join", "&Swap two pins",
               "The two leads change cavities, with all that is joined to them", joining.swap, "S",
               enabled=_ends(2), map_only=True),
    ActionSpec("cap", "Join", "&Cap", "Insulate the end by itself: it is not used", joining.cap, "C",
               toolbar="Cap", enabled=_ends(1), map_only=True, separator=True),
    ActionSpec("pull", "Join", "&Pull out", "The lead is taken out of the plug", joining.pull, "P",
               enabled=_ends(1), map_only=True),
    ActionSpec("leave", "Join", "&Leave as it is…", "Nothing is done, for a reason you give", joining.leave,
               "L", enabled=_ends(1), map_only=True),
    ActionSpec("reopen", "Join", "Decide a&gain",
               "Forget the cap, pull or reason: the end is to decide again", joining.reopen,
               enabled=joining.any_decided),
    ActionSpec("next conflict", "Check", "&Next conflict", "Go to the next conflict",
               checking.next_conflict, "F8"),
    ActionSpec("previous conflict", "Check", "&Previous conflict", "Go to the conflict before",
               checking.previous_conflict, "Shift+F8"),
    ActionSpec("mend", "Check", "&Mend it", "Apply the first mend of the conflict shown", checking.mend,
               "Ctrl+Shift+M", enabled=lambda desk: checking.shown_conflict(desk) is not None),
    ActionSpec("accept", "Check", "&Accept it…",
               "Keep the conflict on purpose, with a reason and your name", checking.accept,
               enabled=lambda desk: checking.shown_conflict(desk) is not None),
    ActionSpec("explain", "Check", "&Explain it",
               "Go through the conflict shown step by step, with the volts along its way", ruling.explain,
               "E", enabled=lambda desk: desk.session.result is not None, map_only=True),
    ActionSpec("next step", "Check", "Next &step", "The next step of the conflict that explains itself",
               partial(ruling.step, by=1), "F9", enabled=lambda desk: desk.explaining.conflict is not None),
    ActionSpec("previous step", "Check", "Pre&vious step", "The step before",
               partial(ruling.step, by=-1), "Shift+F9",
               enabled=lambda desk: desk.explaining.conflict is not None),
    ActionSpec("about rule", "Check", "A&bout it", "What the rule finds, why it matters, and its limits",
               ruling.about, "Shift+F1", enabled=lambda desk: checking.shown_conflict(desk) is not None),
    ActionSpec("rules", "Check", "R&ules of this job…",
               "Every rule with its help; those of the levels Look and Note can be switched off",
               ruling.rules, "Ctrl+Shift+R", separator=True),
    ActionSpec("limits", "Check", "&Limits of this job…",
               "What the checks go by, with this job's own values", ruling.limits, "Ctrl+Shift+L"),
    ActionSpec("next open", "Check", "Next to &decide",
               "Go to the next lead about which nothing was decided", checking.next_open, "F7",
               separator=True),
    ActionSpec("meter", "Check", "Me&ter", "Put the meter on two points: the first is red, the second black",
               reading.meter, "V", toolbar="Meter", map_only=True, separator=True),
    ActionSpec("meter red", "Check", "Meter: move &red here", "Put the meter's red point on what is selected",
               reading.meter_red, "Shift+V", enabled=lambda desk: bool(reading.selected_points(desk)),
               map_only=True),
    ActionSpec("map", "View", "&Map", "The wiring map", partial(showing.place, name="map"), "Ctrl+1"),
    ActionSpec("lists", "View", "&Lists", "Joints, leads, wires, unused leads, materials",
               partial(showing.panel, name="lists"), "Ctrl+2"),
    ActionSpec("drawing", "View", "&Drawing", "The build drawing as it will print",
               partial(showing.place, name="drawing"), "Ctrl+3"),
    ActionSpec("readings", "View", "&Readings", "Expected and measured, in every position",
               partial(showing.place, name="readings"), "Ctrl+7"),
    ActionSpec("shelf", "View", "Parts &shelf", "Parts of this job and the shop library",
               partial(showing.panel, name="shelf"), "Ctrl+4"),
    ActionSpec("conflicts", "View", "&Conflicts", "What the checker found, and what is to decide",
               partial(showing.panel, name="conflicts"), "Ctrl+5"),
    ActionSpec("details", "View", "D&etails", "What is selected, to read and to change",
               partial(showing.panel, name="details"), "Ctrl+6"),
    ActionSpec("fit", "View", "&Fit", "Show the whole map", showing.fit, "F", toolbar="Fit", map_only=True,
               separator=True),
    ActionSpec("zoom selection", "View", "&Zoom to selection", "Show what is selected",
               showing.to_selection, "Z", enabled=lambda desk: bool(desk.session.selection), map_only=True),
    ActionSpec("zoom in", "View", "Zoom &in", "Come nearer to the map", showing.nearer, "Ctrl++"),
    ActionSpec("zoom out", "View", "Zoom &out", "See more of the map", showing.farther, "Ctrl+-"),
    ActionSpec("flip", "View", "Fli&p side",
               "Show every face from its other side: wire side or mating side", showing.flip, "X",
               toolbar="Flip side", map_only=True),
    ActionSpec("arrange", "View", "&Arrange", "Place parts and order flags so that few wires cross",
               showing.arrange, "Ctrl+Shift+A", toolbar="Arrange"),
    ActionSpec("next key", "View", "&Next key position", "Show what is live with the key one step on",
               partial(showing.step_key, by=1), "]", map_only=True, separator=True),
    ActionSpec("previous key", "View", "Previous &key position",
               "Show what is live with the key one step back", partial(showing.step_key, by=-1), "[",
               map_only=True),
    ActionSpec("gauges", "View", "Gauges in mm² or A&WG", "Show wire sizes the other way", showing.gauges,
               separator=True),
    ActionSpec("lengths", "View", "Len&gths in mm or inches", "Show lengths the other way",
               showing.lengths),
    ActionSpec("theme", "View", "Ligh&t or dark", "Change the colours of the screen", showing.theme),
    ActionSpec("help", "Help", "&Keys and gestures", "Every key, and what dragging does", showing.help_page,
               "F1"),
    ActionSpec("cautions", "Help", "&Cautions", "Before you touch the car", showing.cautions),
    ActionSpec("about", "Help", "&About Loomwright", "Version and licence", showing.about),
)
# fmt: on


def make_actions(desk: Desk, parent: QObject) -> dict[str, QAction]:
    """One QAction for each row of the table, with its key, hint and tool tip."""
    made: dict[str, QAction] = {}
    for spec in ACTIONS:
        action = QAction(spec.text, parent)
        action.setObjectName(spec.id)
        action.setStatusTip(spec.hint)
        action.setToolTip(f"{spec.hint} ({spec.key})" if spec.key else spec.hint)
        if spec.toolbar:
            action.setIconText(spec.toolbar)
        if spec.key:
            action.setShortcut(QKeySequence(spec.key))
        action.triggered.connect(partial(_run, spec, desk))
        made[spec.id] = action
    return made


def _run(spec: ActionSpec, desk: Desk, checked: bool = False) -> None:
    spec.run(desk)

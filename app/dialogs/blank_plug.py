"""A plug from rows and columns: the first thing asked is which side the sheet shows."""

from __future__ import annotations

from typing import NamedTuple, cast, get_args

from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit, QSpinBox, QWidget

from app.dialogs.forms import FormDialog
from core.ids import tag_from_name
from core.job.faces import Face, Numbering, Side, mate_of, numbered_grid
from core.job.parts import Cavity, Connector, Lead, Part, PartState


class Answer(NamedTuple):
    part: Part
    mate: Part | None


def blank_plug(
    name: str, rows: int, columns: int, numbering: Numbering, side: Side, state: PartState, with_mate: bool
) -> Answer:
    """The plug described, numbered as seen from `side`; if wanted, its mate too, with leads."""
    seen = numbered_grid(rows, columns, numbering)
    grid = seen if side == "mating" else tuple(row[::-1] for row in seen)
    face = Face(grid=grid, gender="male" if state == "on the car" else "female", sheet_side=side)
    tag = tag_from_name(name)
    leads = Lead() if state != "on the car" else None
    part = _part(tag + "C" if with_mate else tag, name, state, face, leads)
    if not with_mate:
        return Answer(part, None)
    other = mate_of(face, "female" if face.gender == "male" else "male")
    return Answer(part, _part(tag, f"{name}, our half", "to fit", other, Lead()))


def _part(tag: str, name: str, state: PartState, face: Face, lead: Lead | None) -> Part:
    cavities = tuple(Cavity(pin=pin, lead=lead) for pin in face.places)
    return Part(
        id=tag,
        name=name,
        kind="plug",
        state=state,
        connectors=(Connector(name="A", face=face, cavities=cavities),),
    )


def ask_blank_plug(parent: QWidget | None) -> Answer | None:
    dialog = FormDialog(parent, "Blank plug", "Make it", "Which side of the plug does your sheet show?")
    side = QComboBox()
    side.addItem("Wire side: the wires come toward you", "wire")
    side.addItem("Mating side: the side that meets the other plug", "mating")
    name = QLineEdit("Plug")
    name.setMaxLength(200)
    rows, columns = QSpinBox(), QSpinBox()
    for box, most, value in ((rows, 40, 2), (columns, 80, 8)):
        box.setRange(1, most)
        box.setValue(value)
        box.lineEdit().setTextMargins(6, 0, 0, 0)
    numbering = QComboBox()
    numbering.addItems([str(word) for word in get_args(Numbering)])
    on_car = QCheckBox("This plug is on the car")
    on_car.setChecked(True)
    mated = QCheckBox("Make the half that mates with it too")
    mated.setChecked(True)
    for label, field in (
        ("Seen from", side),
        ("Name", name),
        ("Rows", rows),
        ("Columns", columns),
        ("Numbered", numbering),
    ):
        dialog.add(label, field)
    dialog.form.addRow(on_car)
    dialog.form.addRow(mated)
    name.textChanged.connect(lambda text: dialog.agree.setEnabled(bool(text.strip())))
    if not dialog.asked():
        return None
    return blank_plug(
        name.text().strip(),
        rows.value(),
        columns.value(),
        cast(Numbering, numbering.currentText()),
        cast(Side, side.currentData()),
        "on the car" if on_car.isChecked() else "to fit",
        mated.isChecked(),
    )

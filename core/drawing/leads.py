"""Sheet 3, leads to trim and wires to cut."""

from __future__ import annotations

from core.drawing.cautions import cautions
from core.drawing.cells import TICK, Colour, Marked, Words, words
from core.drawing.collect_lists import LeadRow, WireRow, lead_rows, wire_rows
from core.drawing.ends import Reader
from core.drawing.flow import Area, Flow, Para
from core.drawing.style import INK, QUIET, SMALL, STOP
from core.drawing.table import Column, Row, table

TITLE = "Leads to trim, wires to cut"
_SUBTITLE = "Lengths lie flat from the plug to the joint. Tick each as it is done."


def leads_sheet(read: Reader, area: Area) -> Flow:
    flow = Flow("leads", area, TITLE, _SUBTITLE)
    flow.panel("At the cutters", cautions("leads"), STOP, "caution")
    leads = lead_rows(read)
    flow.section("Leads to trim")
    if not leads:
        flow.paragraph(Para("No part on this job has leads.", ink=QUIET))
    columns = [
        Column("Lead"),
        Column("Goes to", flexible=True),
        Column("Function", flexible=True),
        Column("Colour"),
        Column("Gauge"),
        Column("Length"),
        Column("Trim to"),
        Column("Finish", flexible=True),
        Column("Done"),
    ]
    table(flow, "lead", columns, [_lead(read, row) for row in leads])
    wires = wire_rows(read)
    flow.section("Wires to cut")
    if not wires:
        flow.paragraph(Para("No wire from stock on this job.", ink=QUIET))
    columns = [
        Column("Wire"),
        Column("From", flexible=True),
        Column("To", flexible=True),
        Column("Function", flexible=True),
        Column("Colour"),
        Column("Gauge"),
        Column("Cut to"),
        Column("Finish, from / to", flexible=True),
        Column("Done"),
    ]
    table(flow, "wire", columns, [_wire(read, row) for row in wires])
    return flow


def _lead(read: Reader, row: LeadRow) -> Row:
    undecided = row.finish == "to decide"
    return Row(
        (row.ref,),
        (
            Marked(row.start, read.marks_at(row.ref)),
            words(row.goes_to, ink=QUIET if row.goes_to == "nothing" else INK),
            words(row.function),
            Colour(row.colour),
            words(row.gauge),
            words(row.length),
            words(row.trim_to),
            words(row.finish, bold=undecided, ink=STOP if undecided else INK),
            TICK,
        ),
    )


def _wire(read: Reader, row: WireRow) -> Row:
    function = [Para(row.function, size=SMALL)] if row.function else []
    function += [Para(row.note, size=SMALL, ink=QUIET)] if row.note else []
    return Row(
        (row.ref,),
        (
            Marked(row.ref, read.marks_at(row.ref)),
            words(row.start),
            words(row.end),
            Words(tuple(function)),
            Colour(row.colour),
            words(row.gauge),
            words(row.length),
            words(row.finish),
            TICK,
        ),
    )

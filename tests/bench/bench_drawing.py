"""How fast a 30-page drawing is made, against its own draw list on a bare canvas and against a raw writer.

Run: `python -m tests.bench.bench_drawing`. Prints processor seconds (the best of several) and ratios. To
reach: 1.5 times the bare canvas, 10 times the raw writer, and the same bytes twice.
"""

from __future__ import annotations

import time
import zlib
from collections.abc import Callable, Sequence
from io import BytesIO

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas

from core.drawing.build import build_drawing, print_pdf
from core.drawing.items import Circle, Curve, Line, Modules, Page, Rect
from core.drawing.pdf import write_pdf
from core.job.document import Job
from tests.core.drawing.made import LIBRARY, van

ROUNDS = 7
COPIES = 3


def large() -> tuple[Job, object]:
    """The van's parts several times over, with tags of their own, joined as in the van."""
    job, result = van()
    parts, joints, wires = {}, {}, {}
    for copy in range(COPIES):
        tags = {tag: f"{tag}{copy}" for tag in job.parts}

        def moved(end: str, tags: dict[str, str] = tags, copy: int = copy) -> str | None:
            tag = end.partition(".")[0]
            return f"{tags[tag]}{end[len(tag) :]}" if tag in tags else None

        for tag, part in job.parts.items():
            parts[tags[tag]] = part.model_copy(update={"id": tags[tag]})
        for joint in job.joints.values():
            ends = tuple(end for old in joint.ends if (end := moved(old)))
            if len(ends) > 1:
                name = f"J{len(joints) + 1}"
                joints[name] = joint.model_copy(update={"id": name, "ends": ends})
    job = Job(sheet=job.sheet, parts=parts, joints=joints, wires=wires)
    return job, result


def bare_canvas(pages: Sequence[Page]) -> bytes:
    """Every item of the draw list by one call of the canvas, as one would write it without a thought."""
    buffer = BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1)
    for page in pages:
        canvas.setPageSize((page.width, page.height))
        for shape in page.shapes:
            fill, ink = getattr(shape, "fill", ""), getattr(shape, "ink", "")
            if fill:
                canvas.setFillColor(HexColor(fill))
            if ink:
                canvas.setStrokeColor(HexColor(ink))
                canvas.setLineWidth(shape.thick)  # type: ignore[union-attr]
            does = {"stroke": int(bool(ink)), "fill": int(bool(fill))}
            match shape:
                case Line():
                    canvas.line(shape.x1, page.height - shape.y1, shape.x2, page.height - shape.y2)
                case Rect():
                    foot = page.height - shape.y - shape.height
                    if shape.radius:
                        canvas.roundRect(shape.x, foot, shape.width, shape.height, shape.radius, **does)
                    else:
                        canvas.rect(shape.x, foot, shape.width, shape.height, **does)
                case Circle():
                    canvas.circle(shape.x, page.height - shape.y, shape.radius, **does)
                case Curve():
                    ys = [page.height - y for y in (shape.y1, shape.y2, shape.y3, shape.y4)]
                    canvas.bezier(shape.x1, ys[0], shape.x2, ys[1], shape.x3, ys[2], shape.x4, ys[3])
                case Modules():
                    for column, row, count in shape.runs:
                        top = page.height - shape.y - (row + 1) * shape.cell
                        x = shape.x + column * shape.cell
                        canvas.rect(x, top, count * shape.cell, shape.cell, stroke=0, fill=1)
        for text in page.texts:
            canvas.setFont(text.font, text.size)
            canvas.setFillColor(HexColor(text.ink))
            canvas.drawString(text.x, page.height - text.y, text.text)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def raw_writer(pages: Sequence[Page]) -> bytes:
    """The least that writes such pages: numbers into strings, one standard font, no subset."""
    out: list[bytes] = []
    for page in pages:
        code: list[str] = []
        for shape in page.shapes:
            match shape:
                case Line():
                    code.append(f"{shape.x1:.2f} {shape.y1:.2f} m {shape.x2:.2f} {shape.y2:.2f} l S")
                case Rect():
                    code.append(f"{shape.x:.2f} {shape.y:.2f} {shape.width:.2f} {shape.height:.2f} re f")
                case Circle():
                    code.append(f"{shape.x:.2f} {shape.y:.2f} m f")
                case Curve():
                    code.append(" ".join(f"{value:.2f}" for value in shape[:8]) + " c S")
                case Modules():
                    code += [
                        f"{shape.x + column * shape.cell:.2f} {shape.y + row * shape.cell:.2f} "
                        f"{count * shape.cell:.2f} {shape.cell:.2f} re"
                        for column, row, count in shape.runs
                    ]
        for text in page.texts:
            code.append(f"BT /F1 {text.size} Tf {text.x:.2f} {text.y:.2f} Td ({text.text}) Tj ET")
        out.append(zlib.compress("\n".join(code).encode()))
    return b"".join(out)


def best(work: Callable[[], object]) -> float:
    seconds = []
    for _ in range(ROUNDS):
        start = time.process_time()
        work()
        seconds.append(time.process_time() - start)
    return min(seconds)


def main() -> None:
    job, result = large()
    pages = build_drawing(job, result, LIBRARY)  # type: ignore[arg-type]
    whole = print_pdf(job, result, LIBRARY)  # type: ignore[arg-type]
    assert whole == print_pdf(job, result, LIBRARY), "two prints differ"  # type: ignore[arg-type]
    times = {
        "whole drawing": best(lambda: print_pdf(job, result, LIBRARY)),  # type: ignore[arg-type]
        "collected and laid out": best(lambda: build_drawing(job, result, LIBRARY)),  # type: ignore[arg-type]
        "own back-end": best(lambda: write_pdf(pages, "t")),
        "bare canvas": best(lambda: bare_canvas(pages)),
        "raw writer": best(lambda: raw_writer(pages)),
    }
    shapes, texts = sum(len(page.shapes) for page in pages), sum(len(page.texts) for page in pages)
    print(f"{len(pages)} pages, {shapes} shapes, {texts} texts, {len(whole)} bytes")
    for name, seconds in times.items():
        print(f"{name:24} {seconds:.4f} s")
    print(f"whole / bare canvas      {times['whole drawing'] / times['bare canvas']:.2f} (to reach 1.5)")
    print(f"whole / raw writer       {times['whole drawing'] / times['raw writer']:.2f} (to reach 10)")


if __name__ == "__main__":
    main()

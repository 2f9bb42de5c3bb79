"""The map at 250, 5,000 and 20,000 wires: drag, start of a drag, hover, pan, live nets.

Run by name: `python -m tests.bench.bench_canvas`. Peers are measured in the same run: a plain widget that
blits a picture of the view and strokes the moving wires, and one whole redraw of the static wires. The
ratios count; milliseconds are this machine's. Every measure is taken near (100 %) and with the whole map in
sight, at device pixel ratio 1 and 2.
"""

from __future__ import annotations

import gc
import os
import subprocess
import sys
from collections.abc import Callable
from statistics import median, quantiles
from time import perf_counter

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter, QPainterPath, QPaintEvent, QPixmap
from PySide6.QtWidgets import QApplication, QWidget

from app import theme
from app.canvas.moving import Moving
from app.canvas.view import MapView
from app.canvas.wires import stroke_wire
from app.session import Session
from app.tools.base import NO_KEYS
from app.tools.move import MoveTool
from core.library.library import Library
from tests.bench.bench_layout import big_job

Wires = list[tuple[str | None, QPainterPath]]
SIZES = (250, 5_000, 20_000)
WIDTH, HEIGHT = 1366, 768
FRAMES = 60


class Peer(QWidget):
    """A picture of the view, and the moving wires stroked over it: the least that a drag frame can be."""

    def __init__(self, picture: QPixmap, frames: list[Wires], view: MapView) -> None:
        super().__init__()
        self.resize(WIDTH, HEIGHT)
        self._picture, self._frames, self._style = picture, frames, view.style_
        self._transform, self._scale = view.viewportTransform(), view.scale_now
        self.step = 0

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._picture)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setTransform(self._transform)
        for colour, path in self._frames[self.step]:
            stroke_wire(painter, path, self._style.wire(colour), self._scale >= 0.5)
        painter.end()


def spans(work: Callable[[int], object], times: int) -> list[float]:
    """Milliseconds of each run, with the collector off."""
    gc.collect()
    gc.disable()
    found = []
    for step in range(times):
        start = perf_counter()
        work(step)
        found.append((perf_counter() - start) * 1000)
    gc.enable()
    return found


def place_of(step: int) -> tuple[float, float]:
    """How far the part is from its place in that frame: every frame another place."""
    return 24 + 8.0 * (step % 30), 16 + 8.0 * (step % 17)


def settle(view: MapView) -> None:
    view.backdrop.finish()
    QApplication.processEvents()
    view.viewport().repaint()


def redraw(view: MapView) -> float:
    """One whole redraw of what is static, in ms."""

    def work(_: int) -> None:
        view.resetCachedContent()
        view.viewport().repaint()

    return median(spans(work, 3))


def drag(view: MapView, tag: str) -> tuple[float, float, float, float, int]:
    """Start (to the first frame), the longest slice after it, frame median and p95, moving wires."""
    tool = MoveTool(view, [tag])
    core = view.sync.layout.blocks[tag].core
    at = QPointF(core.x + 5, core.y + 5)

    def start(_: int) -> None:
        tool.begin(at)
        tool.move(at + QPointF(16, 16), NO_KEYS)
        view.viewport().repaint()

    first = spans(start, 1)[0]
    slices = []
    while view.backdrop.busy and len(slices) < 2_000:
        slices += spans(lambda _: QApplication.processEvents(), 1)
    frames = spans(
        lambda step: (
            tool.move(at + QPointF(*place_of(step)), NO_KEYS),
            view.viewport().repaint(),
        ),
        FRAMES,
    )
    count = len(view.map_scene.live.wires)
    tool.cancel()
    return first, max(slices, default=0.0), median(frames), quantiles(frames, n=20)[-1], count


def peer(view: MapView, tag: str) -> float:
    """Blit the view and stroke the wires that moved."""
    moving = Moving(view.map_scene, view.store, view.backdrop, view.finder, view.session.job, [tag])
    frames = []
    for step in range(FRAMES):
        moving.show(*place_of(step))
        frames.append(list(view.map_scene.live.wires))
    widget = Peer(view.grab(), frames, view)
    moving.release()
    moving.put_down()
    widget.show()
    QApplication.processEvents()

    def work(step: int) -> None:
        widget.step = step
        widget.repaint()

    found = median(spans(work, FRAMES))
    widget.close()
    return found


def measure(wires: int, ratio: int) -> None:
    job = big_job(wires)
    session = Session(job, Library())
    view = MapView(session, theme.load_tokens("light"))
    view.resize(WIDTH, HEIGHT)
    view.show()
    QApplication.processEvents()
    tag = f"CAR{len(job.parts) // 4}X"
    for name in ("near", "all in sight"):
        if name == "near":
            view.show_scale(
                1.0, QPointF(WIDTH / 2, HEIGHT / 2), QPointF(*view.sync.layout.blocks[tag].core[:2])
            )
        else:
            view.fit()
        settle(view)
        static = redraw(view)
        least = peer(view, tag)
        settle(view)
        first, longest, frame, worst, count = drag_and_back(view, tag)
        flags = list(view.sync.layout.flag_of)
        spots = [view.mapFromScene(QPointF(*view.sync.layout.flag_of[f].tab)) for f in flags[:40]]

        def hover(step: int, spots: list[object] = spots, flags: list[str] = flags) -> None:
            view.hit(QPointF(spots[step % len(spots)]))  # type: ignore[call-overload]
            view.hover(flags[step % len(flags)])
            view.viewport().repaint()

        hovering = median(spans(hover, FRAMES))
        view.hover("")
        panning = median(spans(lambda _: (view.scroll_by(8, 0), view.viewport().repaint()), FRAMES))
        settle(view)
        first_live, whole_live = live(view)
        print(
            f"{ratio:>3} {wires:>7} {name:>12} {count:>5}"
            f" {frame:>7.1f} {worst:>6.1f} {frame / least:>6.2f}"
            f" {first:>7.1f} {longest:>6.1f} {first / static:>6.2f}"
            f" {hovering:>7.1f} {panning:>6.1f} {panning / static:>6.2f}"
            f" {first_live:>7.1f} {whole_live:>7.1f} {static:>8.1f} {least:>6.1f}"
        )
    view.close()


def drag_and_back(view: MapView, tag: str) -> tuple[float, float, float, float, int]:
    found = drag(view, tag)
    settle(view)
    return found


def live(view: MapView) -> tuple[float, float]:
    """A change of the shown position: ms to the first picture, and to the whole."""
    states = {ref: ("live", "dead")[place % 2] for place, ref in enumerate(view.sync.layout.flag_of)}
    start = perf_counter()
    view.show_live(states)  # type: ignore[arg-type]
    view.viewport().repaint()
    first = (perf_counter() - start) * 1000
    while view.backdrop.busy:
        QApplication.processEvents()
    view.viewport().repaint()
    whole = (perf_counter() - start) * 1000
    view.show_live({})
    settle(view)
    return first, whole


def main() -> None:
    if len(sys.argv) < 2:
        print("frame: at most 1.5 x (blit + stroke); 20,000 against 250 at most 1.5 x; p95 16 ms for people")
        print(
            "start: to the first frame, at most 1.3 x a static redraw; 60 ms for people. slice: longest pause"
        )
        print("hover: 16 ms. pan: 8 px. live: change of position, first picture 100 ms, whole 400 ms")
        print(
            "dpr   wires       sight moved   frame    p95  ratio   start  slice  ratio"
            "   hover    pan  ratio    live   whole   static   blit"
        )
        for ratio in ("1", "2"):
            environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "QT_SCALE_FACTOR": ratio}
            subprocess.run(
                [sys.executable, "-m", "tests.bench.bench_canvas", ratio], env=environment, check=True
            )
        return
    application = QApplication(sys.argv[:1])
    theme.load_fonts()
    application.setFont(theme.base_font())
    for wires in SIZES:
        measure(wires, int(sys.argv[1]))
        sys.stdout.flush()


if __name__ == "__main__":
    main()

"""What the screen shows: places, panels, zoom, side, units, theme, help."""

from __future__ import annotations

from app.desk import Desk
from app.dialogs import pages
from app.work.live import stepped
from core.edits import place as place_edits
from core.edits import record
from core.job.faces import Side
from core.layout.arrange import arrange as arranged


def place(desk: Desk, name: str) -> None:
    desk.places.show_place(name)


def panel(desk: Desk, name: str) -> None:
    desk.places.show_panel(name)


def fit(desk: Desk) -> None:
    desk.view.fit()


def to_selection(desk: Desk) -> None:
    desk.view.zoom_to(desk.selection)


def nearer(desk: Desk) -> None:
    desk.view.zoom_by(1.25)


def farther(desk: Desk) -> None:
    desk.view.zoom_by(0.8)


def flip(desk: Desk) -> None:
    side: Side = "mating" if desk.session.job.view.side == "wire" else "wire"
    desk.session.apply(f"Show the {side} side", lambda job: place_edits.set_side(job, side))


def step_key(desk: Desk, by: int) -> None:
    """Turn the key on or back, through the state where no position is shown."""
    desk.session.show_position(stepped(desk.session.position, by))
    name = desk.session.position
    desk.view.say(f"Key: {name}" if name else "No key position is shown")


def arrange(desk: Desk) -> None:
    """Place everything that nobody placed by hand; a second time, everything."""
    job, library = desk.session.job, desk.session.library
    places = arranged(job, library, keep=True)
    if not desk.session.apply("Arrange", lambda job: place_edits.place_all(job, places)):
        places = arranged(job, library, keep=False)
        desk.session.apply("Arrange all", lambda job: place_edits.place_all(job, places))
    desk.view.fit()


def gauges(desk: Desk) -> None:
    shown = "AWG" if desk.session.job.settings.gauges == "mm2" else "mm2"
    desk.session.apply(f"Gauges in {shown}", lambda job: record.set_settings(job, gauges=shown))


def lengths(desk: Desk) -> None:
    shown = "inch" if desk.session.job.settings.lengths == "mm" else "mm"
    desk.session.apply(f"Lengths in {shown}", lambda job: record.set_settings(job, lengths=shown))


def theme(desk: Desk) -> None:
    desk.program.set_theme("light" if desk.view.tokens.name == "dark" else "dark")


def help_page(desk: Desk) -> None:
    pages.show_keys(desk.window, desk.places.action_rows())


def cautions(desk: Desk) -> None:
    pages.show_cautions(desk.window)


def about(desk: Desk) -> None:
    pages.show_about(desk.window)

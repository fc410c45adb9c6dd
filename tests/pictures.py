"""Takes the pictures of the README: the real window with the sample job, dark and light, 1440 x 900.

`python -m tests.pictures [--out DIR]` needs no display; with one (or under Xvfb) it uses it when
QT_QPA_PLATFORM says so. The same program gives the same pictures.
"""

import os
import tempfile
import time
from argparse import ArgumentParser
from collections.abc import Callable
from dataclasses import astuple, dataclass
from io import BytesIO
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PIL import Image
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from app.arrivals import with_arrivals
from app.demo import demo_job
from app.tokens import Theme, ThemeName
from app.widgets.finding_card import FindingCard
from app.window import MainWindow
from app.wiring import Workbench, build_workbench
from layout_core.art.intake import read_art_bytes
from layout_core.files import write_whole
from layout_core.job.edits import set_printing, sign_off
from layout_core.job.model import Job
from layout_core.job.printing import PrintOptions
from layout_core.shipped import shipped
from layout_core.user_folders import OVERRIDE
from tests.picture_art import FILL, jellyfish_svg

SIZE_PX = (1440, 900)
MOST_COLOURS = 256


@dataclass(frozen=True, slots=True)
class Shot:
    """One picture: its file name, its theme, and how the window gets into its state."""

    name: str
    theme: ThemeName
    arrange: Callable[[MainWindow], None]
    is_empty: bool = False
    width_px: int = SIZE_PX[0]


def sheets(window: MainWindow) -> None:
    window.go_to("sheets")
    window.bench.viewing.look_at("carrier")
    job = window.bench.document.job
    window.bench.selection.choose_placed([first_of(job, job.pieces[0].piece_id)])


def dark_view(window: MainWindow) -> None:
    window.go_to("sheets")
    window.bench.selection.clear()
    window.bench.viewing.look_at("dark")


def strip(window: MainWindow) -> None:
    """The strip of one piece, with the dark view above it and its figures beside it."""
    window.go_to("sheets")
    window.bench.viewing.look_at("dark")
    job = window.bench.document.job
    jar = next(piece for piece in job.pieces if "jar" in piece.name.lower())
    window.bench.selection.choose_placed([first_of(job, jar.piece_id)])
    wait_until(lambda: is_still(window.bench))
    column = window.right.piece.verticalScrollBar()
    column.setValue(window.right.piece.seen.y() - 300)


def garment_view(window: MainWindow) -> None:
    window.go_to("sheets")
    window.bench.selection.clear()
    window.bench.viewing.look_at("garment")


def art(window: MainWindow) -> None:
    window.go_to("art")
    flagged = [finding for finding in window.bench.checker.findings if finding.where_mm and finding.piece_id]
    job = window.bench.document.job
    window.bench.selection.choose_piece(flagged[-1].piece_id if flagged else job.pieces[0].piece_id)


def findings(window: MainWindow) -> None:
    window.bench.selection.clear()
    window.go_to("findings")


def plan(window: MainWindow) -> None:
    window.bench.selection.clear()
    window.go_to("plan")
    planning = window.plan.planning
    if planning.worked is None or not planning.is_current:
        window.plan.answer.work_out.click()
        wait_until(lambda: not planning.is_running)


def hand_off(window: MainWindow) -> None:
    window.go_to("hand-off")
    if not window.maker.is_fresh:
        window.maker.preview(None)
        wait_until(lambda: window.maker.is_fresh)


def signed(window: MainWindow) -> None:
    """A proof as pages, signed, and then something printable changes."""
    window.go_to("hand-off")
    panel = window.right.hand_off
    panel.form.set_current("pages")
    document = window.bench.document
    document.apply("Sign off the proof", lambda job: sign_off(job, None, "R. Marsh", "3 May"))
    document.apply("Print files", lambda job: set_printing(job, PrintOptions(has_underbase=True)))
    panel.print_files.open_button.click()
    panel.preview()
    wait_until(lambda: window.maker.is_fresh)
    panel.ensureWidgetVisible(panel.print_files)


def cut_lines(window: MainWindow) -> None:
    sheets(window)
    window.bench.selection.clear()
    window.actions_by_name["cut_lines"].trigger()
    wait_until(lambda: len(window.view.cut_layer.plans) > 0)


def lettering(window: MainWindow) -> None:
    window.actions_by_name["add_lettering"].trigger()
    editor = window.art_page.lettering
    editor.words.setPlainText("MOTH NIGHT\nLANTERN WALK")
    editor.setting.bend.setValue(50.0)
    wait_until(lambda: not editor.drafting.is_busy)


def shapes(window: MainWindow) -> None:
    window.actions_by_name["add_shape"].trigger()
    editor = window.art_page.shape
    wait_until(lambda: is_still(window.bench))
    editor.kinds.setCurrentRow(6)
    wait_until(lambda: not editor.drafting.is_busy)


def names(window: MainWindow) -> None:
    window.actions_by_name["add_names"].trigger()
    editor = window.art_page.names
    editor.list.setPlainText(
        "name,number,copies\nAda,7,2\nBo,12,1\nZoë,3,1\nΕλένη,5,1\nMaximiliane,9,2\nOle,31,1"
    )
    editor.text.setPlainText("{name}\n{number}")
    wait_until(lambda: not editor.checks.is_busy and not editor.drafting.is_busy)


def autopack(window: MainWindow) -> None:
    """The sheet panel with the switches of autopack, once true outlines have had their say."""
    window.go_to("sheets")
    window.bench.viewing.look_at("carrier")
    window.bench.selection.clear()
    window.right.show_sheet()
    window.bench.packing.start()
    wait_until(lambda: not window.bench.packing.is_running)


def start(window: MainWindow) -> None:
    window.go_to("sheets")


def ink_map(window: MainWindow) -> None:
    """A drawing in two colours comes in; its fill is knocked out, so that the pen's lines print."""
    bench = window.bench
    artwork = read_art_bytes("jellyfish.svg", jellyfish_svg())
    bench.document.apply("Add jellyfish", lambda job: with_arrivals(job, [artwork], None))
    bench.selection.choose_piece(bench.document.job.pieces[-1].piece_id)
    window.deeds.show_ink()
    wait_until(lambda: is_still(bench))
    window.right.ink.rows[FILL].choice.button("knock").click()


def repair(window: MainWindow) -> None:
    """One click on the finding of that drawing makes its lines bold enough to print."""
    window.go_to("art")
    window.right.art_switch.button("piece").click()
    cards = window.right.piece.findChildren(FindingCard)
    next(card for card in cards if card.fix_buttons).fix_buttons[0].click()
    wait_until(lambda: window.bench.repairing.done is not None)


SHOTS = (
    Shot("window-dark", "dark", sheets),
    Shot("window-light", "light", sheets),
    Shot("art-dark", "dark", art),
    Shot("findings-light", "light", findings),
    Shot("plan-dark", "dark", plan),
    Shot("hand-off-light", "light", hand_off),
    Shot("sign-off-dark", "dark", signed),
    Shot("cut-lines-light", "light", cut_lines),
    Shot("narrow-dark", "dark", sheets, width_px=1024),
    Shot("garment-light", "light", garment_view),
    Shot("dark-view-dark", "dark", dark_view),
    Shot("strip-dark", "dark", strip),
    Shot("strip-light", "light", strip),
    Shot("lettering", "dark", lettering),
    Shot("shapes", "light", shapes),
    Shot("names", "dark", names),
    Shot("autopack", "dark", autopack),
    Shot("start-dark", "dark", start, is_empty=True),
    Shot("ink-map-dark", "dark", ink_map, is_empty=True),
    Shot("repair-light", "light", repair, is_empty=True),
)


def main() -> None:
    parser = ArgumentParser(prog="python -m tests.pictures", description=__doc__)
    parser.add_argument("--out", type=Path, default=None, help="folder of the pictures")
    parser.add_argument("--only", nargs="*", default=None, help="names of the pictures to take")
    arguments = parser.parse_args()
    out = arguments.out or shipped("resources") / "pictures"
    out.mkdir(parents=True, exist_ok=True)
    shots = [shot for shot in SHOTS if arguments.only is None or shot.name in arguments.only]
    with tempfile.TemporaryDirectory() as folder:
        os.environ[OVERRIDE] = folder
        app = QApplication([])
        for is_empty in (False, True):
            own = [shot for shot in shots if shot.is_empty is is_empty]
            if own:
                take(app, None if is_empty else demo_job(), own, out)


def take(app: QApplication, job: Job | None, shots: list[Shot], out: Path) -> None:
    """Take the pictures of one job, each in its theme and state."""
    bench = build_workbench(app, job, shots[0].theme)
    bench.settings.change(unit="in", motion=False)
    try:
        window = MainWindow(bench)
        window.show()
        wait_until(lambda: is_still(bench))
        for shot in shots:
            bench.theming.force(shot.theme)
            window.resize(shot.width_px, SIZE_PX[1])
            shot.arrange(window)
            window.view.zoom_to_fit()
            wait_until(lambda: is_still(bench))
            path = out / f"{shot.name}.png"
            write_whole(path, picture(window))
            print(path.name)
        window.hide()
    finally:
        bench.close()


def picture(window: MainWindow) -> bytes:
    """The window as PNG bytes."""
    app = QApplication.instance()
    assert app is not None
    app.processEvents()
    shown = window.grab().toImage().convertToFormat(QImage.Format.Format_RGB888)
    size, stride = (shown.width(), shown.height()), shown.bytesPerLine()
    image = Image.frombuffer("RGB", size, bytes(shown.constBits()), "raw", "RGB", stride, 1)
    held = BytesIO()
    in_few_colours(image, window.bench.theme).save(held, "PNG", optimize=True)
    return held.getvalue()


def in_few_colours(image: Image.Image, theme: Theme) -> Image.Image:
    """The picture in the theme's own colours and the most frequent others, so none shifts."""
    tokens = [value for value in astuple(theme) if value.startswith("#")]
    kept = [tuple(bytes.fromhex(token[1:])) for token in tokens]
    frequent = sorted(image.getcolors(image.width * image.height) or (), reverse=True)
    others = [colour for _, colour in frequent if isinstance(colour, tuple) and colour not in kept]
    palette = Image.new("P", (1, 1))
    palette.putpalette([part for colour in (*kept, *others)[:MOST_COLOURS] for part in colour])
    return image.quantize(palette=palette, dither=Image.Dither.NONE)


def is_still(bench: Workbench) -> bool:
    return not bench.checker.is_busy and not bench.tasks.running_ids


def wait_until(is_so: Callable[[], bool], most_s: float = 120.0) -> None:
    """Let the window work until it is so; raises TimeoutError."""
    app = QApplication.instance()
    assert app is not None
    end = time.monotonic() + most_s
    while not is_so():
        if time.monotonic() > end:
            raise TimeoutError("the window did not come to rest")
        app.processEvents()
        time.sleep(0.01)
    app.processEvents()


def first_of(job: Job, piece_id: int) -> int:
    """The first copy of a piece, in the order of the sheets."""
    return next(p.placed_id for sheet in job.sheets for p in sheet.placed if p.piece_id == piece_id)


if __name__ == "__main__":
    main()

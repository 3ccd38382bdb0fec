"""Take the README's pictures of the menu and the starter on a screen that nobody sees: python -m tests.make_screens.

Needs what ``tests/calc_menu`` needs, and xterm.
"""

from __future__ import annotations

import subprocess
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image, ImageChops, ImageGrab

from sheetkit.book.starter import name_of
from sheetkit.jobs.starter import starter_in
from tests.calc_menu.test_menu import Calc, installed, unseen_screen
from tests.jobs import write
from tests.make_pictures import TOP

FOLDER = TOP / "examples" / "screens"
JOB = {
    "Parts": "Part | Qty | Species | Thickness | Width | Length\nLeg | 4 | White oak | 1 | 2 | 16\nTop | 1 | White oak | 3/4 | 5 | 18"
}
XTERM = (
    "xterm",
    "-geometry",
    "76x{lines}+20+20",
    "-fa",
    "Liberation Mono",
    "-fs",
    "10",
    "-bg",
    "white",
    "-fg",
    "black",
    "-e",
)


def still(display: str) -> Image.Image:
    """Give the screen once it has not changed for a while."""
    seen, since = ImageGrab.grab(xdisplay=display), time.monotonic()
    while time.monotonic() - since < 2.5:
        time.sleep(0.2)
        now = ImageGrab.grab(xdisplay=display)
        if ImageChops.difference(seen.convert("RGB"), now.convert("RGB")).getbbox():
            seen, since = now, time.monotonic()
    return seen.convert("RGB")


def of_menu(calc: Calc, display: str, path: Path) -> Image.Image:
    """Give the open menu above a job."""
    calc.started(str(path), DISPLAY=display, SAL_USE_VCLPLUGIN="gen")
    still(display)
    time.sleep(5)
    still(display)
    subprocess.run(["xdotool", "key", "alt+k"], env={"DISPLAY": display, "PATH": "/usr/bin"}, check=True)
    seen = still(display)
    calc.end()
    return seen


def of_starter(display: str, folder: Path, lines: int, *, watch: bool) -> Image.Image:
    """Give the window of a starter beside a job once it has said all."""
    folder.mkdir()
    write(folder / "stool.xlsx", JOB)
    starter_in(folder, watch=watch)
    file = folder / name_of("linux", watch=watch)
    words = [word.format(lines=lines) for word in XTERM]
    env = {"DISPLAY": display, "PATH": "/usr/bin:/bin", "LANG": "C.UTF-8"}
    running = subprocess.Popen([*words, str(file)], env=env)
    time.sleep(2)
    seen = still(display)
    running.terminate()
    running.wait(10)
    return seen.crop(ImageChops.difference(seen, Image.new("RGB", seen.size)).getbbox())


def main() -> None:
    """Take all of them."""
    FOLDER.mkdir(exist_ok=True)
    with TemporaryDirectory() as place, installed() as calc, unseen_screen() as display:
        pictures = {
            "starter": of_starter(display, Path(place) / "one", 12, watch=False),
            "waiting": of_starter(display, Path(place) / "two", 4, watch=True),
            "menu": of_menu(calc, display, Path(place) / "one" / "stool.xlsx").crop((0, 0, 640, 200)),
        }
    for name, picture in pictures.items():
        picture.quantize(32).save(FOLDER / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()

"""A client at a running Calc, in the office program's own Python: at_calc.py PIPE DEED PATH, and JSON of what came of it."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import time
from pathlib import Path

import uno
import unohelper
from com.sun.star.beans import PropertyValue
from com.sun.star.frame import XDispatchResultListener

MOST_SECONDS = 100
"""How long anything is waited for; on a quiet machine it comes within three."""


def until(words, asked, *given):
    """Ask again and again until something is so, and give it; while the program is at work it may not answer."""
    end, found = time.monotonic() + MOST_SECONDS, None
    while time.monotonic() < end:
        try:
            found = asked(*given)
        except Exception as fault:
            found = None
            words = f"{words}, {fault!r}"[:2000]
        if found:
            return found
        time.sleep(0.05)
    raise SystemExit(f"waited in vain: {words}")


class Heard(unohelper.Base, XDispatchResultListener):
    """Keeps what a dispatch tells."""

    said = ""

    def dispatchFinished(self, event):
        """Keep it."""
        self.said = event.Result

    def disposing(self, _):
        """Hear of no interest."""


def desktop_of(pipe):
    """Give the desktop and its context, once the office program has started."""
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    ctx = until("for the start", resolver.resolve, f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
    return ctx.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", ctx), ctx


def offered(ctx, frame, entry):
    """Give an entry of the menu, as a URL and what carries it out: None where there is no menu."""
    url = uno.createUnoStruct("com.sun.star.util.URL")
    url.Complete = f"sheetkit:{entry}"
    parser = ctx.ServiceManager.createInstanceWithContext("com.sun.star.util.URLTransformer", ctx)
    _, url = parser.parseStrict(url)
    return url, frame.queryDispatch(url, "_self", 0)


def chosen(ctx, frame, entry):
    """Choose an entry of the menu, silently, and give what it tells."""
    heard = Heard()
    url, doer = offered(ctx, frame, entry)
    doer.dispatchWithNotification(url, (PropertyValue("Silent", 0, True, 0),), heard)
    return json.loads(heard.said)


def standing(frame):
    """Give how the document stands: what is shown of it, and what can be taken back."""
    controller = frame.Controller
    doc = controller.Model
    return {
        "tab": controller.ActiveSheet.Name,
        "cell": doc.CurrentSelection.AbsoluteName,
        "zoom": controller.ZoomValue,
        "modified": doc.isModified(),
        "undo": len(doc.UndoManager.AllUndoActionTitles),
        "tabs": list(doc.Sheets.ElementNames),
    }


def tell(ctx, engine):
    """Tell the menu something else of sheetkit in place of what is so, or what is so again."""
    place = ctx.getByName("/singletons/com.sun.star.deployment.PackageInformationProvider")
    where = place.getPackageLocation("sheetkit.menu")
    if not where:  # the menu is not there
        return
    folder = Path(uno.fileUrlToSystemPath(where))
    told, so = folder / "engine.json", folder / "so.json"
    if not so.exists():
        so.write_bytes(told.read_bytes())
    told.write_text(json.dumps({**json.loads(so.read_text("utf-8")), **engine}), "utf-8")


def in_front(title):
    """Say whether a window whose title matches is in front."""
    told = subprocess.run(
        ["xdotool", "getactivewindow", "getwindowname"], capture_output=True, text=True, check=False
    )
    return re.search(title, told.stdout.strip())


def stands_so(frame, wanted):
    """Say whether the document stands as it should in some respects."""
    return wanted.items() <= standing(frame).items()


def main(pipe, steps):
    """Take the steps one after another, and give what each came to."""
    desktop, ctx = desktop_of(pipe)
    frame, came = None, []
    for step, *words in steps:
        if step == "engine":
            tell(ctx, words[0])
        elif step == "open":
            hidden = tuple(PropertyValue(name, 0, value, 0) for name, value in words[1].items())
            doc = desktop.loadComponentFromURL(words[0], "_blank", 0, hidden)
            frame = doc.CurrentController.Frame
        elif step == "join":
            frame = until("for the document", lambda: desktop.CurrentComponent.CurrentController.Frame)
        elif step == "window":
            until(f"for the window {words[0]}", in_front, words[0])
        elif step == "keys":
            subprocess.run(["xdotool", *words], check=True, stdout=subprocess.DEVNULL)
        elif step == "until":
            until(f"for {words[0]}", stands_so, frame, words[0])
        elif step == "look":
            came.append(standing(frame))
        elif step == "type":
            tab, cell, text = words
            frame.Controller.Model.Sheets.getByName(tab).getCellRangeByName(cell).setFormula(text)
        elif step == "go":
            tab, cell, zoom = words
            sheet = frame.Controller.Model.Sheets.getByName(tab)
            frame.Controller.setActiveSheet(sheet)
            frame.Controller.select(sheet.getCellRangeByName(cell))
            frame.Controller.ZoomType, frame.Controller.ZoomValue = 3, zoom
        elif step == "share":
            settings = frame.Controller.Model.createInstance("com.sun.star.sheet.DocumentSettings")
            settings.IsDocumentShared = True
        elif step == "choose":
            came.append({**chosen(ctx, frame, words[0]), **standing(frame)})
        elif step == "ask":
            came.append({"offered": offered(ctx, frame, words[0])[1] is not None})
        elif step == "touch":
            os.utime(words[0], (words[1], words[1]))
        elif step == "store":
            frame.Controller.Model.store()
        elif step == "link":
            os.link(*words)
        elif step == "close":
            frame.Controller.Model.close(True)
        elif step == "leave":
            for each in list(desktop.Components):
                each.close(True)
    print(json.dumps(came), flush=True)


main(sys.argv[1], json.loads(sys.argv[2]))

"""The menu in LibreOffice Calc, in one file because that program loads it as one, in its own Python.

It starts sheetkit in a process of its own, imports nothing but uno and the standard library, and keeps to
Python 3.8, which older versions bring.
"""

from __future__ import annotations

import json
import os
import subprocess
import tempfile
import threading
from contextlib import contextmanager
from pathlib import Path

import uno
import unohelper
from com.sun.star.awt import XActionListener, XCallback, XItemListener, XTopWindowListener
from com.sun.star.awt.MessageBoxType import INFOBOX, WARNINGBOX
from com.sun.star.beans import PropertyValue
from com.sun.star.frame import DispatchResultEvent, XDispatchProvider, XNotifyingDispatch
from com.sun.star.frame.DispatchResultState import FAILURE, SUCCESS
from com.sun.star.lang import XInitialization, XServiceInfo

NAME = "sheetkit.menu.Menu"
SERVICE = "com.sun.star.frame.ProtocolHandler"
ENDINGS = {
    "calc8": ".ods",
    "Calc MS Excel 2007 XML": ".xlsx",
    "Calc Office Open XML": ".xlsx",
    "Calc MS Excel 2007 VBA XML": ".xlsm",
}
"""The formats that sheetkit works on, by the office program's name for each."""
KINDS = {"error": "to put right", "warning": "worth a look", "note": "to know"}
HEADINGS = ("Kind", "Where", "In the cell", "What is wrong", "What to do")
"""Above the lines of the tab Messages."""
NOT_ITS_OWN = ("PYTHONPATH", "PYTHONHOME", "LD_LIBRARY_PATH", "DYLD_LIBRARY_PATH", "URE_BOOTSTRAP")
"""What the office program sets for its own Python, and would mislead another."""
SECONDS_TO_SAVE = 3
"""How much later than its lock file a file saved by the office program may be."""
GONE = (
    "sheetkit is no longer where it was when this menu was put in. "
    "Install it again, then type in a terminal: sheetkit menu install"
)
SEEN = {}
"""How each file stood when a run from this menu ended: time and size."""
OPEN = {}
"""The window of messages of each frame; without this they would be forgotten while they are shown."""


class Unfit(Exception):
    """The document cannot be worked on; the words say why and what to do."""


class Refused(Unfit):
    """The engine refuses; ``code`` is its lasting name for why."""

    def __init__(self, code, words):
        super().__init__(words)
        self.code = code


def lines_of(problems):
    """Return the lines of a run's problems, the gravest first."""
    order = list(KINDS)
    return [
        {
            "kind": KINDS[each["weight"]],
            "tab": each["tab"],
            "cell": each["cell"],
            "says": each["says"],
            "instead": "" if each["instead"] == "Nothing to do." else each["instead"],
        }
        for each in sorted(problems, key=lambda found: order.index(found["weight"]))
    ]


def told_by(problems, done):
    """Return in one sentence how a run came out; ``done`` is said when everything was calculated."""
    wrong = sum(each["weight"] == "error" for each in problems)
    look = sum(each["weight"] == "warning" for each in problems)
    if wrong:
        return f"{wrong} {'thing' if wrong == 1 else 'things'} to put right first: nothing was calculated."
    return f"{done} {look} {'thing is' if look == 1 else 'things are'} worth a look." if look else done


def mark_of(path):
    """Return the time and size by which a change of a file is seen, or None when it is gone."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size


class Engine:
    """sheetkit itself, started as it stood when the menu was put in."""

    def __init__(self, ctx):
        place = ctx.getByName("/singletons/com.sun.star.deployment.PackageInformationProvider")
        folder = Path(uno.fileUrlToSystemPath(place.getPackageLocation("sheetkit.menu")))
        self.how = json.loads((folder / "engine.json").read_text("utf-8"))

    def started(self, *words):
        """Start it on some words of a command."""
        own = {key: text for key, text in os.environ.items() if key not in NOT_ITS_OWN}
        hidden = 0x08000000 if os.name == "nt" else 0  # no console window on Windows
        try:
            return subprocess.Popen(
                [*self.how["command"], *map(str, words)],
                cwd=self.how["folder"],
                env={**own, "PYTHONUTF8": "1"},
                stdin=subprocess.DEVNULL,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                encoding="utf-8",
                errors="replace",
                creationflags=hidden,
            )
        except OSError as fault:
            raise Unfit(f"{GONE} ({fault})") from None


class Document:
    """The document of a frame, and what may be done to it."""

    def __init__(self, ctx, frame):
        self.ctx = ctx
        self.frame = frame
        self.doc = frame.Controller.Model if frame and frame.Controller else None
        if self.doc is None or not self.doc.supportsService("com.sun.star.sheet.SpreadsheetDocument"):
            raise Unfit("This is no spreadsheet. Open the workbook of your job first.")
        self.about = {each.Name: each.Value for each in self.doc.getArgs()}
        if "EncryptionData" in self.about or self.about.get("Password"):
            raise Unfit(
                "This workbook is locked with a password. Remove the password, then save it and try again."
            )

        self._ordered(
            ".uno:AcceptFormula"
        )  # what is being typed counts, and would be lost when it is loaded again

    def _ordered(self, order):
        """Have the office program carry out one of its own orders."""
        helper = self.ctx.ServiceManager.createInstanceWithContext(
            "com.sun.star.frame.DispatchHelper", self.ctx
        )
        helper.executeDispatch(self.frame, order, "", 0, ())

    def path(self):
        """Return where the document stands on the disk, once it is seen to be the maker's own to write."""
        if not self.doc.hasLocation():
            raise Unfit("This workbook has not been saved yet. Save it as .xlsx or .ods, then try again.")
        url = self.doc.getURL()
        if not url.startswith("file:"):
            raise Unfit(
                "This workbook is not on this computer. Save a copy in a folder of your own, and use that."
            )
        if self.about.get("FilterName") not in ENDINGS:
            raise Unfit(
                "sheetkit works on .xlsx and .ods. Save this workbook as one of them, then try again."
            )
        if self.doc.isReadonly():
            raise Unfit(
                "This workbook is open to read only: it is set so, or it is open elsewhere. "
                "Close it there, or save a copy."
            )
        if self.doc.createInstance("com.sun.star.sheet.DocumentSettings").IsDocumentShared:
            raise Unfit(
                "This workbook is shared. Stop sharing it (Tools, Share Spreadsheet), then try again."
            )
        return Path(uno.fileUrlToSystemPath(url))

    def stored(self):
        """Save what is new, unless another program wrote the file meanwhile, and give its path."""
        path = self.path()
        here = mark_of(path)
        if here is None:
            raise Unfit(f"{path.name} is no longer there. Save the workbook again, then try again.")
        if self.doc.isModified():
            lock = mark_of(path.with_name(f".~lock.{path.name}#"))
            late = lock is not None and here[0] > lock[0] + SECONDS_TO_SAVE * 10**9
            if late and SEEN.get(path) != here:
                raise Unfit(
                    f"Another program changed {path.name} after it was opened here. "
                    "Save it yourself (Ctrl+S asks which one to keep), then try again."
                )
            try:
                self.doc.store()
            except Exception as fault:
                raise Unfit(
                    f"{path.name} could not be saved. {getattr(fault, 'Message', '') or fault}".strip()
                ) from None
        return path

    def copied(self, folder):
        """Write a copy of the document into a folder, and give the path; the document is not saved."""
        name = self.about.get("FilterName")
        name = name if name in ENDINGS else "calc8"
        path = Path(folder) / f"copy{ENDINGS[name]}"
        self.doc.storeToURL(uno.systemPathToFileUrl(str(path)), (PropertyValue("FilterName", 0, name, 0),))
        return path

    def loaded_again(self):
        """Load the document from the disk again, with tab, cell and zoom as they were."""
        with self._shown_as_it_was():
            self.doc.setModified(False)  # stored a moment ago: else it asks
            self._ordered(".uno:Reload")

    @contextmanager
    def closed(self):
        """Close the document for a while, and open it again in its window, at the same tab, cell and zoom."""
        with self._shown_as_it_was():
            url = self.doc.getURL()
            self.frame.setComponent(None, None)
            self.doc.close(True)
            try:
                yield
            finally:
                self.frame.loadComponentFromURL(url, "_self", 0, ())

    @contextmanager
    def _shown_as_it_was(self):
        """Show the document that is loaded meanwhile at the tab, cell and zoom of that before."""
        before = self.frame.Controller
        view, kind, zoom = before.ViewData, before.ZoomType, before.ZoomValue
        try:
            yield
        finally:
            after = self.frame.Controller
            self.doc = after.Model
            after.restoreViewData(view)
            after.ZoomType, after.ZoomValue = kind, zoom

    def messages(self):
        """Return the lines of the tab Messages, whatever the maker calls it, or None where there is none."""
        for sheet in sorted(self.doc.Sheets, key=lambda each: each.Name != "Messages"):
            top = sheet.getCellRangeByName("A1:E15").getDataArray()
            if HEADINGS not in top:
                continue
            cursor = sheet.createCursor()
            cursor.gotoEndOfUsedArea(False)
            last = cursor.RangeAddress.EndRow + 1
            first = top.index(HEADINGS) + 2
            rows = sheet.getCellRangeByName(f"A{first}:E{max(first, last)}").getDataArray()
            return [
                {
                    "kind": kind.lower(),
                    "tab": where.rpartition("!")[0] or where,
                    "cell": where.rpartition("!")[2] if "!" in where else "",
                    "says": says,
                    "instead": instead,
                }
                for kind, where, _, says, instead in rows
                if says
            ]
        return None


class Silent:
    """Waits and says nothing: for a dispatch that is asked to be silent."""

    def wait(self, process, words):
        """Wait for a process."""
        return process.communicate()

    def show(self, told):
        """Show nothing."""


class Desk:
    """What stands on the screen: a box while sheetkit is at work, and the window of messages."""

    def __init__(self, ctx, frame):
        self.ctx = ctx
        self.frame = frame

    def made(self, name):
        """Make a service of the office program."""
        return self.ctx.ServiceManager.createInstanceWithContext(f"com.sun.star.awt.{name}", self.ctx)

    def dialog(self, title, width, height, *controls):
        """Make a dialog of controls: kind, name, place and size, and what it is like."""
        model = self.made("UnoControlDialogModel")
        model.Title, model.Width, model.Height, model.Closeable = title, width, height, True
        for kind, name, place, like in controls:
            control = model.createInstance(f"com.sun.star.awt.UnoControl{kind}Model")
            control.Name = name
            control.PositionX, control.PositionY, control.Width, control.Height = place
            for key, content in like.items():
                setattr(control, key, content)
            model.insertByName(name, control)
        dialog = self.made("UnoControlDialog")
        dialog.setModel(model)
        dialog.createPeer(self.made("Toolkit"), self.frame.getContainerWindow())
        return dialog

    def wait(self, process, words):
        """Keep the maker from typing until a process ends, or is stopped."""
        return Waiting(self, process, words).over()

    def show(self, told):
        """Show what is to be put right, or a few words alone."""
        if told["lines"]:
            if self.frame in OPEN:
                OPEN.pop(self.frame).close()
            OPEN[self.frame] = Messages(self, told)
            return
        kind = INFOBOX if told["done"] else WARNINGBOX
        box = self.made("Toolkit").createMessageBox(
            self.frame.getContainerWindow(), kind, 1, "sheetkit", told["says"]
        )
        box.execute()
        box.dispose()


class Waiting(unohelper.Base, XActionListener, XCallback):
    """A box with Stop; while it is open, nothing can be typed."""

    def __init__(self, desk, process, words):
        self.desk = desk
        self.process = process
        self.said = None
        self.dialog = desk.dialog(
            "sheetkit: at work",
            200,
            50,
            ("FixedText", "words", (10, 8, 180, 10), {"Label": words}),
            ("Button", "stop", (75, 28, 50, 14), {"Label": "~Stop"}),
        )
        self.dialog.getControl("stop").addActionListener(self)

    def over(self):
        """Return what the process said."""
        reader = threading.Thread(target=self._read, daemon=True)
        reader.start()
        self.dialog.execute()
        if self.said is None:  # the box was closed
            self.process.terminate()
        reader.join()
        dialog, self.dialog = self.dialog, None
        dialog.dispose()
        return self.said

    def _read(self):
        self.said = self.process.communicate()
        self.desk.made("AsyncCallback").addCallback(self, None)

    def notify(self, _):
        """Close the box: the process has ended."""
        if self.dialog is None:
            return
        if self.dialog.isVisible():
            self.dialog.endExecute()
        else:  # not open yet
            self.desk.made("AsyncCallback").addCallback(self, None)

    def actionPerformed(self, _):
        """Stop the process."""
        self.process.terminate()

    def disposing(self, _):
        """Hear that a control is gone."""


class Messages(unohelper.Base, XActionListener, XItemListener, XTopWindowListener):
    """A window beside the document: one line a message, and choosing a line leads to its cell."""

    def __init__(self, desk, told):
        self.frame = desk.frame
        self.lines = told["lines"]
        self.dialog = desk.dialog(
            "sheetkit: messages",
            330,
            190,
            ("FixedText", "says", (6, 5, 318, 12), {"Label": told["says"]}),
            ("ListBox", "lines", (6, 19, 318, 100), {"StringItemList": tuple(map(self._line, self.lines))}),
            ("Edit", "more", (6, 123, 318, 44), {"MultiLine": True, "ReadOnly": True, "VScroll": True}),
            ("Button", "close", (274, 171, 50, 14), {"Label": "~Close", "PushButtonType": 0}),
        )
        self.dialog.getControl("lines").addItemListener(self)
        self.dialog.getControl("close").addActionListener(self)
        self.dialog.addTopWindowListener(self)
        self.dialog.setVisible(True)
        self.dialog.getControl("lines").setFocus()

    def _line(self, line):
        where = f"{line['tab']}!{line['cell']}" if line["cell"] else line["tab"]
        return f"{line['kind']}:  {where}  {line['says']}"

    def itemStateChanged(self, event):
        """Lead to the cell of the chosen line, and show its words in full."""
        line = self.lines[event.Selected]
        self.dialog.getControl("more").setText(f"{line['says']}\n{line['instead']}".strip())
        controller = self.frame.Controller
        sheets = controller.Model.Sheets
        if line["tab"] in sheets.ElementNames:
            cell = sheets.getByName(line["tab"]).getCellRangeByName(line["cell"] or "A1")
            controller.setActiveSheet(cell.Spreadsheet)
            controller.select(cell)

    def close(self):
        """Take the window away."""
        dialog, self.dialog = self.dialog, None
        if dialog is not None:
            dialog.dispose()

    def actionPerformed(self, _):
        """Close the window, by its button."""
        self.close()

    def windowClosing(self, _):
        """Close the window, by its frame or the key Escape."""
        self.close()

    def disposing(self, _):
        """Forget the window: it, or the document, is gone."""
        if OPEN.get(self.frame) is self:
            del OPEN[self.frame]

    def windowOpened(self, _):
        """Hear of no interest."""

    windowClosed = windowMinimized = windowNormalized = windowActivated = windowDeactivated = windowOpened


class Menu(unohelper.Base, XServiceInfo, XInitialization, XDispatchProvider, XNotifyingDispatch):
    """What the office program asks for when an entry of the menu is chosen."""

    def __init__(self, ctx, *_):
        self.ctx = ctx
        self.frame = None

    def initialize(self, given):
        """Take the frame that the menu belongs to."""
        self.frame = given[0] if given else None

    def queryDispatch(self, url, _, __):
        """Return what carries out an entry."""
        return self if url.Path in DEEDS else None

    def queryDispatches(self, asked):
        """Return what carries out each of several entries."""
        return tuple(self.queryDispatch(each.FeatureURL, each.FrameName, each.SearchFlags) for each in asked)

    def dispatch(self, url, given):
        """Carry out an entry."""
        self._told(url, given)

    def dispatchWithNotification(self, url, given, listener):
        """Carry out an entry, and tell a caller in JSON what would be shown."""
        told = self._told(url, given)
        if listener is not None:
            event = DispatchResultEvent(self, SUCCESS if told["done"] else FAILURE, json.dumps(told))
            listener.dispatchFinished(event)

    def addStatusListener(self, _, __):
        """Need nobody who listens: the entries can always be chosen."""

    removeStatusListener = addStatusListener

    def getImplementationName(self):
        """Return the name that the office program knows it by."""
        return NAME

    def supportsService(self, name):
        """Say whether it serves as something."""
        return name == SERVICE

    def getSupportedServiceNames(self):
        """Return what it serves as."""
        return (SERVICE,)

    def _told(self, url, given):
        silent = any(each.Name == "Silent" and each.Value for each in given)
        desk = Silent() if silent else Desk(self.ctx, self.frame)
        try:
            told = DEEDS[url.Path](self, Document(self.ctx, self.frame), desk)
        except Unfit as unfit:
            told = {"done": False, "says": str(unfit), "lines": []}
        except Exception as fault:  # whatever it is, the maker gets a word
            told = {
                "done": False,
                "says": f"That did not work, and the workbook was left as it was. {fault!r}",
                "lines": [],
            }
        desk.show(told)
        return told

    def _run(self, desk, words, *command):
        """Return what a run said, as data; of a refusal, raise its words."""
        process = Engine(self.ctx).started("run", *command, "--json")
        said, amiss = desk.wait(process, words)
        try:
            found = json.loads(said)
        except ValueError:
            raise Unfit(self._why_not(process, amiss)) from None
        if "file" not in found:
            (why,) = found["problems"]
            raise Refused(why["code"], f"{why['says']} {why['stands']}".strip())
        return found

    def _why_not(self, process, amiss):
        """Return why there is no answer."""
        if process.returncode < 0 or not amiss.strip():
            return "Stopped: nothing was worked out."
        last = amiss.strip().splitlines()[-1]
        return f"{GONE} ({last})" if "No module named sheetkit" in last else f"sheetkit did not work. {last}"

    def work_out(self, document, desk):
        """Save, work out, and load again."""
        document.path()  # refused before anything is done
        if document.messages() is None:
            self._refuse_a_foreign(document, desk)
        path = document.stored()
        before = mark_of(path)
        # --force: the lock file that stands is that of this very document
        wanted = (f"Working out {path.name} ...", path, "--force")
        try:
            try:
                found = self._run(desk, *wanted)
            except Refused as refused:
                if refused.code != "cannot write" or not Engine(self.ctx).how["open_is_held"]:
                    raise
                with document.closed():
                    found = self._run(desk, *wanted)
                before = mark_of(path)
        finally:
            if mark_of(path) not in (before, None):
                document.loaded_again()
            SEEN[path] = mark_of(path)
        done = "Worked out." if found["written"] else "Everything is up to date."
        return {"done": True, "says": told_by(found["problems"], done), "lines": lines_of(found["problems"])}

    def _checked(self, document, desk, *words):
        """Return what a check of the document says, as it is now; it is not saved."""
        if not document.doc.isModified() and document.doc.hasLocation():
            return self._run(desk, "Checking ...", document.path(), "--check", *words)
        with tempfile.TemporaryDirectory(prefix="sheetkit-") as folder:
            home = ("--home", document.path().parent) if document.doc.hasLocation() else ()
            return self._run(desk, "Checking ...", document.copied(folder), "--check", *words, *home)

    def _refuse_a_foreign(self, document, desk):
        """Refuse a workbook of something else: it would get tabs that nobody asked for."""
        found = self._checked(document, desk, "--effort", "0.1")
        if {"Job", "Parts"} <= {each["tab"] for each in found["problems"] if each["code"] == "tab-missing"}:
            raise Unfit(
                "This is no workbook of a job: it has neither a tab Job nor a tab Parts. Open the workbook "
                "of your job. To put the tabs into this one, type in a terminal: sheetkit adopt"
            )

    def check(self, document, desk):
        """Look for problems in the document as it is now, and write nothing."""
        found = self._checked(document, desk)
        says = told_by(found["problems"], "Nothing is to be put right.")
        return {"done": True, "says": says, "lines": lines_of(found["problems"])}

    def client(self, document, desk):
        """Save, and write the client's copy beside the workbook."""
        path = document.stored()
        process = Engine(self.ctx).started("client", path)
        said, amiss = desk.wait(process, f"Writing the client's copy of {path.name} ...")
        done = process.returncode == 0
        refused = amiss.startswith("sheetkit: ")
        words = said if done else amiss.partition(": ")[2] if refused else self._why_not(process, amiss)
        return {"done": done, "says": words.strip(), "lines": []}

    def messages(self, document, _):
        """Show the messages that stand in the workbook."""
        lines = document.messages()
        if lines is None:
            raise Unfit("This workbook has no messages yet: choose Work out first.")
        says = "Messages of the last time it was worked out." if lines else "No messages: nothing was amiss."
        return {"done": True, "says": says, "lines": lines}


DEEDS = {"work-out": Menu.work_out, "check": Menu.check, "client": Menu.client, "messages": Menu.messages}
"""What each entry of the menu does."""

g_ImplementationHelper = unohelper.ImplementationHelper()
g_ImplementationHelper.addImplementation(Menu, NAME, (SERVICE,))

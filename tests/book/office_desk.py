"""A seat at LibreOffice: documents opened, typed into key by key, recalculated and saved, as a person does it.

The work is written in LibreOffice's own Basic and kept in a profile of its own, so that nothing besides
LibreOffice is needed. One start serves many documents.
"""

from __future__ import annotations

import os
import signal
import subprocess
from pathlib import Path
from xml.sax.saxutils import escape

from sheetkit.book.office import office_program

_LIBRARIES = """<?xml version="1.0" encoding="UTF-8"?>
<library:libraries xmlns:library="http://openoffice.org/2000/library" xmlns:xlink="http://www.w3.org/1999/xlink">
 <library:library library:name="Standard" xlink:href="$(USER)/basic/Standard/script.xlb/" xlink:type="simple" library:link="false"/>
</library:libraries>"""
_LIBRARY = """<?xml version="1.0" encoding="UTF-8"?>
<library:library xmlns:library="http://openoffice.org/2000/library" library:name="Standard" library:readonly="false" library:passwordprotected="false">
 <library:element library:name="Desk"/>
</library:library>"""
_MODULE = """<?xml version="1.0" encoding="UTF-8"?>
<script:module xmlns:script="http://openoffice.org/2000/script" script:name="Desk" script:language="StarBasic">{}</script:module>"""
_PROFILE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>{}</value></prop></item>
<item oor:path="/org.openoffice.Setup/Office"><prop oor:name="ooSetupInstCompleted" oor:op="fuse"><value>true</value></prop></item>
<item oor:path="/org.openoffice.Office.Calc/Input"><prop oor:name="AutoInput" oor:op="fuse"><value>false</value></prop></item>
</oor:items>"""
"""A new profile of one locale. Entries are not completed from those above: each trial stands alone."""

_DESK = """
Dim doc, diary, keys
Sub Say(words)
  diary.writeString(words & Chr(10))
End Sub
Function Setting(label, content)
  Dim one As New com.sun.star.beans.PropertyValue
  one.Name = label
  one.Value = content
  Setting = one
End Function
Sub Command(order, label, content)
  dispatcher = createUnoService("com.sun.star.frame.DispatchHelper")
  dispatcher.executeDispatch(doc.CurrentController.Frame, order, "", 0, Array(Setting(label, content)))
End Sub
Sub OpenFile(url)
  doc = StarDesktop.loadComponentFromURL(url, "_blank", 0, Array())
  doc.CurrentController.Frame.ContainerWindow.toFront()
  doc.CurrentController.Frame.activate()
  doc.CurrentController.Frame.ComponentWindow.setFocus()
End Sub
Sub CloseFile
  doc.close(True)
End Sub
Sub SaveCopy(url, filter)
  doc.storeToURL(url, Array(Setting("FilterName", filter)))
End Sub
Function Tab(title)
  Tab = doc.Sheets.getByName(title)
End Function
Function At(title, cell)
  At = Tab(title).getCellRangeByName(cell)
End Function
Sub GoTo_(title, cell)
  If doc.CurrentController.ActiveSheet.Name <> title Then doc.CurrentController.setActiveSheet(Tab(title))
  Command ".uno:GoToCell", "ToPoint", cell
End Sub
Sub Press(letter, key)
  Dim stroke As New com.sun.star.awt.KeyEvent
  stroke.Source = doc.CurrentController.Frame.ComponentWindow
  stroke.KeyChar = letter
  stroke.KeyCode = key
  keys.keyPress(stroke)
  keys.keyRelease(stroke)
End Sub
Sub TypeKeys(title, cell, words)
  GoTo_ title, cell
  here = doc.CurrentSelection.AbsoluteName
  For i = 1 To Len(words)
    Press Asc(Mid(words, i, 1)), 0
  Next
  Press 13, com.sun.star.awt.Key.RETURN
  For i = 1 To 2000
    If doc.CurrentSelection.AbsoluteName <> here Then Exit Sub
    Wait 1
  Next
  Say "the keys did not reach " & title & "." & cell
End Sub
Sub EnterLine(title, cell, words)
  GoTo_ title, cell
  Command ".uno:EnterString", "StringName", words
End Sub
Sub SortDown(title, block)
  Dim first(0) As New com.sun.star.table.TableSortField
  first(0).Field = 0
  first(0).IsAscending = False
  At(title, block).sort(Array(Setting("SortFields", first()), Setting("ContainsHeader", False)))
End Sub
Sub Main
  On Error GoTo Fault
  stream = createUnoService("com.sun.star.io.TextOutputStream")
  stream.setEncoding("UTF-8")
  stream.setOutputStream(createUnoService("com.sun.star.ucb.SimpleFileAccess").openFileWrite("{diary}"))
  diary = stream
  keys = createUnoService("com.sun.star.awt.Toolkit")
  Work
Leave:
  diary.closeOutput()
  StarDesktop.terminate()
  Exit Sub
Fault:
  Say "fault: " & Error
  Resume Leave
End Sub
Sub Work
{work}
  Say "done"
End Sub
"""


def quoted(text: object) -> str:
    """Give a text as it stands in Basic."""
    return '"' + str(text).replace('"', '""') + '"'


def started(folder: Path, basic: str, locale: str = "en-US") -> subprocess.Popen[bytes]:
    """Start LibreOffice on ``Sub Main`` of some Basic, in a new profile, a locale and a session of its own."""
    user = folder / f"profile-{locale}" / "user"
    (user / "basic" / "Standard").mkdir(parents=True, exist_ok=True)
    (user / "registrymodifications.xcu").write_text(_PROFILE.format(locale), encoding="utf-8")
    (user / "basic" / "script.xlc").write_text(_LIBRARIES, encoding="utf-8")
    (user / "basic" / "Standard" / "script.xlb").write_text(_LIBRARY, encoding="utf-8")
    module = _MODULE.format(escape(basic))
    (user / "basic" / "Standard" / "Desk.xba").write_text(module, encoding="utf-8")
    program = office_program()
    assert program is not None
    command = [program, f"-env:UserInstallation={user.parent.as_uri()}", "--headless", "--norestore", "--nologo",
               "macro:///Standard.Desk.Main"]  # fmt: skip
    return subprocess.Popen(
        command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
    )


def at_the_desk(folder: Path, work: str, locale: str = "en-US", seconds: float = 120) -> list[str]:
    """Have LibreOffice do some work in a locale, and give what it said.

    ``work`` is Basic: ``OpenFile url``, ``TypeKeys tab, cell, text`` (each key pressed), ``EnterLine tab, cell,
    text`` (the whole line taken over at once), ``At(tab, cell)``, ``Tab(title)``, ``SaveCopy url, filter``,
    ``CloseFile``, ``Say text``, and ``doc`` for everything else.
    """
    diary = folder / f"diary-{locale}.txt"
    running = started(folder, _DESK.replace("{diary}", diary.as_uri()).replace("{work}", work), locale)
    try:
        running.wait(seconds)
    except subprocess.TimeoutExpired:
        os.killpg(running.pid, signal.SIGKILL)
        raise
    assert diary.exists(), "LibreOffice did not start the work: is there a slip in its Basic?"
    said = diary.read_text(encoding="utf-8").splitlines()
    assert said[-1:] == ["done"], said
    return said[:-1]

"""What the commands rack and cut say of the shop's boards."""

from __future__ import annotations

from sheetkit.jobs.cut import CutOutcome
from sheetkit.jobs.shop_rack import Listing
from sheetkit.terminal.report import problem_table
from sheetkit.terminal.screen import Said, Table


def listing_report(found: Listing) -> list[Said]:
    """Return what the rack holds."""
    if found.made:
        return [
            f"Made {found.path}. List the boards of the shop on Boards; name it in Rack on the tab Job of "
            "each job."
        ]
    units, digits = found.units, 4 if found.units.in_m3 else 2
    rows = tuple(
        (
            board.species.name,
            board.stock.name,
            board.board,
            units.words(board.width),
            units.words(board.length),
            f"{units.volume(feet):.{digits}f}",
            "" if board.where == "rack" else "at the yard",
            board.note,
        )
        for board, feet in zip(found.boards, found.feet, strict=True)
    )
    said: list[Said] = [found.said] if found.said else []
    if rows:
        headings = (
            "Species",
            "Stock",
            "Board",
            "Width",
            "Length",
            units.volume_word.capitalize(),
            "Where",
            "Note",
        )
        said.append(Table(headings, rows, numbers=frozenset({3, 4, 5})))
    count = "1 board" if len(rows) == 1 else f"{len(rows)} boards"
    total = f"{units.volume(sum(found.feet)):.{digits}f} {units.volume_word}"
    said.append(f"{found.path}: {count}, {total}." if rows else f"{found.path} lists no boards.")
    if found.problems:
        said.append(problem_table(found.problems))
    return said


def cut_report(outcome: CutOutcome) -> list[Said]:
    """Return what a cut, or its undoing, did to the two workbooks."""
    rack, job = outcome.rack.name, outcome.job.name
    said: list[Said] = [*outcome.said]
    taken, put_in = ", ".join(outcome.taken), "; ".join(outcome.put_in)
    if outcome.undone:
        said.append(
            f"Undone. Put back into {rack}: {taken or 'nothing'}. Taken out of it again: "
            f"{put_in or 'nothing'}."
        )
        said.append(f"{job} may be cut again after a run.")
    else:
        said.append(
            f"Taken out of {rack}: {taken or 'nothing'}. Put into it: {put_in or 'no left-over long enough'}."
        )
        kept = [*outcome.own, *outcome.taken]
        said.append(f"{job} keeps what it has cut on Boards, marked cut: {', '.join(kept)}.")
    said.append(f"Both files as they were: {', '.join(backup.name for backup in outcome.backups)}.")
    return said

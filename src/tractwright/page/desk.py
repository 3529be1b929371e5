"""The job on the desk: its sheet and the numbers held in it, every edit saved at once, undone and done again at will.

Two files carry the job: job.toml and design.toml. Between an edit and the next description the held numbers are in
neither, so each edit is first written to a small journal beside them; a start after a crash reads it back.
"""

import hashlib
import json
import os
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from tractwright.design.file import read_held
from tractwright.errors import Fault, SheetError
from tractwright.job.new import new_sheet_text
from tractwright.page.sheet_text import FILE, facts_of, with_fact, with_rows

JOURNAL = ".desk.json"
_MOST_STEPS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """The job at one moment. what : the edit that led to it, in words."""

    sheet_text: str
    held: Mapping[str, Any]
    what: str = ""


class StaleEditError(Exception):
    """An edit that was begun before the same number changed elsewhere."""

    def __init__(self, path: str) -> None:
        self.path = path
        super().__init__(f"{path} was changed elsewhere in the meantime; look at it again before changing it")


class Desk:
    """A job folder under the hand. revision : counts edits; a view that has seen it knows whether it is up to date."""

    def __init__(self, folder: Path) -> None:
        """Take up what lies in the folder, a fresh sheet where there is none. Raises SheetError for a bad description."""
        folder.mkdir(parents=True, exist_ok=True)
        self.folder = folder
        if not (folder / FILE).exists():
            _write(folder / FILE, new_sheet_text())
        self.revision = 0
        self._changed_at: dict[str, int] = {}
        self._past, self._future = list[Step](), list[Step]()
        self._going_on = ""
        self._now = _journalled(folder) or _on_disk(folder, "opened")
        self._seen_outside = _fingerprint(folder)

    @property
    def now(self) -> Step:
        """The job as it stands."""
        return self._now

    @property
    def facts(self) -> dict[str, Any]:
        """What the sheet states, by path."""
        return facts_of(self._now.sheet_text)

    @property
    def undoable(self) -> str:
        """What undo would take back, '' where there is nothing."""
        return self._now.what if self._past else ""

    @property
    def redoable(self) -> str:
        """What redo would bring back, '' where there is nothing."""
        return self._future[-1].what if self._future else ""

    def set_fact(self, path: str, words: str, seen: int | None = None, going_on: bool = False) -> None:
        """State a fact of the sheet, or take it out with empty words. Raises SheetError, StaleEditError."""
        self._fresh(path, seen)
        text = with_fact(self._now.sheet_text, path, words)
        self._edit(replace(self._now, sheet_text=text, what=f"{path} = {words.strip() or 'silent'}"), path, going_on)

    def set_rows(self, path: str, rows: Sequence[Mapping[str, str]], seen: int | None = None) -> None:
        """State a list of tables of the sheet. Raises SheetError, StaleEditError."""
        self._fresh(path, seen)
        text = with_rows(self._now.sheet_text, path, rows)
        self._edit(replace(self._now, sheet_text=text, what=f"{path}: {len(rows)}"), path)

    def hold(self, path: str, value: Any, seen: int | None = None) -> None:
        """Hold a number of the description. Raises StaleEditError."""
        self._fresh(path, seen)
        self._edit(replace(self._now, held={**self._now.held, path: value}, what=f"{path} held"), path)

    def hold_all(self, values: Mapping[str, Any], what: str, going_on: bool = False) -> None:
        """Hold several numbers in one edit. what : the edit in words; going_on : the hand is still on the handle, and all
        until it lets go is one edit to undo.
        """
        self.look_outside()
        self._edit(replace(self._now, held={**self._now.held, **values}, what=what), what, going_on)

    def free(self, path: str) -> None:
        """Give a held number back."""
        self.look_outside()
        held = {name: value for name, value in self._now.held.items() if name != path}
        self._edit(replace(self._now, held=held, what=f"{path} freed"), path)

    def undo(self) -> None:
        """Take the last edit back."""
        self.look_outside()
        self._going_on = ""
        if self._past:
            self._future.append(self._now)
            self._place(self._past.pop())

    def redo(self) -> None:
        """Bring back what undo took."""
        if self._future:
            self._past.append(self._now)
            self._place(self._future.pop())

    def look_outside(self) -> bool:
        """Take in what another program wrote into the folder: True where something had changed. Raises SheetError."""
        if _fingerprint(self.folder) == self._seen_outside:
            return False
        step = _on_disk(self.folder, "changed outside the page")
        self._seen_outside = _fingerprint(self.folder)
        self._edit(step, FILE)
        return True

    def written(self) -> None:
        """Say that the program itself has just written the description: it is no outside change, but a sheet that was
        changed in the same moment is.
        """
        if _text(self.folder / FILE) == self._now.sheet_text:
            self._save()

    def _fresh(self, path: str, seen: int | None) -> None:
        """What was changed outside comes first: an edit never writes over it."""
        self.look_outside()
        if seen is not None and self._changed_at.get(path, 0) > seen:
            raise StaleEditError(path)

    def _edit(self, step: Step, path: str, going_on: bool = False) -> None:
        """A new step; while a handle is dragged its many edits are one."""
        if path != self._going_on or not self._past:
            self._past = [*self._past, self._now][-_MOST_STEPS:]
        self._going_on = path if going_on else ""
        self._future = []
        self._place(step)
        self._changed_at[path] = self.revision

    def _place(self, step: Step) -> None:
        self._now = step
        self.revision += 1
        self._save()

    def _save(self) -> None:
        """The journal first, good for the files before and after: wherever it is interrupted, nothing is lost."""
        text = self._now.sheet_text
        good_for = [_fingerprint(self.folder), _fingerprint(self.folder, text)]
        _write(self.folder / JOURNAL, json.dumps({"held": dict(self._now.held), "files": good_for}))
        if _text(self.folder / FILE) != text:
            _write(self.folder / FILE, text)
        self._seen_outside = _fingerprint(self.folder)


def held_of(folder: Path) -> Mapping[str, Any]:
    """What design.toml holds. Raises SheetError."""
    return dict(read_held(folder / "design.toml", folder / "packet" / "design.toml").values)


def _on_disk(folder: Path, what: str) -> Step:
    return Step(sheet_text=_text(folder / FILE), held=held_of(folder), what=what)


def _journalled(folder: Path) -> Step | None:
    """The job with the numbers of the journal, where no file was changed after it was written."""
    path = folder / JOURNAL
    if not path.exists():
        return None
    try:
        record = json.loads(path.read_text(encoding="utf-8"))
        held, good_for = dict(record["held"]), list(record["files"])
    except (ValueError, KeyError, TypeError):
        return None
    return Step(sheet_text=_text(folder / FILE), held=held) if _fingerprint(folder) in good_for else None


def _fingerprint(folder: Path, sheet_text: str | None = None) -> str:
    """Of the two files that carry the job; with another sheet's text in its file's place where one is given."""
    sheet = _bytes(folder / FILE) if sheet_text is None else sheet_text.encode()
    return hashlib.sha256(sheet + b"\0" + _bytes(folder / "design.toml")).hexdigest()


def _bytes(path: Path) -> bytes:
    return path.read_bytes() if path.exists() else b""


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig") if path.exists() else ""
    except UnicodeDecodeError as found:
        fault = Fault(key="(file)", given=f"bytes that are no text at byte {found.start}", accepted="text in UTF-8")
        raise SheetError(str(path), (fault,)) from found


def _write(path: Path, text: str) -> None:
    handle, partial = tempfile.mkstemp(dir=path.parent, prefix=path.name, suffix=".partial")
    with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
        file.write(text)
    Path(partial).replace(path)

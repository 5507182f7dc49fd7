"""What a session must not lose beside the build file: texts typed but not yet in it, and the way back.

One JSON file in a hidden folder beside the build; written whole or not at all. One that cannot be read is put aside,
not thrown away.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Literal

from coachwork.build import write_whole
from coachwork.workbench.merging import Change, Step

FOLDER = ".coachwork"
FORMAT = 1
MOST_STEPS = 200
Why = Literal["typed", "refused", "waiting", "clash"]


@dataclass(frozen=True, kw_only=True)
class Draft:
    """A text that is not in the file.

    seen   : what the key held when the builder began to type
    why    : typed, and not done yet; refused, with its faults; waiting until the file can be read again; or in clash
             with `theirs`, which another program has put there meanwhile
    """

    key: str
    text: str
    seen: str | None
    why: Why
    faults: tuple[str, ...] = ()
    theirs: str | None = None


@dataclass
class Journal:
    """Drafts by key, steps to undo and to redo, the latest last."""

    file: Path
    drafts: dict[str, Draft]
    undo: list[Step]
    redo: list[Step]

    @classmethod
    def of(cls, folder: Path) -> Journal:
        """As it was kept; empty where nothing was, or nothing that can be read."""
        file = folder / FOLDER / "session.json"
        try:
            kept = json.loads(file.read_text(encoding="utf-8"))
            if kept["format"] != FORMAT:
                raise ValueError(kept["format"])
            drafts = [Draft(**{**one, "faults": tuple(one["faults"])}) for one in kept["drafts"]]
            undo, redo = ([_step(one) for one in kept[name]] for name in ("undo", "redo"))
        except FileNotFoundError:
            return cls(file, {}, [], [])
        except (OSError, ValueError, KeyError, TypeError):
            if file.is_file():
                file.replace(file.with_suffix(".unreadable"))
            return cls(file, {}, [], [])
        return cls(file, {draft.key: draft for draft in drafts}, undo, redo)

    def save(self) -> None:
        """To disk, at once."""
        del self.undo[:-MOST_STEPS], self.redo[:-MOST_STEPS]
        kept = {
            "format": FORMAT,
            "drafts": [asdict(draft) for draft in self.drafts.values()],
            "undo": [asdict(step) for step in self.undo],
            "redo": [asdict(step) for step in self.redo],
        }
        write_whole(self.file, json.dumps(kept))


def _step(kept: dict[str, Any]) -> Step:
    return Step(**{**kept, "changes": tuple(Change(**one) for one in kept["changes"])})

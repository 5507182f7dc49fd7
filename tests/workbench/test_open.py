"""What `coachwork open` does beside serving."""

import gc
import shutil
from pathlib import Path

from coachwork.cli.open import leave_alone_what_stays
from coachwork.workbench.session import Session


def test_what_the_answers_stand_on_is_left_to_itself_once_they_are_there(examples: Path, tmp_path: Path):
    """The collector's long pass looks at what came after: a tenth of a second less in the middle of an edit."""
    session = Session(shutil.copytree(examples / "as-found", tmp_path / "van"))
    before = gc.get_freeze_count()
    try:
        leave_alone_what_stays(session)
        assert session.settled(120)
        assert session.edit("shell.windscreen-height", "58.0", seen="57.6").saved
        assert session.settled(120)
        assert gc.get_freeze_count() > before + 10_000
        frozen = gc.get_freeze_count()
        session.again()
        assert session.settled(120)
        assert gc.get_freeze_count() <= frozen  # once is enough
    finally:
        session.close()
        gc.unfreeze()

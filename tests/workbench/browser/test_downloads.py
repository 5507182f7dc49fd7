"""Every part that is made and every paper that is printed, taken away by its link and read again by its own reader.

Where the page is to be believed, the numbers come from another file than the one that was taken: how large a part is,
from its drawing's list and from what the CAD kernel measured when it was made.
"""

from __future__ import annotations

import csv
import json
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, expect
from tests.workbench.browser.opened import Opened, visiting

if TYPE_CHECKING:
    from ezdxf.layouts import Modelspace

READ_STEPS = """
import json, sys
from build123d import import_step
for file in sys.argv[1:]:
    part = import_step(file)
    size, centre = part.bounding_box().size, part.center()
    print(json.dumps([len(part.solids()), part.volume, [size.X, size.Y, size.Z], [centre.X, centre.Y, centre.Z]]))
"""
PARTS = (
    "chassis", "battery-door", "post-front-left", "bracket-front-left", "post-front-right", "bracket-front-right",
    "post-rear-left", "bracket-rear-left", "post-rear-right", "bracket-rear-right", "front-arm-left",
    "front-arm-right", "rear-arm-left", "rear-arm-right", "housing-head-lamp", "housing-beacon", "jig-front-bolts",
    "jig-rear-bolts",
)  # fmt: skip
MADE_HERE = "housing-beacon"
CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"  # 3MF core specification, 2.1


def taken(page: Page, folder: Path, into: Path) -> dict[str, Path]:
    """Every file that the page lists, by its name in the folder; each fetched by its link, none left out."""
    page.locator("#tab-work").click()
    for closed in page.locator(".files details:not([open]) summary").all():
        closed.click()
    links = page.locator(".files a")
    expect(links.first).to_be_visible()
    found: dict[str, Path] = {}
    for link in links.all():
        path = str(link.get_attribute("href")).removeprefix("/files/")
        answer = page.request.get(page.url.rstrip("/") + f"/files/{path}")
        assert answer.status == 200, path
        name = next(one for one in every_file(folder) if quote(one) == path)
        assert f'filename="{Path(name).name}"' in answer.headers["content-disposition"]
        assert link.get_attribute("download") == Path(name).name
        assert answer.body() == (folder / name).read_bytes(), name
        found[name] = into / name
        found[name].parent.mkdir(parents=True, exist_ok=True)
        found[name].write_bytes(answer.body())
    assert sorted(found) == every_file(folder)
    return found


def every_file(folder: Path) -> list[str]:
    """All that is in a build's folder but the build itself, our own lists and what is hidden."""
    paths = (path.relative_to(folder) for path in folder.rglob("*") if path.is_file())
    return sorted(
        path.as_posix()
        for path in paths
        if path.name not in ("build.toml", "made.json", "written-by-coachwork.json")
        and not any(part.startswith(".") for part in path.parts)
    )


@dataclass(frozen=True, kw_only=True)
class Away:
    """What was taken away, by its name in the folder, and by part what the CAD kernel measured when it was made."""

    files: dict[str, Path]
    parts: dict[str, dict[str, Any]]

    def measured(self, name: str) -> dict[str, Any]:
        return self.parts[name]["measured"]


@pytest.fixture(scope="module")
def away(browser: Browser, made_van: Callable[[str], Path], tmp_path_factory: pytest.TempPathFactory) -> Away:
    """All that *Make the parts* leaves in the finished van's folder, taken away.

    Its parts were made before, for all tests together, but for one, which is made by the button.
    """
    place = tmp_path_factory.mktemp("away")
    folder = place / "finished"
    source = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-finished"
    shutil.copytree(source, folder, ignore=shutil.ignore_patterns("*.stl", "results", ".coachwork"))
    shutil.copytree(made_van("as-finished") / ".coachwork" / "parts", folder / ".coachwork" / "parts")
    (record,) = (one.parent for one in (folder / ".coachwork" / "parts").glob(f"*/{MADE_HERE}.step"))
    shutil.rmtree(record)
    opened = Opened(folder)
    opened.start()
    try:
        with visiting(browser) as visits:
            page = visits.enter(opened)
            page.locator("#tab-work").click()
            page.locator('[data-work="make"]').click()
            job = page.locator('[data-job="make"]').first
            expect(job).to_have_attribute("data-state", "done", timeout=400_000)
            expect(job.locator("pre")).to_contain_text("18 parts in")
            files = taken(page, folder, place / "taken")
    finally:
        opened.stop()
    told = json.loads((folder / ".coachwork" / "parts" / "made.json").read_text("utf-8"))["parts"]
    return Away(files=files, parts={part["name"]: part for part in told})


def test_what_is_taken_away_is_every_part_in_each_form_and_what_tells_of_all(away: Away):
    forms = (".step", ".3mf", ".stl", ".svg", ".dxf")
    whole = ("assembly.step", "drawings.pdf", "parts.csv")
    assert set(away.parts) == set(PARTS)
    made = {name for name in away.files if name.startswith("parts/")}
    assert made == {f"parts/{name}" for name in (*(part + form for part in PARTS for form in forms), *whole)}


def test_a_step_that_is_taken_away_is_the_solid_that_was_measured(away: Away):
    """Where the middle of its volume lies, too: a left arm is a right one's mirror image, of one size and volume."""
    names = [f"parts/{name}.step" for name in (*PARTS, "assembly")]
    asked = [sys.executable, "-c", READ_STEPS, *(away.files[name] for name in names)]
    done = subprocess.run(asked, capture_output=True, text=True, check=True)
    *lines, assembly = [json.loads(line) for line in done.stdout.splitlines()]
    for name, (solids, volume, size, centre) in zip(PARTS, lines, strict=True):
        measured = away.measured(name)
        assert solids == 1, name
        assert size == pytest.approx(measured["size_mm"], abs=0.01), name
        assert volume == pytest.approx(measured["volume_mm3"], rel=1e-5), name
        assert centre == pytest.approx(measured["centre_mm"], abs=0.01), name
    assert assembly[0] == len(PARTS)
    assert assembly[1] == pytest.approx(sum(away.measured(name)["volume_mm3"] for name in PARTS), rel=1e-5)


@pytest.mark.parametrize("name", PARTS)
def test_an_stl_that_is_taken_away_is_the_solid_that_was_measured(away: Away, name: str):
    """Chords of arcs, 0.02 mm of sag: half a percent of the volume at most, less of where its middle lies."""
    import trimesh

    measured = away.measured(name)
    mesh = trimesh.load_mesh(away.files[f"parts/{name}.stl"])
    assert mesh.is_watertight
    assert mesh.extents == pytest.approx(measured["size_mm"], abs=0.05)
    assert mesh.volume == pytest.approx(measured["volume_mm3"], rel=0.005)
    assert mesh.center_mass == pytest.approx(measured["centre_mm"], abs=0.05)


@pytest.mark.parametrize("name", PARTS)
def test_a_3mf_that_is_taken_away_is_the_solid_that_was_measured(away: Away, name: str):
    import trimesh

    measured = away.measured(name)
    corners, faces, unit, number = printed(away.files[f"parts/{name}.3mf"])
    assert (unit, number) == ("millimeter", away.parts[name]["number"])
    assert np.ptp(corners, axis=0) == pytest.approx(measured["size_mm"], abs=0.05)
    mesh = trimesh.Trimesh(corners, faces)
    assert mesh.volume == pytest.approx(measured["volume_mm3"], rel=0.005)
    assert mesh.center_mass == pytest.approx(measured["centre_mm"], abs=0.05)


def test_the_list_that_is_taken_away_orders_the_parts_that_were_measured(away: Away):
    rows = list(csv.DictReader(away.files["parts/parts.csv"].read_text("utf-8").splitlines()))
    assert sorted(row["part"] for row in rows) == sorted(PARTS)
    for row in rows:
        measured, name = away.measured(row["part"]), row["part"]
        told = [float(row[way]) for way in ("x mm", "y mm", "z mm", "volume cm3")]
        assert told == pytest.approx([*measured["size_mm"], measured["volume_mm3"] / 1000], abs=0.051), name
        assert (row["number"], row["file"]) == (away.parts[name]["number"], f"{name}.3mf")


def test_the_drawings_that_are_taken_away_show_every_part(away: Away):
    """Each alone, by its own reader; and all on the sheets, where each is named by its number."""
    import pymupdf

    for name in PARTS:
        assert ET.parse(away.files[f"parts/{name}.svg"]).getroot().tag.endswith("svg"), name
        assert drawn(away.files[f"parts/{name}.dxf"]).query("LINE LWPOLYLINE CIRCLE ARC"), name
    with pymupdf.open(away.files["parts/drawings.pdf"]) as sheets:
        words = " ".join(one.get_text() for one in sheets)
    assert [name for name, part in away.parts.items() if part["number"] not in words] == []


def printed(file: Path) -> tuple[np.ndarray, np.ndarray, str | None, str | None]:
    """Corners, triangles, unit and part number of the one object of a 3MF file, by zip and XML alone."""
    with zipfile.ZipFile(file) as parts:
        assert parts.testzip() is None
        model = ET.fromstring(parts.read("3D/3dmodel.model"))
    (thing,) = model.iter(f"{CORE}object")
    corners = [[float(v.attrib[axis]) for axis in "xyz"] for v in thing.iter(f"{CORE}vertex")]
    faces = [[int(t.attrib[corner]) for corner in ("v1", "v2", "v3")] for t in thing.iter(f"{CORE}triangle")]
    return np.array(corners), np.array(faces), model.get("unit"), thing.get("partnumber")


def test_every_paper_that_is_taken_away_can_be_read_again(van, enter, tmp_path: Path):
    """Every page of every PDF has words or lines on it, and the build's name stands in each; the rest by its reader."""
    import pymupdf

    page = enter(van)
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    page.locator("#tab-work").click()
    page.locator('[data-work="papers"]').click()
    job = page.locator('[data-job="papers"]').first
    expect(job).to_have_attribute("data-state", "done", timeout=300_000)
    try:
        files = {name: file for name, file in taken(page, van.folder, tmp_path).items() if name.startswith("papers/")}
        sheets = [file for file in files.values() if file.suffix == ".pdf"]
        assert len(sheets) >= 8
        for file in sheets:
            with pymupdf.open(file) as sheet:
                assert not sheet.is_repaired, file.name
                words = [one.get_text() for one in sheet]
                assert all(text.strip() or one.get_drawings() for text, one in zip(words, sheet, strict=True)), (
                    file.name
                )
                assert "Harbour mail van" in " ".join(" ".join(words).split()), file.name
        for file in set(files.values()) - set(sheets):
            assert file.suffix in READERS, file.name
            READERS[file.suffix](file)
    finally:
        shutil.rmtree(van.folder / "papers", ignore_errors=True)


def drawn(file: Path) -> Modelspace:
    import ezdxf

    space = ezdxf.readfile(file).modelspace()
    assert len(space) > 0, file.name
    return space


def outlined(file: Path) -> None:
    root = ET.parse(file).getroot()
    assert root.tag.endswith("svg"), file.name
    assert any(one.tag.endswith(("path", "line", "text", "polyline")) for one in root.iter()), file.name


def plain(file: Path) -> None:
    assert json.loads(file.read_text("utf-8")), file.name


READERS = {".dxf": drawn, ".svg": outlined, ".json": plain}

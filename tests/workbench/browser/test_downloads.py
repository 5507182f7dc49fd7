"""Every part that is made and every paper that is printed, taken away by its link and read again by its own reader.

Where the page is to be believed, the numbers come from another file than the one that was taken: how large a part is,
from its drawing's list and from what the CAD kernel measured when it was made.
"""

from __future__ import annotations

import csv
import json
import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
import zipfile
from pathlib import Path
from urllib.parse import quote

import numpy as np
import pytest
from playwright.sync_api import Page, expect

READ_STEPS = """
import json, sys
from build123d import import_step
for file in sys.argv[1:]:
    part = import_step(file)
    size = part.bounding_box().size
    print(json.dumps([len(part.solids()), part.volume, [size.X, size.Y, size.Z]]))
"""
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


def test_every_made_part_that_is_taken_away_reads_as_the_part_that_was_measured(enter, open_folder, tmp_path: Path):
    """Door, posts, brackets and lamp housings: each as STEP, 3MF, STL, drawing, and a line of the list."""
    import ezdxf
    import trimesh

    source = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-finished"
    folder = tmp_path / "finished"
    shutil.copytree(source, folder, ignore=shutil.ignore_patterns("*.stl", "results"))
    file = folder / "build.toml"
    text = re.sub(r'(?m)^make = ".*"$', 'make = "battery-door, posts, light-housings"', file.read_text("utf-8"))
    file.write_text(text, "utf-8")
    page = enter(open_folder(folder))
    page.locator("#tab-work").click()
    page.locator('[data-work="make"]').click()
    job = page.locator('[data-job="make"]').first
    expect(job).to_have_attribute("data-state", "done", timeout=400_000)

    files = taken(page, folder, tmp_path / "taken")

    told = json.loads((folder / ".coachwork" / "parts" / "made.json").read_text("utf-8"))["parts"]
    parts = {part["name"]: part for part in told}
    assert len(parts) == 11  # one door, four posts with their brackets, two housings
    listed = {row["part"]: row for row in csv.DictReader(files["parts/parts.csv"].read_text("utf-8").splitlines())}
    assert set(listed) == set(parts)
    steps = [files[f"parts/{name}.step"] for name in parts]
    done = subprocess.run([sys.executable, "-c", READ_STEPS, *steps], capture_output=True, text=True, check=True)
    for (name, part), line in zip(parts.items(), done.stdout.splitlines(), strict=True):
        size, volume = part["measured"]["size_mm"], part["measured"]["volume_mm3"]
        solids, step_volume, step_size = json.loads(line)
        assert (solids, step_size, step_volume) == (
            1, pytest.approx(size, abs=0.01), pytest.approx(volume, rel=1e-5)
        ), name  # fmt: skip
        mesh = trimesh.load_mesh(files[f"parts/{name}.stl"])
        assert mesh.is_watertight, name
        assert mesh.extents == pytest.approx(size, abs=0.05), name
        assert mesh.volume == pytest.approx(volume, rel=0.005), name  # chords of arcs, 0.02 mm of sag
        corners, faces, unit, number = printed(files[f"parts/{name}.3mf"])
        assert (unit, number) == ("millimeter", part["number"]), name
        assert np.ptp(corners, axis=0) == pytest.approx(size, abs=0.05), name
        assert trimesh.Trimesh(corners, faces).volume == pytest.approx(volume, rel=0.005), name
        row = [float(listed[name][way]) for way in ("x mm", "y mm", "z mm", "volume cm3")]
        assert row == pytest.approx([*size, volume / 1000], abs=0.051), name
        assert ET.parse(files[f"parts/{name}.svg"]).getroot().tag.endswith("svg")
        assert ezdxf.readfile(files[f"parts/{name}.dxf"]).modelspace().query("LINE LWPOLYLINE CIRCLE ARC"), name


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


def drawn(file: Path) -> None:
    import ezdxf

    assert len(ezdxf.readfile(file).modelspace()) > 0, file.name


def outlined(file: Path) -> None:
    root = ET.parse(file).getroot()
    assert root.tag.endswith("svg"), file.name
    assert any(one.tag.endswith(("path", "line", "text", "polyline")) for one in root.iter()), file.name


def plain(file: Path) -> None:
    assert json.loads(file.read_text("utf-8")), file.name


READERS = {".dxf": drawn, ".svg": outlined, ".json": plain}

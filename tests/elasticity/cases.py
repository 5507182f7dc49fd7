"""Makes solids and runs cases that need netgen and NGSolve, in a process of its own: `python cases.py NAME FOLDER`.

Netgen's CAD kernel crashes an interpreter that loads build123d later, so no test imports it. Each case writes what it
made into the folder and prints its numbers as JSON.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import netgen.occ as occ
import ngsolve as ng
import numpy as np
from scipy import sparse

from coachwork.elasticity.fittings import Fitting, Land
from coachwork.elasticity.job import Wanted
from coachwork.elasticity.joined import Body, Joint, moved_to, rigid_block, settle
from coachwork.elasticity.joined import Load as On
from coachwork.elasticity.measured import Inverse, Solved
from coachwork.elasticity.mesh import around, element_length_mm, meshed, read_solid
from coachwork.elasticity.nodes import Nodes
from coachwork.elasticity.space import Elastic
from coachwork.elasticity.stress import von_mises


def solids(folder: Path) -> dict[str, Any]:
    """Bars, thin sections, and a tray with its door, as STEP."""
    occ.Box((0, -5, -4), (100, 5, 4)).WriteStep(str(folder / "bar.step"))
    whole = occ.Box((0, -10, -10), (120, 10, 10)) - occ.Box((-1, -8, -8), (121, 8, 8))
    whole.WriteStep(str(folder / "closed.step"))
    long = occ.Box((0, -10, -10), (240, 10, 10)) - occ.Box((-1, -8, -8), (241, 8, 8))
    (long - occ.Box((-1, 7, -0.25), (241, 11, 0.25))).WriteStep(str(folder / "open.step"))
    tray, door = tray_and_door()
    tray.WriteStep(str(folder / "tray.step"))
    door.WriteStep(str(folder / "door.step"))
    (tray + door).WriteStep(str(folder / "bonded.step"))
    occ.Compound([tray, occ.Box((0, 0, 50), (5, 5, 55))]).WriteStep(str(folder / "two.step"))
    arm = occ.Box((-5, -8, -4), (5, 188, 4))
    for y in (0, 120, 180):
        arm -= occ.Cylinder(occ.Pnt(-6, y, 0), occ.X, r=1.5, h=12)
    arm.WriteStep(str(folder / "arm.step"))
    return {"tray": tray.mass, "door": door.mass}


def tray_and_door() -> tuple[Any, Any]:
    """240 x 90 mm, 16 high, 4 thick, with a rim round an opening of 100 x 60 mm, and the door below it."""
    thick = 4.0
    tray = occ.Box((0, -45, 0), (240, 45, 16)) - occ.Box((thick, -45 + thick, thick), (240 - thick, 45 - thick, 20))
    tray -= occ.Box((70, -30, -1), (170, 30, 5))
    tray += occ.Box((68, -32, thick), (172, 32, 9)) - occ.Box((70, -30, 0), (170, 30, 10))
    door = occ.Box((70.2, -29.8, 0), (169.8, 29.8, 2)) + occ.Box((64, -36, -thick), (176, 36, 0))
    return tray, door


def _plate(*, thick: float, split: bool) -> Any:
    """A quarter of the elliptic plate of NAFEMS LE1 and LE10, in units of metres x 1000."""

    def quarter(a: float, b: float, height: float) -> Any:
        face = occ.WorkPlane(occ.Axes((0, 0, 0), n=occ.Z, h=occ.X)).Ellipse(a, b).Face()
        return face.Extrude(height * occ.Z)

    first = occ.Box((0, 0, -1), (5000, 5000, 5000))
    height = thick / 2 if split else thick
    half = (quarter(3250, 2750, height) - quarter(2000, 1000, height)) * first
    if not split:
        return half
    return occ.Glue([half, half.Move((0, 0, height))])


def _on_ellipse(points: np.ndarray[Any, Any], a: float, b: float) -> np.ndarray[Any, Any]:
    return np.abs((points[:, 0] / a) ** 2 + (points[:, 1] / b) ** 2 - 1) < 2e-3


Holds = Callable[[np.ndarray[Any, Any]], tuple[np.ndarray[Any, Any], ...]]


def _free(elastic: Elastic, holds: Holds) -> ng.BitArray:
    """Free unknowns, where `holds` says for points (k, 3) which of x, y, z is held there."""
    mesh, scalar = elastic.mesh, elastic.scalar
    free = ng.BitArray(elastic.space.ndof)
    free.Set()
    places = Nodes(elastic).places_mm
    ends = np.array([[v.nr for v in edge.vertices] for edge in mesh.edges])
    for component, held in enumerate(holds(places)):
        corner, middle = held[: mesh.nv], held[mesh.nv :]
        edges = np.flatnonzero(middle & corner[ends].all(axis=1))
        numbers = [int(number) for number in np.flatnonzero(corner)]
        numbers += [scalar.GetDofNrs(ng.NodeId(ng.EDGE, int(edge)))[0] for edge in edges]
        for number in numbers:
            free.Clear(component * scalar.ndof + number)
    return free


def _pressed(elastic: Elastic, traction: Any, where: Callable[[np.ndarray[Any, Any]], np.ndarray[Any, Any]]) -> Any:
    """The load of a traction on the facets all of whose corners `where` picks."""
    mesh = elastic.mesh
    points = np.array([vertex.point for vertex in mesh.vertices])
    facets = ng.BitArray(mesh.GetNE(ng.BND))
    facets.Clear()
    for facet in mesh.Elements(ng.BND):
        if where(points[[v.nr for v in facet.vertices]]).all():
            facets.Set(facet.nr)
    form = ng.LinearForm(elastic.space)
    form += ng.InnerProduct(traction, elastic.space.TestFunction()) * ng.ds(definedonelements=facets)
    form.Assemble()
    return form.vec.FV().NumPy().copy()


def _stress_at(elastic: Elastic, free: ng.BitArray, loads: np.ndarray[Any, Any], point: np.ndarray[Any, Any]) -> Any:
    field = Inverse(elastic.stiffness, free)(sparse.csc_array(loads[:, None]))[:, 0]
    nodes = Nodes(elastic)
    nearest = int(np.argmin(np.linalg.norm(elastic.corners_mm - point, axis=1)))
    assert np.linalg.norm(elastic.corners_mm[nearest] - point) < 1e-6
    return nodes.stress(field)[0][nearest]


def le10(_: Path) -> dict[str, Any]:
    """Thick plate under a pressure of 1 MPa: stress yy at D, with the mesh refined there."""
    plate = _plate(thick=600, split=True)
    point = np.array([2000.0, 0.0, 600.0])

    def holds(p: np.ndarray[Any, Any]) -> tuple[np.ndarray[Any, Any], ...]:
        outside = _on_ellipse(p, 3250, 2750)
        return (
            (np.abs(p[:, 0]) < 1e-6) | outside,
            (np.abs(p[:, 1]) < 1e-6) | outside,
            outside & (abs(p[:, 2] - 300) < 1e-6),
        )

    elastic = Elastic(meshed(plate, length_mm=150, finer=[(tuple(point), 15)], grading=0.2), 2, 0.3)
    loads = _pressed(elastic, ng.CF((0, 0, -1)), lambda p: np.abs(p[:, 2] - 600) < 1e-6)
    return {"sigma_yy": float(_stress_at(elastic, _free(elastic, holds), loads, point)[1])}


def le1(_: Path) -> dict[str, Any]:
    """Elliptic membrane pulled outwards by 10 MPa on its outer edge: stress yy at D."""
    plate = _plate(thick=100, split=False)
    point = np.array([2000.0, 0.0, 100.0])

    def holds(p: np.ndarray[Any, Any]) -> tuple[np.ndarray[Any, Any], ...]:
        return np.abs(p[:, 0]) < 1e-6, np.abs(p[:, 1]) < 1e-6, np.abs(p[:, 2]) < 1e-6

    # Poisson's ratio 0 makes the slab plane stress all through; the stresses of the plane case do not depend on it.
    elastic = Elastic(meshed(plate, length_mm=120, finer=[(tuple(point), 30)]), 2, 0.0)
    loads = _pressed(elastic, 10 * ng.specialcf.normal(3), lambda p: _on_ellipse(p, 3250, 2750))
    return {"sigma_yy": float(_stress_at(elastic, _free(elastic, holds), loads, point)[1])}


def cantilever(_: Path) -> dict[str, Any]:
    """A short bar, one end held, its free end pulled sideways by 1 N: the mean deflection there, for 1 MPa."""
    long, wide, high = 40.0, 8.0, 10.0
    elastic = Elastic(meshed(occ.Box((0, 0, 0), (long, wide, high)), length_mm=3.0), 2, 0.0)

    def holds(p: np.ndarray[Any, Any]) -> tuple[np.ndarray[Any, Any], ...]:
        end = np.abs(p[:, 0]) < 1e-6
        return end, end, end

    loads = _pressed(elastic, ng.CF((0, 0, 1 / (wide * high))), lambda p: np.abs(p[:, 0] - long) < 1e-6)
    field = Inverse(elastic.stiffness, _free(elastic, holds))(sparse.csc_array(loads[:, None]))[:, 0]
    return {"deflection": float(loads @ field), "length": long, "width": wide, "height": high}


def snap(_: Path) -> dict[str, Any]:
    """A cantilever snap on a wall of its own thickness, its tip pushed aside by 1 mm: strain at its root."""
    long, thick, wide = 12.0, 1.6, 6.0
    arm = occ.Box((0, -wide / 2, 0), (thick, wide / 2, long)) + occ.Box((-8, -10, -4), (8, 10, 0))
    elastic = Elastic(meshed(arm, length_mm=1.2), 2, 0.38)

    def holds(p: np.ndarray[Any, Any]) -> tuple[np.ndarray[Any, Any], ...]:
        base = np.abs(p[:, 2] + 4) < 1e-6
        return base, base, base

    loads = _pressed(elastic, ng.CF((1 / (thick * wide), 0, 0)), lambda p: np.abs(p[:, 2] - long) < 1e-6)
    field = Inverse(elastic.stiffness, _free(elastic, holds))(sparse.csc_array(loads[:, None]))[:, 0]
    nodes = Nodes(elastic)
    places, motions = nodes.places_mm, nodes.at_nodes(field)
    tip = float(motions[np.abs(places[:, 2] - long) < 1e-6, 0].mean())
    stress = nodes.stress(field)[0][:, 2]  # zz, for 1 MPa the strain along the arm
    outside = (np.abs(elastic.corners_mm[:, 0]) < 1e-6) & (elastic.corners_mm[:, 2] > 0.15 * long)
    height = elastic.corners_mm[outside, 2]
    slope, at_root = np.polyfit(height, stress[outside], 1)  # the beam's straight line, carried on to the root
    del slope
    return {"strain": float(at_root / tip), "length": long, "thickness": thick}


def bay_corner(folder: Path) -> dict[str, Any]:
    """An L of floor round a corner of the battery bay, pulled open: the highest stress by the corner, on two meshes.

    For each STEP file in the folder, with elements as long as they may be there and half as long.
    """
    found = {}
    for path in sorted(folder.glob("*.step")):
        shape = read_solid(path)
        corner = np.array([0.0, 0.0, 2.0])
        spots = [(x, y, z) for x in (-4, -2, 0, 2) for y in (-2, 0, 2, 4) for z in (0, 2, 4)]
        found[path.stem] = [_pulled_open(shape, corner, [(spot, length) for spot in spots]) for length in (1.0, 0.5)]
    return found


def _pulled_open(shape: Any, corner: np.ndarray[Any, Any], finer: list[Any]) -> float:
    elastic = Elastic(meshed(shape, length_mm=4.0, finer=finer), 2, 0.38)

    def holds(p: np.ndarray[Any, Any]) -> tuple[np.ndarray[Any, Any], ...]:
        end = np.abs(p[:, 1] - 20) < 1e-6
        return end, end, end

    loads = _pressed(elastic, ng.CF((-1, 0, 0)), lambda p: np.abs(p[:, 0] + 20) < 1e-6)
    field = Inverse(elastic.stiffness, _free(elastic, holds))(sparse.csc_array(loads[:, None]))[:, 0]
    near = np.linalg.norm(elastic.corners_mm - corner, axis=1) < 3.5
    return float(von_mises(Nodes(elastic).stress(field)[0])[near].max())


def flat(_: Path) -> dict[str, Any]:
    """A pocket whose corner is round below and sharp above: the ledge between has a cusp at either end.

    u = x^2 / 20 at its nodes, so that exx = x / 10, and with it the stress, for Poisson's ratio 0.
    Returns : the least of what an element has at a corner by its mean; how far the mean stress is off at the ledge's
              two cusps, by `weights` and by a plain mean
    """
    corner, radius = 10.0, 2.0
    low = occ.Box((corner, corner, -1), (31, 31, 2))
    edge = min(low.edges, key=lambda each: abs(each.center.x - corner) + abs(each.center.y - corner))
    shape = occ.Box((0, 0, 0), (30, 30, 6)) - low.MakeFillet([edge], radius) - occ.Box((corner, corner, 2), (31, 31, 7))
    elastic = Elastic(meshed(shape, length_mm=6.0), 2, 0.0)
    field = ng.GridFunction(elastic.space)
    field.Set(ng.CF((ng.x**2 / 20, 0, 0)))
    nodes = Nodes(elastic)
    at = elastic.corners_mm
    cusps = [int(np.argmin(np.linalg.norm(at - np.array(place), axis=1)))
             for place in ((corner + radius, corner, 2.0), (corner, corner + radius, 2.0))]  # fmt: skip
    mean, own = nodes.stress(np.array(field.vec.FV().NumPy()))
    corners = nodes.tets[:, :4].ravel()
    plain = np.bincount(corners, own[..., 0].ravel(), nodes.corners) / np.bincount(corners, minlength=nodes.corners)
    share = nodes.weights / nodes.weights.mean(axis=1, keepdims=True)
    exact = at[cusps, 0] / 10
    return {
        "least": float(share.min()),
        "mean": float(np.abs(mean[cusps, 0] - exact).max()),
        "plain": float(np.abs(plain[cusps] - exact).max()),
    }


def third(folder: Path) -> dict[str, Any]:
    """What the third order adds to the tray's twist: by the second's factors, and by its own."""
    from coachwork.elasticity.third import Third

    screws, _, blocks = screws_and_pads()
    asked = replace(_asked(screws, blocks), watch={"twist": TORSION, "bending": BENDING})
    second = Solved(Elastic(_coarse(folder / "tray.step", screws), 2, 0.39), asked)
    forces = second.forces_under(asked)
    fields = second.under(forces)
    whole = Solved(Elastic(second.elastic.mesh, 3, 0.39), asked)
    start = time.perf_counter()
    more = Third(second.elastic, second.inverse).addition(fields, np.asarray(whole.rows.T @ forces))
    seconds = time.perf_counter() - start
    nodes = Nodes(second.elastic)
    some = np.array([5, 17, 400])
    alone = nodes.stress_at(some, fields)
    apart = [float(np.abs(nodes.stress(field)[0][some] - alone[..., k]).max()) for k, field in enumerate(fields.T)]
    return {
        "stress_apart": apart,
        "stress": float(np.abs(alone).max()),
        "added": more.energy.tolist(),
        "second": second.work(fields, forces).tolist(),
        "whole": whole.work(whole.under(forces), forces).tolist(),
        "seconds": seconds,
    }


def hanging(folder: Path) -> dict[str, Any]:
    """A bar held by lands near its ends: its own weight's sag by slices."""
    from coachwork.elasticity.flexibility import Kept
    from coachwork.elasticity.measured import measured

    ends = tuple(Fitting(name=name, patches=(Land(at_mm=(x, 0.0, 4.0), normal=(0.0, 0.0, 1.0), radius_mm=3.0),))
                 for name, x in (("a", 4.0), ("b", 96.0)))  # fmt: skip
    kept: Kept = measured(Wanted(
        path=folder / "bar.step", poisson=0.3, fittings=ends, blocks={},
        watch={"bending": {"a": (0, 0, 0, 0, 1, 0), "b": (0, 0, 0, 0, -1, 0)}}, accuracy=0.02))  # fmt: skip
    hold = np.eye(6)[[0, 1, 2, 3, 5]]
    joints = [Joint(one=(0, "a"), along=hold), Joint(one=(0, "b"), along=hold[1:3])]
    settled = settle([Body(solid=kept)], joints, [], [np.array([0.0, 0.0, -1.0])])
    return {"sag": float(-settled.sections_mm(0)[:, 2].min()), "span": 92.0}


# ------------------------------------------------------------------------------------------------ against CalculiX
def screws_and_pads() -> tuple[tuple[Fitting, ...], tuple[Fitting, ...], dict[str, tuple[str, ...]]]:
    """The tray's two patterns of four screws, the door's six pads on both, and the blocks that hold the screws."""
    from coachwork.elasticity.fittings import Strip

    patterns = {
        "front": ((216, -30), (216, 30), (232, -30), (232, 30)),
        "rear": ((8, -30), (8, 30), (24, -30), (24, 30)),
    }
    screws = tuple(
        Fitting(name=f"{end}.{k}", patches=(Land(at_mm=(x, y, 4.0), normal=(0.0, 0.0, 1.0), radius_mm=3.2),))
        for end, places in patterns.items() for k, (x, y) in enumerate(places)
    )  # fmt: skip
    lips = [(90, 33, (1.0, 0.0, 0.0), 30), (150, 33, (1.0, 0.0, 0.0), 30), (90, -33, (1.0, 0.0, 0.0), 30),
            (150, -33, (1.0, 0.0, 0.0), 30), (67, 0, (0.0, 1.0, 0.0), 50), (173, 0, (0.0, 1.0, 0.0), 50)]  # fmt: skip
    pads = tuple(
        Fitting(name=f"pad.{k}", patches=(Strip(at_mm=(x, y, 0.0), normal=(0.0, 0.0, -1.0), along=along,
                                                length_mm=length, width_mm=5.0),))
        for k, (x, y, along, length) in enumerate(lips)
    )  # fmt: skip
    return screws, pads, {end: tuple(f"{end}.{k}" for k in range(4)) for end in patterns}


TORSION = {"rear": (0, 0, 0, -1, 0, 0), "front": (0, 0, 0, 1, 0, 0)}
BENDING = {"rear": (0, 0, 0, 0, -1, 0), "front": (0, 0, 0, 0, 1, 0)}
RACKED = {
    "pad.0": (0, 0, 1, 0, 0, 0),
    "pad.1": (0, 0, -1, 0, 0, 0),
    "pad.2": (0, 0, -1, 0, 0, 0),
    "pad.3": (0, 0, 1, 0, 0, 0),
}


def tray_for_calculix(folder: Path) -> dict[str, Any]:
    """The tray with its door tied at the pads' mean motion, coarse: ours, and the same meshes as a CalculiX deck."""
    screws, pads, blocks = screws_and_pads()
    tray = Solved(Elastic(_coarse(folder / "tray.step", screws), 2, 0.39), _asked(screws + pads, blocks))
    door = Solved(Elastic(_coarse(folder / "door.step", ()), 2, 0.39), _asked(pads, {}))
    return _in_both(folder, tray, door, blocks, {"open": 0, "door": 3})


def van_for_calculix(folder: Path) -> dict[str, Any]:
    """The finished van's chassis and door, coarse: alone, tied and welded at the pads."""
    from coachwork.elasticity.job import wanted_of

    jobs = {name: wanted_of(job) for name, job in json.loads((folder / "jobs.json").read_text("utf-8")).items()}
    solved = {name: Solved(Elastic(_coarsest(job.path), 2, job.poisson), job) for name, job in jobs.items()}
    blocks = {end: jobs["chassis"].blocks[f"{end}-bolts"] for end in ("front", "rear")}
    return _in_both(folder, solved["chassis"], solved["battery-door"], blocks, {"open": 0, "tied": 3, "bonded": 6})


def _coarsest(path: Path) -> ng.Mesh:
    """As few elements as netgen makes of a drawn part, with straight edges: curved ones so coarse turn inside out."""
    from netgen.meshing import MeshingParameters, NgException

    shape = read_solid(path)
    for grading in (0.7, 0.6, 0.5):
        rough = MeshingParameters(maxh=20, grading=grading, curvaturesafety=1.0, segmentsperedge=0.3)
        try:
            return ng.Mesh(occ.OCCGeometry(shape).GenerateMesh(mp=rough))
        except NgException:
            continue
    raise RuntimeError(f"{path.name}: no mesh")


def _in_both(
    folder: Path, tray: Solved, door: Solved, blocks: dict[str, tuple[str, ...]], ways: dict[str, int]
) -> dict[str, Any]:
    """The work of a couple of 1 N mm between the blocks, ours; and a deck for each way of tying the door's pads.

    The screws' forces are what the stiff blocks share out; the ties stand in the deck as equations of its own.
    ways : how many of a pad's six motions are tied; 0: the door is off
    """
    from coachwork.elasticity.flexibility import Flexibility

    bodies = []
    for solved in (tray, door):
        n = solved.rows.shape[0]
        bodies.append(Body(solid=Flexibility(
            fittings=tuple(solved.names), middle_mm=solved.middles, by_load=solved.flexibility[:, :n],
            by_weight=solved.flexibility[:, n:], centre_mm=solved.centre)))  # fmt: skip
    held = []
    for screws in blocks.values():
        middles = {one: tray.middles[tray.names.index(one)] for one in screws}
        bodies.append(rigid_block(np.mean(list(middles.values()), axis=0), middles))
        held += [Joint(one=(0, one), other=(len(bodies) - 1, one)) for one in screws]
    couple = [On(on=(2 + k, "block"), six=np.array([0, 0, 0, sign, 0, 0])) for k, sign in enumerate((1, -1))]
    told = {}
    for name, tied in ways.items():
        ties = [Joint(one=(0, pad), other=(1, pad), along=np.eye(6)[:tied]) for pad in door.names if tied]
        settled = settle(bodies, [*ties, *held], couple)
        forces = np.zeros(tray.rows.shape[0])
        for screws in blocks.values():
            for one in screws:
                six = bodies[0].solid.rows(one)
                forces[six] = settled.forces[0][six]
        told[name] = float(forces @ settled.motions[0])
        _write_deck(folder / f"{name}.inp", tray, door if tied else None, tray.rows.T @ forces, tied)
        np.save(folder / f"{name}-forces.npy", Nodes(tray.elastic).forces_at_nodes(tray.rows.T @ forces))
    return told


def tray_for_the_clock(folder: Path) -> dict[str, Any]:
    """The tray as fine as 3 % asks, its twist by one factorisation and one load: our seconds, and CalculiX's deck."""
    screws, _, blocks = screws_and_pads()
    mesh = meshed(read_solid(folder / "tray.step"), length_mm=5.0, finer=around(screws))
    asked = Wanted(path=Path(), poisson=0.39, fittings=screws, blocks=blocks, watch={"twist": TORSION})
    return _for_the_clock(folder, mesh, asked)


def van_for_the_clock(folder: Path) -> dict[str, Any]:
    """The finished van's chassis with its screws, on the mesh that the way to 3 % begins with, its edges straight.

    CalculiX refuses a curved element that turns inside out anywhere, such as a few in the cusps where a round ends.
    """
    from coachwork.elasticity.job import wanted_of

    asked = wanted_of(json.loads((folder / "job.json").read_text("utf-8")))
    shape = read_solid(asked.path)
    mesh = meshed(shape, length_mm=element_length_mm(shape), finer=around(asked.fittings))
    mesh.Curve(1)
    return _for_the_clock(folder, mesh, asked)


def _for_the_clock(folder: Path, mesh: ng.Mesh, asked: Wanted) -> dict[str, Any]:
    """A couple about the vehicle's length at every screw of the front end, the other way at the rear."""
    ng.SetNumThreads(2)
    with ng.TaskManager():
        start = time.perf_counter()
        solved = Solved(Elastic(mesh, 2, asked.poisson), asked)
        spread = np.zeros((solved.rows.shape[0], 1))
        spread[3::6, 0] = [1.0 if name.startswith("front") else -1.0 for name in solved.names]
        load = solved.under(spread)
        seconds = time.perf_counter() - start
    _write_deck(folder / "clock.inp", solved, None, solved.rows.T @ spread[:, 0], 0)
    work = float(solved.work(load, spread)[0])
    return {"seconds": seconds, "unknowns": solved.elastic.unknowns, "elements": mesh.ne, "work": work}


def _coarse(path: Path, fittings: tuple[Fitting, ...]) -> ng.Mesh:
    return meshed(read_solid(path), length_mm=9.0, finer=[(p, 2.5) for p, _ in around(fittings)])


def _asked(fittings: tuple[Fitting, ...], blocks: dict[str, tuple[str, ...]]) -> Wanted:
    return Wanted(path=Path(), poisson=0.39, fittings=fittings, blocks=blocks, watch={})


def _write_deck(path: Path, tray: Solved, door: Solved | None, load: Any, tied: int) -> None:
    """Nodes, C3D10 elements, ties as equations, six supports a solid that carry nothing, forces."""
    lines = ["*NODE, NSET=ALL"]
    solids = [tray] if door is None else [tray, door]
    first, held, elements = [0], [], []
    for solved in solids:
        nodes = Nodes(solved.elastic)
        start = first[-1]
        lines += [f"{start + k + 1},{x:.12e},{y:.12e},{z:.12e}" for k, (x, y, z) in enumerate(nodes.places_mm)]
        elements += [[start + int(n) + 1 for n in tet] for tet in nodes.tets]
        first.append(start + len(nodes.places_mm))
        numbers = solved._held
        held.append(
            [
                (start + int(n % solved.elastic.scalar.ndof) + 1, int(n // solved.elastic.scalar.ndof) + 1)
                for n in numbers
            ]
        )
    lines.append("*ELEMENT, TYPE=C3D10, ELSET=SOLID")
    lines += [f"{k + 1}," + ",".join(map(str, tet)) for k, tet in enumerate(elements)]
    lines += ["*MATERIAL, NAME=M", "*ELASTIC", f"1.,{tray.elastic.poisson}", "*SOLID SECTION, ELSET=SOLID, MATERIAL=M"]
    if door is not None:
        dense = [solved.rows.toarray() for solved in (tray, door)]
        leading: set[tuple[int, int]] = set()
        nodes = Nodes(tray.elastic), Nodes(door.elastic)
        for k, pad in enumerate(door.names):
            number = tray.names.index(pad)
            arm = tray.middles[number] - door.middles[k]
            for axis in range(tied):
                ours = dense[0][6 * number + axis]
                theirs = moved_to(arm)[axis] @ dense[1][6 * k : 6 * k + 6]
                terms = []
                for start, each, row, sign in ((first[1], nodes[1], theirs, 1), (0, nodes[0], ours, -1)):
                    factors = sign * each.forces_at_nodes(row)
                    terms += [(start + int(n) + 1, int(c) + 1, float(factors[n, c]))
                              for n, c in zip(*np.nonzero(np.abs(factors) > 1e-12), strict=True)]  # fmt: skip
                # solved for the first of them, on the door: another one in each equation
                terms.sort(key=lambda term: (term[0] <= first[1] or term[:2] in leading, -abs(term[2])))
                leading.add(terms[0][:2])
                lines += ["*EQUATION", str(len(terms))]
                flat = [f"{node},{component},{factor:.12e}" for node, component, factor in terms]
                lines += [",".join(flat[k : k + 4]) for k in range(0, len(flat), 4)]
    lines.append("*BOUNDARY")
    lines += [f"{node},{component},{component}" for node, component in held[0]]  # the door hangs on its ties
    lines += ["*STEP", "*STATIC, SOLVER=SPOOLES", "*CLOAD"]
    forces = Nodes(tray.elastic).forces_at_nodes(load)
    lines += [f"{n + 1},{c + 1},{forces[n, c]:.12e}" for n, c in zip(*np.nonzero(forces), strict=True)]
    lines += ["*NODE PRINT, NSET=ALL", "U", "*END STEP"]
    path.write_text("\n".join(lines) + "\n", "ascii")


if __name__ == "__main__":
    ng.SetNumThreads(1)
    print(json.dumps(globals()[sys.argv[1]](Path(sys.argv[2]))))  # noqa: T201

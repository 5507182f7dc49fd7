"""Spatial poses against MuJoCo, a general multibody library that knows nothing of our closed forms.

Each mechanism is built there from bodies, hinges, ball joints and slides, every link a body of its own, and its loops
are closed by `connect` equality constraints (three coordinates each). Driven joints are put where they belong, and the
others are projected onto the constraints by Newton steps on MuJoCo's own constraint Jacobian and residual (efc_J,
efc_pos) until nothing moves. See tests/references/README.md. A missing MuJoCo fails these tests.

1e-6 mm and 1e-6 degrees is what the project promises; when written, the worst was 3e-12 mm and 2e-12 degrees.
"""

import mujoco
import numpy as np
import pytest

from coachwork.geometry.rigid import Motion
from coachwork.studies.linkage.live_axle import AxleLink, LiveAxle

POSITION_MM, ANGLE_DEG = 1e-6, 1e-6
ARM = np.radians(np.linspace(-18, 20, 13))
RACK = np.linspace(-6.0, 6.0, 9)


class Mechanism:
    """A MuJoCo model written as nested bodies whose frames all coincide with the chassis frame as drawn."""

    def __init__(self):
        self.bodies, self.closures, self.children = {}, [], {"world": []}

    def body(self, name, joints, on="world"):
        """`joints`: (kind, name, position, axis) from the parent outwards."""
        self.bodies[name] = joints
        self.children[name] = []
        self.children[on].append(name)

    def connect(self, first, second, point):
        self.closures.append(f'<connect body1="{first}" body2="{second}" anchor="{text(point)}"/>')

    def build(self):
        xml = (
            '<mujoco><option gravity="0 0 0" jacobian="dense"/><compiler angle="radian"/><worldbody>'
            + "".join(self._xml(child) for child in self.children["world"])
            + f"</worldbody><equality>{''.join(self.closures)}</equality></mujoco>"
        )
        return mujoco.MjModel.from_xml_string(xml)

    def _xml(self, name):
        joints = "".join(
            f'<joint name="{joint}" type="{kind}" pos="{text(position)}" axis="{text(axis)}"/>'
            for kind, joint, position, axis in self.bodies[name]
        )
        inertia = '<inertial pos="0 0 0" mass="1" diaginertia="1 1 1"/>'
        return f'<body name="{name}">{inertia}{joints}{"".join(self._xml(c) for c in self.children[name])}</body>'


def text(vector):
    return " ".join(repr(float(value)) for value in vector)


class Solver:
    def __init__(self, mechanism, driven):
        self.model = mechanism.build()
        self.data = mujoco.MjData(self.model)
        self.addresses = [self.model.jnt_qposadr[self.model.joint(name).id] for name in driven]
        held = [self.model.jnt_dofadr[self.model.joint(name).id] for name in driven]
        self.free = np.setdiff1d(np.arange(self.model.nv), held)

    def project(self, values):
        """Put the driven joints at `values`, then step the others until the constraints hold, from where they are."""
        self.data.qpos[self.addresses] = values
        for _ in range(30):
            mujoco.mj_fwdPosition(self.model, self.data)
            jacobian = self.data.efc_J.reshape(-1, self.model.nv)
            step = np.zeros(self.model.nv)
            # A link's spin about itself is free: the least-squares step leaves it alone.
            step[self.free] = -np.linalg.lstsq(jacobian[:, self.free], self.data.efc_pos, rcond=1e-10)[0]
            if np.abs(step).max() < 1e-13 and np.abs(self.data.efc_pos).max() < 1e-11:
                return
            mujoco.mj_integratePos(self.model, self.data.qpos, step, 1.0)
        raise AssertionError(f"MuJoCo's constraints stay open by {np.abs(self.data.efc_pos).max()} mm at {values}")

    def motion(self, name):
        body = self.data.body(name)
        return Motion(body.xmat.reshape(3, 3).copy(), body.xpos.copy())


def hinge(name, start, end):
    return ("hinge", name, start, end - start)


def ball(name, point):
    return ("ball", name, point, np.array([0.0, 0.0, 1.0]))


def slide(name, axis):
    return ("slide", name, np.zeros(3), np.array(axis, float))


def steering(mechanism, corner):
    mechanism.body("rack", [slide("rack", (0, 1, 0))])
    mechanism.body("tie_rod", [ball("tie_rod", corner.tie_rod_inner)], on="rack")
    mechanism.connect("tie_rod", "knuckle", corner.tie_rod_outer)


@pytest.fixture
def camber_link_reference(front):
    mechanism = Mechanism()
    mechanism.body("arm", [hinge("arm", front.arm_pin_rear, front.arm_pin_front)])
    mechanism.body("carrier", [hinge("carrier", front.hub_pin_rear, front.hub_pin_front)], on="arm")
    mechanism.body("knuckle", [hinge("knuckle", front.kingpin_lower, front.kingpin_upper)], on="carrier")
    mechanism.body("camber_link", [ball("camber_link", front.camber_link_inner)])
    mechanism.connect("camber_link", "carrier", front.camber_link_outer)
    steering(mechanism, front)
    return front, Solver(mechanism, driven=["arm", "rack"])


@pytest.fixture
def two_arm_reference(two_arm):
    mechanism = Mechanism()
    mechanism.body("arm", [hinge("arm", two_arm.lower_pin_rear, two_arm.lower_pin_front)])
    mechanism.body("upper_arm", [hinge("upper_arm", two_arm.upper_pin_rear, two_arm.upper_pin_front)])
    mechanism.body("knuckle", [ball("knuckle", two_arm.kingpin_lower)], on="arm")
    mechanism.connect("upper_arm", "knuckle", two_arm.kingpin_upper)
    steering(mechanism, two_arm)
    return two_arm, Solver(mechanism, driven=["arm", "rack"])


def apart(ours, theirs, point):
    """How far a point of the body is apart in mm, and by how many degrees the body is turned."""
    turned = Motion(ours.rotation, ours.shift * 0).inverse @ Motion(theirs.rotation, theirs.shift * 0)
    return np.abs(ours.at(point) - theirs.at(point)).max(), np.degrees(turned.angle)


@pytest.mark.parametrize("kind", ["camber_link", "two_arm"])
def test_front_corners_agree_over_travel_and_lock(kind, request, wheel):
    corner, solver = request.getfixturevalue(f"{kind}_reference")
    ball_positions = corner.tie_rod_inner + RACK[:, None] * np.array([0.0, 1.0, 0.0])
    poses = corner.poses(arm_angle_rad=ARM[:, None], tie_rod_inner=ball_positions)
    assert poses.assembles.all()
    lock = np.degrees(np.ptp(poses.knuckle_angle_rad, axis=-1))
    rise = np.ptp(poses.knuckle.at(wheel.centre)[..., 2], axis=0)
    assert lock.min() > 50  # else the grid proves little
    assert rise.min() > 20
    worst = np.zeros(2)
    for i in range(len(ARM)):
        order = range(len(RACK)) if i % 2 == 0 else reversed(range(len(RACK)))  # neighbours stay neighbours
        for j in order:
            solver.project([ARM[i], RACK[j]])
            ours = Motion(poses.knuckle.rotation[i, j], poses.knuckle.shift[i, j])
            worst = np.maximum(worst, apart(ours, solver.motion("knuckle"), wheel.centre))
    assert worst[0] < POSITION_MM
    assert worst[1] < ANGLE_DEG


CENTRE = np.array([0.0, 0.0, 18.0])
LOWER_LINKS = {"lower left": ((95, 28, 12), (4, 34, 10)), "lower right": ((95, -28, 12), (4, -34, 10))}
AXLES = {
    "3-link and panhard": {
        **LOWER_LINKS,
        "upper": ((60, 8, 32), (-2, 10, 34)),
        "panhard": ((-8, 42, 20), (-8, -40, 20)),
    },
    "4-link": {
        **LOWER_LINKS,
        "upper left": ((60, 8, 32), (-2, 26, 34)),
        "upper right": ((60, -8, 32), (-2, -26, 34)),
    },
}


@pytest.mark.parametrize("name", AXLES)
def test_live_axles_agree_over_heave_and_roll(name):
    links = tuple(
        AxleLink(name=name.replace(" ", "_"), chassis_ball=np.array(chassis, float), axle_ball=np.array(on_axle, float))
        for name, (chassis, on_axle) in AXLES[name].items()
    )
    heave, roll = np.linspace(-12.0, 12.0, 9), np.radians(np.linspace(-10.0, 10.0, 7))
    poses = LiveAxle(links=links, centre=CENTRE).poses(heave_mm=heave[:, None], roll_rad=roll)
    assert poses.assembles.all()

    mechanism = Mechanism()
    # Yaw, then roll, then pitch: so the middle hinge's angle is the slope of the axle's line, which is our roll.
    turns = [("hinge", axis, CENTRE, direction) for axis, direction in
             (("yaw", (0, 0, 1)), ("roll", (1, 0, 0)), ("pitch", (0, 1, 0)))]  # fmt: skip
    mechanism.body("axle", [slide("x", (1, 0, 0)), slide("y", (0, 1, 0)), slide("z", (0, 0, 1)), *turns])
    for link in links:
        mechanism.body(link.name, [ball(link.name, link.chassis_ball)])
        mechanism.connect(link.name, "axle", link.axle_ball)
    solver = Solver(mechanism, driven=["z", "roll"])

    worst = np.zeros(2)
    for i in range(len(heave)):
        for j in range(len(roll)) if i % 2 == 0 else reversed(range(len(roll))):
            solver.project([heave[i], roll[j]])
            ours = Motion(poses.axle.rotation[i, j], poses.axle.shift[i, j])
            worst = np.maximum(worst, apart(ours, solver.motion("axle"), CENTRE + 75.0 * np.eye(3)[1]))
    assert worst[0] < POSITION_MM
    assert worst[1] < ANGLE_DEG

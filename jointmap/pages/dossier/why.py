"""What one joint's verdict and date rest on: all of ``why``, part of its dossier."""

from collections.abc import Iterator
from dataclasses import replace

from jointmap.pages.clock_views import joint_clocks
from jointmap.pages.dossier.fitting import fact_names, installation_view
from jointmap.pages.due.steps import due_view
from jointmap.pages.showing import GLYPH_PX, Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.pages.shown_values import facts_of
from jointmap.register import Device, Installation
from jointmap.register.codes import Subject
from jointmap.reports.views import Frame
from jointmap.reports.views_dossier import DeviceView, WhyView
from jointmap.snapshot.joint_names import joint_called


def joint_named(showing: Showing, tag: str) -> int:
    """Return the joint of a tag or an older name, whatever its letters' case."""
    aliases = (alias for own in showing.aliases.values() for alias in own)
    return joint_called(tag, showing.joints, aliases)


def why_view(
    showing: Showing, tests: ShownTests, id_: int, missed: tuple[str, ...]
) -> WhyView:
    """Return the tests, the device and the steps that a joint's date rests on.

    ``missed`` are the sentences of the limits that it missed.
    """
    joint = showing.joints[id_]
    of_boundary = tests.of_boundary.get(joint.boundary_id, [])
    own = {*tests.of_joint.get(id_, []), *of_boundary}
    return WhyView(
        frame=_frame(showing.frame),
        tag=joint.tag,
        verdict=showing.joint_sign(id_, GLYPH_PX),
        due=due_view(showing, Subject.JOINT, id_, missed),
        clocks=joint_clocks(showing, id_),
        devices=tuple(_devices(showing, id_)),
        tests=tests.rows(own),
    )


def _frame(frame: Frame) -> Frame:
    return replace(frame, up="../", trail=())


def _devices(showing: Showing, joint_id: int) -> Iterator[DeviceView]:
    state = showing.assessed.state
    papers = {i.device_id: i for i in state.records(Installation).values()}
    own = [(i, d) for i, d in state.records(Device).items() if d.joint_id == joint_id]
    for id_, device in sorted(own, key=lambda p: p[1].fitted_on, reverse=True):
        yield DeviceView(
            kind=str(device.kind),
            fitted_on=device.fitted_on,
            removed_on=device.removed_on,
            serial=device.serial,
            layout=str(device.layout),
            facts=facts_of(device, fact_names(Device)),
            installation=installation_view(showing, device, papers.get(id_)),
        )

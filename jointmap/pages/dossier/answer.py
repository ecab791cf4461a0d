"""What a joint's verdict and date rest on: all of ``why``, part of its dossier."""

from collections.abc import Iterator
from dataclasses import replace

from jointmap.findings.finding import About
from jointmap.pages.clock_views import joint_clocks
from jointmap.pages.dossier.fitting import fact_names, installation_view
from jointmap.pages.due.steps import due_view
from jointmap.pages.showing import GLYPH_PX, Showing
from jointmap.pages.shown_values import facts_of
from jointmap.register import Device, Installation
from jointmap.register.codes import Subject
from jointmap.reports.views import Frame
from jointmap.reports.views_dossier import Answer, DeviceView
from jointmap.snapshot.names.joint_names import joint_asked


def joint_named(showing: Showing, tag: str) -> int:
    """Return the joint of a tag or an older name, whatever its letters' case."""
    return joint_asked(showing.state, tag)


def answer_of(showing: Showing, id_: int) -> Answer:
    """Return the steps and the devices that a joint's date rests on."""
    return Answer(
        frame=_frame(showing.frame),
        tag=showing.joints[id_].tag,
        verdict=showing.joint_sign(id_, GLYPH_PX),
        due=due_view(showing, Subject.JOINT, id_),
        clocks=joint_clocks(showing, id_),
        devices=tuple(_devices(showing, id_)),
        not_proved=showing.next_steps.unproved.get(About.joint(id_), ""),
        next_step=showing.next_steps.of(Subject.JOINT, id_),
    )


def _frame(frame: Frame) -> Frame:
    return replace(frame, up="../", trail=())


def _devices(showing: Showing, joint_id: int) -> Iterator[DeviceView]:
    own = showing.state.records_of(Device, "joint_id", joint_id)
    ground = showing.assessed.ground
    fitted = int(ground.joints.device_id[showing.joint_rows[joint_id]])
    for id_, device in sorted(own, key=lambda p: p[1].fitted_on, reverse=True):
        papers = [
            i for _, i in showing.state.records_of(Installation, "device_id", id_)
        ]
        yield DeviceView(
            kind=str(device.kind),
            fitted_on=device.fitted_on,
            removed_on=device.removed_on,
            is_fitted=id_ == fitted,
            serial=device.serial,
            layout=str(device.layout),
            facts=facts_of(device, fact_names(Device)),
            installation=installation_view(showing, papers[-1] if papers else None),
        )

"""The list of all dossiers."""

from jointmap.assessment.site_on_day import day_of
from jointmap.pages.showing import Showing
from jointmap.register.codes import Subject
from jointmap.reports.every_report import REPORTS
from jointmap.reports.views_dossiers import DossierLine, DossiersPage


def dossier_index(showing: Showing) -> str:
    """Return the page that lists every joint by tag."""
    ids = sorted(showing.joints, key=lambda i: showing.joints[i].tag)
    rows = tuple(_line(showing, id_) for id_ in ids)
    return REPORTS["dossiers"].make(DossiersPage(frame=showing.frame, rows=rows))


def _line(showing: Showing, id_: int) -> DossierLine:
    joint, items = showing.joints[id_], showing.assessed.items
    item = showing.item_rows.get((Subject.JOINT.code, id_))
    return DossierLine(
        tag=showing.joint_link(id_),
        verdict=showing.joint_sign(id_),
        boundary=showing.boundary_link(joint.boundary_id),
        state=str(joint.state),
        area=joint.area,
        aliases=", ".join(a.name for a in showing.state.older_tags.get(id_, [])),
        last_test_on=day_of(items.last_on[item]) if item is not None else None,
        last_allowed_on=day_of(items.last_allowed_on[item])
        if item is not None
        else None,
        due_state=showing.due_sign(Subject.JOINT, id_),
    )

"""Which corrections a joint's page tells of: those of records that are its own."""

from jointmap.register import IsolationTest, Joint
from tests.opened_site import opened, shown

HEAD = "scope,boundary,joint,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
HEAD += "correction_reason\n"
OF_BOUNDARY = "boundary,B-1,,2025-06-01,potential-shift,routine,measured,{},-0.9 V,"
OF_BOUNDARY += "-0.6 V,-0.6 V,{}\n"
OF_JOINT = OF_BOUNDARY.replace("boundary,B-1,,", "joint,,J-1,")


def test_a_corrected_test_of_a_boundary_is_none_of_a_joint(tmp_path):
    first = OF_BOUNDARY.format("-1.2 V", "") + OF_JOINT.format("-1.2 V", "")
    again = OF_BOUNDARY.format("-1.1 V", "typed wrong")
    again += OF_JOINT.format("-1.1 V", "typed wrong")
    site = opened(tmp_path, {"tests.csv": HEAD + first}, {"tests.csv": HEAD + again})
    with shown(site) as showing:
        all_of_them = showing.state.corrected_of(IsolationTest)
        found = showing.corrected_of_joints
        own = {showing.joints[id_].tag: len(each) for id_, each in found.items()}
        assert showing.state.corrected_of(Joint) == []
    site.register.close()
    assert len(all_of_them) == 2
    assert own == {"J-1": 1}

"""A file is what it is taken apart as, whatever it is called and begins with."""

import zlib

import pytest

from jointmap.errors import Refused
from jointmap.pictures import kind_of
from tests.pictures_made import ACCEPTED, CARRIERS, NOT_ACCEPTED, NOT_REBUILT

# The child in which these run says nothing of what a library warns of.
pytestmark = pytest.mark.filterwarnings("ignore::UserWarning:PIL")


def kind(folder, data):
    (folder / "x").write_bytes(data)
    return kind_of(folder / "x")


@pytest.mark.parametrize("name", ACCEPTED)
def test_accepted(tmp_path, name):
    data, media_type = ACCEPTED[name]
    assert kind(tmp_path, data).media_type == media_type


@pytest.mark.parametrize("name", [*CARRIERS, *NOT_REBUILT])
def test_every_drawing_is_kept_as_evidence(tmp_path, name):
    assert kind(tmp_path, {**CARRIERS, **NOT_REBUILT}[name]).media_type.endswith("+xml")


@pytest.mark.parametrize("name", NOT_ACCEPTED)
def test_not_accepted(tmp_path, name):
    with pytest.raises(Refused) as refused:
        kind(tmp_path, NOT_ACCEPTED[name])
    ids = [p.id for p in refused.value.problems]
    assert ids[-1] == "attach.type"
    assert all(id_.startswith("picture.no_") for id_ in ids[:-1])


PDF = b"%%PDF-1.7\n%s\n%%%%EOF"
PACKED = b"<< /Type /ObjStm >> stream\n%s\nendstream"
NOTES = {
    b"<< /OpenAction 1 0 R >>": ("acts_when_opened",),
    b"<< /S /JavaScript /JS (app.alert(1)) >>": ("runs_script",),
    b"<< /S /J#61vaScript >>": ("runs_script",),
    b"<< /AA << /O 1 0 R >> /S /Launch >>": ("acts_when_opened", "starts_programs"),
    b"<< /EmbeddedFiles 1 0 R /Encrypt 2 0 R >>": ("holds_files", "is_encrypted"),
    PACKED % zlib.compress(b"<< /S /Launch >>"): ("starts_programs",),
    PACKED % b"not packed /JS": (),
    PACKED % zlib.compress(bytes(33 * 2**20) + b"/JS /X"): (),
    b"stream\n/JS of dots endstream": (),
    b"/JSX (/OpenActions)": (),
}


@pytest.mark.parametrize("inside", NOTES)
def test_what_a_paper_could_do_is_told(tmp_path, inside):
    assert kind(tmp_path, PDF % inside).notes == NOTES[inside]

"""Files put in place: whole or not at all, in turn, and over nothing of others."""

from jointmap.files.manifest import SiteMark
from jointmap.files.output_places import check_new_place, check_output
from jointmap.files.published import Published, publishing
from jointmap.files.single import put_file

__all__ = [
    "Published",
    "SiteMark",
    "check_new_place",
    "check_output",
    "publishing",
    "put_file",
]

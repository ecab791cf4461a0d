"""Files in and out: CSV, GeoJSON and TOML of the senders; open formats of ours."""

from jointmap.exchange.cells import Ref, read_number
from jointmap.exchange.drafts import WGS84, Draft, Read, read_drafts, written_text
from jointmap.exchange.files import SentFile, read_file
from jointmap.exchange.sheets import SHEETS, Sheet

__all__ = [
    "SHEETS",
    "WGS84",
    "Draft",
    "Read",
    "Ref",
    "SentFile",
    "Sheet",
    "read_drafts",
    "read_file",
    "read_number",
    "written_text",
]

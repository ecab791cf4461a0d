"""What comes from outside, as plain values: files, text, JSON, TOML, within limits.

Whatever is read here is hostile until it is parsed.
"""

from jointmap.incoming.json_text import read_json
from jointmap.incoming.plain_files import (
    Delivery,
    open_named_file,
    open_plain_file,
    read_plain_file,
)
from jointmap.incoming.text import text_of
from jointmap.incoming.toml_text import read_toml

__all__ = [
    "Delivery",
    "open_named_file",
    "open_plain_file",
    "read_json",
    "read_plain_file",
    "read_toml",
    "text_of",
]

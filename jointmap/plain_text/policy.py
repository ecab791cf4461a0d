"""What a page may run and load: the scripts and styles it was made with, by their hash.

W3C, "Content Security Policy Level 3", sections 2.3.1 (hash sources) and 3.3 (the meta
element). Whatever else gets into the page does not run, and nothing is asked for.
"""

import base64
import hashlib
from collections.abc import Iterable


def policy(styles: Iterable[str] = (), scripts: Iterable[str] = ()) -> str:
    """Return the policy of a page that holds these styles and scripts, to the byte."""
    parts = ["default-src 'none'", "base-uri 'none'", "form-action 'none'"]
    # The page's own empty icon.
    parts.append("img-src data:")
    for name, texts in (("style-src", styles), ("script-src", scripts)):
        hashes = " ".join(_hash(text) for text in texts)
        parts += [f"{name} {hashes}"] if hashes else []
    return "; ".join(parts)


def _hash(text: str) -> str:
    digest = hashlib.sha256(text.encode()).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"

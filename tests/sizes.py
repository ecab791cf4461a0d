"""How many examples a property is tried with: few by default, all under ``--full``."""

import hypothesis

FEW, ALL = 30, 100


def examples(named: int) -> hypothesis.settings:
    """Return settings for ``named`` examples under ``--full``, and a part by default.

    For properties whose examples are dear; the others take ``FEW`` or ``ALL``.
    """
    part = hypothesis.settings().max_examples / ALL
    return hypothesis.settings(max_examples=max(2, round(named * part)))

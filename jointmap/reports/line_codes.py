"""The scannable code of a sheet's line; the only user of segno."""

from io import BytesIO

import segno
from markupsafe import Markup

from jointmap.plain_text import own_markup


def line_code(line_id: str) -> Markup:
    """Return ``line_id`` as a QR code in SVG, black on white, 4 modules of quiet zone.

    Error level Q bears a quarter of the code being soiled. Same text, same bytes. Text
    that no code can hold has none: it stands in words beside it all the same.
    """
    out = BytesIO()
    try:
        code = segno.make(line_id, error="q", micro=False)
    except segno.DataOverflowError:
        return Markup("")
    code.save(
        out, kind="svg", border=4, xmldecl=False, svgns=True, nl=False, omitsize=True
    )
    return own_markup(out.getvalue().decode("ascii"))

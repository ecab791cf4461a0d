"""Pictures, drawings and papers made by the tests: sound ones and hostile ones."""

import io
import struct
import zlib
from fractions import Fraction

from PIL import Image, TiffImagePlugin
from PIL.PngImagePlugin import PngInfo

SVG_NS = 'xmlns="http://www.w3.org/2000/svg"'
XLINK_NS = 'xmlns:xlink="http://www.w3.org/1999/xlink"'
# What each hostile drawing tries: to say so in the page, or to ask for something.
ACT = "document.documentElement.setAttribute('ran','1');alert(1)"
AWAY = "http://picture.invalid/asked"


def written(picture: Image.Image, kind: str, **more: object) -> bytes:
    """Return a picture as a file of its kind."""
    file = io.BytesIO()
    picture.save(file, kind, **more)
    return file.getvalue()


def dots(width: int = 60, height: int = 40, mode: str = "RGB") -> Image.Image:
    """Return a picture whose upper left quarter is dark, so that turning it shows."""
    picture = Image.new(mode, (width, height), "white" if mode != "F" else 1.0)
    picture.paste(Image.new(mode, (width // 2, height // 2), 0))
    return picture


PNG = written(dots(), "PNG")
JPEG = written(dots(), "JPEG")
NOISE = written(Image.effect_noise((300, 300), 90), "JPEG")


def camera(
    latitude: tuple[float, ...] = (31, 24, 0),
    longitude: tuple[float, ...] = (41, 54, 0),
    sides: tuple[str, str] = ("N", "W"),
    orientation: object = 1,
    taken: str = "2026:04:02 10:31:07",
) -> Image.Exif:
    """Return what a camera writes beside its picture."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = "<script>alert(1)</script>"
    exif.get_ifd(0x8769)[0x9003] = taken
    gps = exif.get_ifd(0x8825)
    gps[1], gps[3] = sides
    gps[2] = tuple(TiffImagePlugin.IFDRational(Fraction(v)) for v in latitude)
    gps[4] = tuple(TiffImagePlugin.IFDRational(Fraction(v)) for v in longitude)
    gps[7], gps[29] = (9.0, 31.0, 7.0), "2026:04:02"
    return exif


def photo(**facts: object) -> bytes:
    """Return a JPEG with the facts of a camera."""
    return written(dots(), "JPEG", exif=camera(**facts), comment=ACT.encode())


def png_of_size(width: int, height: int) -> bytes:
    """Return a PNG whose head promises a size that its bytes never hold."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunks = [(b"IHDR", head), (b"IDAT", zlib.compress(b"\x00")), (b"IEND", b"")]
    parts = [
        struct.pack(">I", len(data)) + name + data
        + struct.pack(">I", zlib.crc32(name + data))
        for name, data in chunks
    ]  # fmt: skip
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


def png_of_texts() -> bytes:
    """Return a PNG of 2 MiB of packed text in some kilobytes."""
    info = PngInfo()
    info.add_text("Comment", "a" * 2 * 2**20, zip=True)
    return written(dots(), "PNG", pnginfo=info)


def drawing(inside: str = "", on_root: str = "") -> bytes:
    """Return a drawing with something in it."""
    seen = '<rect x="1" y="1" width="50" height="30" fill="#ccc"/>'
    root = f'<svg {SVG_NS} {XLINK_NS} width="60" height="40" {on_root}>'
    return f"{root}{seen}{inside}</svg>".encode()


def _wide(drawn: bytes) -> str:
    return f'<?xml version="1.0" encoding="utf-16"?>{drawn.decode()}'


_DATA = "data:text/html,&lt;script&gt;alert(1)&lt;/script&gt;"
_JS = f"javascript:{ACT}"
# Each carries a script, or something that asks for a file of elsewhere.
CARRIERS: dict[str, bytes] = {
    "script": drawing(f"<script>{ACT}</script>"),
    "script in cdata": drawing(f"<script><![CDATA[{ACT}]]></script>"),
    "script by src": drawing(f'<script href="{AWAY}.js"/>'),
    "script by xlink": drawing(f'<script xlink:href="{AWAY}.js"/>'),
    "script of a prefix": drawing(
        f'<s:script xmlns:s="http://www.w3.org/2000/svg">{ACT}</s:script>'
    ),
    "script of html": drawing(
        f'<h:script xmlns:h="http://www.w3.org/1999/xhtml">{ACT}</h:script>'
    ),
    "script as a module": drawing(f'<script type="module">{ACT}</script>'),
    "onload": drawing(on_root=f'onload="{ACT}"'),
    "onload of a part": drawing(f'<g onload="{ACT}"/>'),
    "onload beside": drawing(f'<g id="a"\nonload\t=\n"{ACT}"/>'),
    "onbegin": drawing(f'<animate attributeName="x" dur="1s" onbegin="{ACT}"/>'),
    "onfocus": drawing(f'<g tabindex="0" autofocus="" onfocusin="{ACT}"/>'),
    "onerror": drawing(f'<image href="x:y" onerror="{ACT}" width="9" height="9"/>'),
    "a": drawing(f'<a href="{_JS}"><rect width="60" height="40"/></a>'),
    "a by xlink": drawing(f'<a xlink:href="{_JS}"><rect width="60" height="40"/></a>'),
    "a in codes": drawing(f'<a href="&#106;ava&#x0A;script:{ACT}"><text>x</text></a>'),
    "a to data": drawing(f'<a href="{_DATA}"><text>x</text></a>'),
    "animate href": drawing(
        f'<a><animate attributeName="href" values="{_JS}"/><text>x</text></a>'
    ),
    "set href": drawing(f'<a><set attributeName="href" to="{_JS}"/><text>x</text></a>'),
    "animate xlink": drawing(
        f'<a><animate attributeName="xlink:href" to="{_JS}"/><text>x</text></a>'
    ),
    "use of elsewhere": drawing(f'<use href="{AWAY}.svg#a"/>'),
    "use by xlink": drawing(f'<use xlink:href="{AWAY}.svg#a"/>'),
    "use of data": drawing('<use href="data:image/svg+xml;base64,PHN2Zy8+#a"/>'),
    "image": drawing(f'<image href="{AWAY}.png" width="9" height="9"/>'),
    "image of data": drawing(
        '<image href="data:image/svg+xml,&lt;svg/&gt;" width="9" height="9"/>'
    ),
    "feImage": drawing(
        f'<filter id="f"><feImage href="{AWAY}.png"/></filter>'
        '<rect width="9" height="9" filter="url(#f)"/>'
    ),
    "style import": drawing(f'<style>@import url("{AWAY}.css");</style>'),
    "style in cdata": drawing(
        f"<style><![CDATA[rect{{fill:url({AWAY}.svg#a)}}]]></style>"
    ),
    "style font": drawing(
        f"<style>@font-face{{font-family:a;src:url({AWAY}.woff)}}text{{font-family:a}}"
        "</style><text>x</text>"
    ),
    "style attribute": drawing(f'<rect style="fill:url({AWAY}.svg#a)"/>'),
    "style in escapes": drawing(rf'<rect style="fill:u\72l({AWAY}.svg#a)"/>'),
    "fill of elsewhere": drawing(f'<rect width="9" height="9" fill="url({AWAY}#a)"/>'),
    "mask of elsewhere": drawing(f'<rect width="9" height="9" mask="url({AWAY}#a)"/>'),
    "cursor": drawing(f'<rect width="9" height="9" cursor="url({AWAY}.cur)"/>'),
    "foreignObject": drawing(
        '<foreignObject width="60" height="40"><body '
        f'xmlns="http://www.w3.org/1999/xhtml" onload="{ACT}"><img src="x:y" '
        f'onerror="{ACT}"/><iframe src="{AWAY}"/></body></foreignObject>'
    ),
    "html inside": drawing(
        f'<iframe xmlns="http://www.w3.org/1999/xhtml" src="{AWAY}"/>'
    ),
    "html in title": drawing(f"<title>&lt;script&gt;{ACT}&lt;/script&gt;</title>"),
    "html in desc": drawing(
        f'<desc><script xmlns="http://www.w3.org/1999/xhtml">{ACT}</script></desc>'
    ),
    "handler": drawing(
        f'<handler xmlns="http://www.w3.org/2000/svg" type="text/javascript">{ACT}'
        "</handler>"
    ),
    "listener": drawing(
        '<ev:listener xmlns:ev="http://www.w3.org/2001/xml-events" event="load" '
        'handler="#h"/>'
    ),
    "style sheet by instruction": b'<?xml-stylesheet href="' + AWAY.encode()
    + b'.css"?>' + drawing(),
    "transform by instruction": b'<?xml-stylesheet type="text/xsl" href="'
    + AWAY.encode() + b'.xsl"?>' + drawing(),
    "xml:base": drawing(
        '<use href="a.svg#a"/>', 'xml:base="http://picture.invalid/"'
    ),
    "utf-16": _wide(drawing(f"<script>{ACT}</script>")).encode("utf-16"),
    "utf-16 without a mark": _wide(drawing("", f'onload="{ACT}"')).encode("utf-16-le"),
    "latin": b'<?xml version="1.0" encoding="iso-8859-1"?>'
    + drawing(f"<text>\xe9</text><script>{ACT}</script>").decode().encode("latin-1"),
    "quotes closed early": drawing('<text x="1&quot; onload=&quot;alert(1)">t</text>'),
    "id as markup": drawing('<g id="&quot;&gt;&lt;script&gt;"/>'),
    "text as markup": drawing(
        f"<text x='2' y='20'>&lt;/text&gt;&lt;script&gt;{ACT}&lt;/script&gt;</text>"
    ),
    "external type": f'<!DOCTYPE svg SYSTEM "{AWAY}.dtd">'.encode() + drawing(),
}  # fmt: skip

_LAUGHS = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10))
# Drawings of which no copy is made.
NOT_REBUILT: dict[str, bytes] = {
    "billion laughs": f'<!DOCTYPE svg [<!ENTITY l0 "ha">{_LAUGHS}]>'.encode()
    + drawing("<text>&l9;</text>"),
    "external entity": b'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>'
    + drawing("<text>&x;</text>"),
    "parameter entity": f'<!DOCTYPE svg [<!ENTITY % p SYSTEM "{AWAY}">%p;]>'.encode()
    + drawing(),
    "attributes by type": b'<!DOCTYPE svg [<!ATTLIST svg onload CDATA "alert(1)">]>'
    + drawing(),
    "unknown entity": b'<!DOCTYPE svg SYSTEM "x.dtd">' + drawing("<text>&y;</text>"),
    "parts in parts": drawing(
        "".join(
            f'<g id="p{n}">{f"""<use href="#p{n - 1}"/>""" * 10}</g>'
            for n in range(1, 9)
        )
        + '<g id="p0"><rect/></g>'
    ),
    "a part of itself": drawing('<g id="p"><use href="#p"/></g>'),
    "many parts": drawing("<g/>" * 30_000),
    "deep": drawing("<g>" * 200 + "</g>" * 200),
    "long": drawing(f'<path d="{"M1 1 " * 60_000}"/>' * 3),
}

_HTML = f"<html><body><script>{ACT}</script></body></html>"
# Not what any attachment may be.
NOT_ACCEPTED: dict[str, bytes] = {
    "nothing": b"",
    "blank": b" \n\t\n",
    "page": _HTML.encode(),
    "page after blanks": b"\n\n  " + _HTML.encode(),
    "page after a mark": b"\xef\xbb\xbf" + _HTML.encode(),
    "page in utf-16": _HTML.encode("utf-16"),
    "page that is no XML": b"<!doctype html><p>open",
    "xhtml": b'<html xmlns="http://www.w3.org/1999/xhtml"/>',
    "drawing of another space": b"<svg xmlns='x'><path/></svg>",
    "drawing cut short": drawing()[:-8],
    "two roots": drawing() + drawing(),
    "utf-7": b'<?xml version="1.0" encoding="utf-7"?>' + drawing(),
    "comments": b"<!---->" * 40 + b"<a>",
    "depth": b"<svg>" + b"<g>" * 20_000,
    "program": b"MZ\x90\x00\x03",
    "zip": b"PK\x03\x04" + bytes(40),
    "gif that is a script": b"GIF89a/*" + bytes(10) + b"*/=1;alert(1)",
    "nul": b"a\x00b",
    "escape sequences": b"\x1b]0;title\x07\x1b[2J",
    "utf-16 mark": b"\xff\xfe\x00",
    "no text": b"\xc3\x28 latin \xe9",
    "half a letter at the end": "note é".encode()[:-1],
    "png in name only": b"\x89PNG\r\n\x1a\n rest",
    "png of a head alone": png_of_size(2**31 - 1, 2**31 - 1)[:33],
    "png with a text bomb": png_of_texts(),
    "jpeg in name only": b"\xff\xd8\xff\xe0 rest",
    "jpeg of odd marks": b"\xff\xd8\xff a photo, invented",
    "tiff in name only": b"II*\x00 rest",
    "tiff of no tags": b"MM\x00*\x00\x00\x00\x08\x00\x00",
    "webp in name only": b"RIFF0000WEBPVP8 rest",
    "pdf without an end": b"%PDF-1.7\nand so on",
}
# What is accepted, as which type; each is kept as sent.
ACCEPTED: dict[str, tuple[bytes, str]] = {
    "png": (PNG, "image/png"),
    "png and a zip": (PNG + b"PK\x03\x04" + bytes(40), "image/png"),
    "png and a page": (PNG + _HTML.encode(), "image/png"),
    "png of a bomb": (png_of_size(60_000, 60_000), "image/png"),
    "png cut short": (written(dots(300, 300), "PNG")[:400], "image/png"),
    "jpeg": (JPEG, "image/jpeg"),
    "jpeg with a script": (photo(), "image/jpeg"),
    "jpeg cut short": (NOISE[:9000], "image/jpeg"),
    "tiff": (written(dots(), "TIFF"), "image/tiff"),
    "tiff of two": (
        written(dots(), "TIFF", save_all=True, append_images=[dots()]),
        "image/tiff",
    ),
    "webp": (written(dots(), "WEBP"), "image/webp"),
    "moving webp": (
        written(
            dots(), "WEBP", save_all=True, append_images=[dots(mode="RGB").rotate(180)]
        ),
        "image/webp",
    ),
    "grey": (written(dots(mode="L"), "PNG"), "image/png"),
    "black and white": (written(dots(mode="1"), "TIFF"), "image/tiff"),
    "deep grey": (written(dots(mode="I;16"), "PNG"), "image/png"),
    "numbers": (written(dots(mode="F"), "TIFF"), "image/tiff"),
    "print colours": (written(dots(mode="RGB").convert("CMYK"), "JPEG"), "image/jpeg"),
    "see-through": (written(dots(mode="RGBA"), "PNG"), "image/png"),
    "palette": (written(dots().convert("P"), "PNG"), "image/png"),
    "pdf": (b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\n%%EOF\n", "application/pdf"),
    "pdf that is a page": (
        b"%PDF-1.7\n" + _HTML.encode() + b"%%EOF",
        "application/pdf",
    ),
    "note": ("a note, Ω\n".encode(), "text/plain"),
    "note with a mark": (b"\xef\xbb\xbfa note", "text/plain"),
    "note that speaks of pages": (f"see {_HTML}".encode(), "text/plain"),
    "drawing": (drawing("<text>a</text>"), "image/svg+xml"),
    "drawing after comments": (b"<!---->" * 40 + drawing(), "image/svg+xml"),
    "drawing without a space": (b"<svg><path d='M1 1h9'/></svg>", "image/svg+xml"),
}

"""Sentences on attached files: what they are, what pages show of them, why not."""

SENTENCES: dict[str, str] = {
    "picture.no_raster": "it begins as {kind} and cannot be read as one: it is"
    " cut short, damaged, or says of itself what no picture can be",
    "picture.no_pdf": "it begins as a PDF and does not end as one",
    "picture.no_xml": "it begins as a page or a drawing and is no sound XML ({error})",
    "picture.no_svg": "it is XML, and its root is {root}, not svg",
    "picture.too_many_dots": "it has {dots:,} dots; up to {most:,} are taken apart",
    "picture.entities": "its document type declares entities",
    "picture.entity": "it names the entity {name}, which it does not hold",
    "picture.too_many": "it has more than {most:,} elements, or they stand more than"
    " {deep} deep in each other",
    "picture.drawn_out": "its parts drawn in each other come to more than {most:,}"
    " elements",
    "picture.too_long": "more than {most:,} bytes would be left of it",
    "picture.empty": "nothing in it can be drawn",
    "picture.stopped": "taking it apart for a copy was stopped ({cause})",
    "picture.gone": "the kept file is gone or was changed; 'jointmap verify' names it",
    "picture.bytes": "{count:,} bytes",
    "picture.kind": "files of this type are never opened by a page",
    "picture.first_only": "only the first of its pictures is shown",
    "picture.left_out": "shown without {names}, which a still drawing does not need",
    "picture.runs_script": "it holds scripts",
    "picture.acts_when_opened": "it acts when it is opened",
    "picture.starts_programs": "it may start programs",
    "picture.holds_files": "it holds other files",
    "picture.is_encrypted": "it is encrypted, so what it holds cannot be told",
    "attach.kept": "kept as sent: {media_type}, {size_bytes:,} bytes, SHA-256 {sha256}",
    "attach.shown": "pages show a copy made anew, without what stood behind the picture"
    " (camera, place, comments)",
    "attach.not_shown": "for download only: {why}",
    "attach.note": "note: {note}",
    "attach.place": "the camera's own position is kept apart from that of {subject}"
    " '{key}', and is not used as it",
    "attach.place_far": "the camera's own position is {distance:metre} from"
    " {subject} '{key}'; it is kept apart, and is not used as its position",
}

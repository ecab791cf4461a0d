"""Sentences and labels of the map page and the small maps."""

SENTENCES: dict[str, str] = {
    "map.title": "Joint map: {site}",
    "map.heading": "Joint map",
    "map.day": "State on {on}",
    "map.known": "as known on {known}",
    "map.fingerprint": "Register {fingerprint}",
    "map.version": "jointmap {version}",
    "map.caution": (
        "Advises, does not authorise: permit, local codes and licensed persons decide."
        " Until measured there, treat every joint as shorted and every structure as"
        " carrying voltage."
    ),
    "map.noscript": (
        "This page draws its map with a script that is inside the file; nothing is"
        " fetched. Allow scripts for it, or use the due list and the dossiers beside"
        " it, which need none."
    ),
    "map.cannot_unpack": (
        "This browser cannot unpack the joints in this file. Use a newer browser,"
        " or have the map written again in its plain form."
    ),
    "map.canvas": (
        "Map of the joints. Arrow keys move it, plus and minus zoom. The list beside"
        " it holds the same joints."
    ),
    "map.whole_site": "Whole site",
    "map.north": "N",
    "map.search": "Find a tag, old or other names too",
    "map.verdict": "Joints by verdict",
    "map.due_state": "Joints by due state",
    "map.more_filters": "Area, kind, due by, marks",
    "map.area": "Area",
    "map.kind": "Kind of device",
    "map.until": "Due",
    "map.marks": "Marks",
    "map.all": "all",
    "map.any_day": "any day or none",
    "map.until_month": "up to the end of {month}",
    "map.until_today": "up to {on}",
    "map.every_joint": "all",
    "map.only_suspect": "suspects of a shorted boundary",
    "map.only_doubt": "position in doubt",
    "map.only_nowhere": "no position",
    "map.reset": "Show all",
    "map.none": "none",
    "map.count": "{shown} of {total} joints",
    "map.count_nowhere": "{count} of them without a position",
    "map.count_search": "name holds “{text}”",
    "map.list": "Joints, earliest due first",
    "map.list_cut": "The first {count} are listed. Narrow the filter to see the rest.",
    "map.list_empty": "No joint fits. Change the filter or choose “Show all”.",
    "map.here": "{count} joints here",
    "map.legend_more": "Marks on the map",
    "map.legend_suspect": "suspect: its boundary is shorted somewhere",
    "map.legend_doubt": "position in doubt",
    "map.legend_count": (
        "number: joints under one sign; it shows the worst verdict and the worst due"
        " state among them"
    ),
    "map.legend_line": "line with kilometre posts (KP)",
    "map.legend_point": "current source or structure",
    "map.close": "Close",
    "map.dossier": "Open the dossier",
    "map.show": "Show on the map",
    "map.back": "Back to the list of joints here",
    "map.row_due": "due {day}",
    "map.row_no_day": "no due date",
    "map.row_nowhere": "no position",
    "map.field_verdict": "Verdict",
    "map.field_due": "Due",
    "map.field_because": "Because",
    "map.field_last": "Last test",
    "map.field_boundary": "Electrical boundary",
    "map.field_area": "Area",
    "map.field_kind": "Device",
    "map.field_where": "Place",
    "map.field_position": "Position",
    "map.field_alias": "Other names",
    "map.not_on_record": "not on record",
    "map.suspect": (
        "Suspect: this boundary is shorted, and this joint lies on a way between its"
        " two structures. Which one joins them is not known yet."
    ),
    "map.doubt": "The position is in doubt and awaits a decision.",
    "map.nowhere": "No position on record: listed, not drawn.",
    "map.accuracy": "± {metre} m",
    "map.accuracy_unknown": "accuracy not on record",
    "map.glyph_label": "{verdict}, {due}",
    "map.location_label": "Where {tag} is",
    "map.route_label": "Stops of the route in order",
    "map.depot": "depot",
    "map.leaflet": "Drawn with Leaflet 1.9.4 (BSD 2-clause, inside this file).",
}

"""The sheets that people keep, and which columns each may carry.

A sheet's columns are the labels of its record's fields; only what differs is written
here. Column names stand in users' files: rename one only with an alias kept.
"""

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, field, fields

from jointmap.register import ABOUT_THE_ROW, FORMS, Column

REASON_COLUMN = "correction_reason"


@dataclass(frozen=True, slots=True)
class Sheet:
    """One kind of file: the record kind it fills and its columns."""

    name: str
    kind: str
    suffix: str = ".csv"
    hidden: tuple[str, ...] = ()  # fields that no column fills directly
    extra: tuple[str, ...] = ()  # columns that are no field of the record
    extra_required: tuple[str, ...] = ()
    whole: bool = False  # a row with a bad value cannot stand without it
    columns: Mapping[str, Column] = field(default_factory=dict)

    @property
    def accepted(self) -> tuple[str, ...]:
        """Every heading this sheet may carry."""
        return (*self.columns, *self.extra_required, *self.extra, REASON_COLUMN)

    @property
    def required(self) -> tuple[str, ...]:
        """Every heading this sheet must carry."""
        must = {
            f.name
            for f in fields(FORMS[self.kind].record)
            if f.default is MISSING and f.default_factory is MISSING
        }
        own = [label for label, c in self.columns.items() if c.name in must]
        return (*own, *self.extra_required)


PLACE_COLUMNS = ("latitude", "longitude", "easting", "northing", "crs")
_JOINT_PLACE = ("position_method", "position_accuracy", "position_on")


def _sheet(name: str, kind: str, **more: object) -> Sheet:
    hidden = (*ABOUT_THE_ROW, *more.pop("hidden", ()))  # type: ignore[misc]
    columns = {
        c.label: c
        for c in FORMS[kind].columns
        if c.name not in hidden and not c.name.endswith("_bound")
    }
    return Sheet(name, kind, hidden=hidden, columns=columns, **more)  # type: ignore[arg-type]


# In the order in which references between them can be resolved.
_ALL = (
    _sheet("this_site", "site", suffix=".toml"),
    _sheet("people", "person"),
    _sheet("qualifications", "qualification"),
    _sheet("instruments", "instrument"),
    _sheet("certificates", "certificate"),
    _sheet("decisions", "decision"),
    _sheet(
        "adopted",
        "rule",
        hidden=tuple(c.name for c in FORMS["rule"].columns),
        extra_required=("catalogue", "name", "from_on"),
        extra=("until_on", "decision"),
        whole=True,
    ),
    _sheet("rules", "rule", whole=True),
    _sheet("limits", "limit", whole=True),
    _sheet("lines", "line", suffix=".geojson"),
    _sheet(
        "chainages",
        "chainage",
        hidden=("tie_points",),
        extra_required=("post", "latitude", "longitude"),
        whole=True,
    ),
    _sheet("structures", "structure"),
    _sheet("sources", "source"),
    _sheet("boundaries", "boundary"),
    _sheet("joints", "joint", extra=(*PLACE_COLUMNS, *_JOINT_PLACE)),
    _sheet("aliases", "alias"),
    _sheet("test_points", "test_point"),
    _sheet("leads", "lead"),
    _sheet("devices", "device"),
    _sheet(
        "installations",
        "installation",
        hidden=("device_id",),
        extra_required=("joint", "device_fitted_on"),
    ),
    _sheet("paths", "path"),
    _sheet("occurrences", "occurrence"),
    _sheet("crews", "crew"),
    _sheet("days_off", "day_off"),
    _sheet("roads", "road", suffix=".geojson"),
    _sheet(
        "positions",
        "position",
        hidden=(
            "subject_id",
            "latitude_deg",
            "longitude_deg",
            "captured_x",
            "captured_y",
            "captured_crs",
        ),
        extra_required=("name",),
        extra=PLACE_COLUMNS,
        whole=True,
    ),
    _sheet("tests", "test", whole=True),
    # The file is named by its place in the folder that holds the sheet.
    _sheet("attachments", "attachment", extra=("file",)),
)

SHEETS: dict[str, Sheet] = {s.name: s for s in _ALL}

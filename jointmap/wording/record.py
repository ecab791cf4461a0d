"""Sentences on records that are refused."""

SENTENCES: dict[str, str] = {
    "columns.beyond": "a number of a record is {value}; at most {most} can be reckoned"
    " with",
    "record.unreadable": "the record cannot be read ({error})",
    "record.missing": "{field} is missing",
    "record.word": "{value} is no word of the list for {field}",
    "record.type": "{field} holds {value}, which is of the wrong type",
    "record.not_finite": "{field} is not a finite number",
    "record.nul": "{field} holds a NUL character",
    "record.not_utc": "{field} is not a UTC instant",
    "boundary.same_structure": "both sides of boundary {boundary} are the same"
    " structure;"
    " name two different structures",
    "device.removed_before_fitted": "the device was removed on {on}, before it was"
    " fitted",
    "device.gasket_ring": "the pressed ring of the gasket is {inside:metre} inside and"
    " {outside:metre} outside; the inside is the smaller one",
    "device.nut_factor": "nut factor {factor}; write a figure between 0 and 1, such as"
    " 0.16, from the lubricant's own test",
    "device.stud_count": "{count} studs; write 1 or more, or leave the cell empty",
    "position.range": "{value} is no place on the globe; at most {most} either way",
    "test.no_place": "a test of a {scope} must name its {field}",
    "test.no_stud": "a test of a stud must name the stud, counted from 1",
    "test.zero": "0 ohm is no reading: write the least that the meter can show, such as"
    " < 0.1 ohm; over range is written > and the top of the range",
    "test.negative": "a resistance cannot be negative; write the reading as shown,"
    " or repeat the test with the leads changed over",
}

"""Sentences of places, lines and kilometre posts."""

SENTENCES: dict[str, str] = {
    "place.crs_unknown": (
        "The reference system {crs} is not known. Write its EPSG number, such as "
        "EPSG:32624."
    ),
    "place.crs_not_metres": (
        "{crs} does not measure in metres on a plane. The site's working system must, "
        "such as a UTM zone."
    ),
    "place.out_of_range": (
        "There is no such place: a latitude ends at 90 degrees, a longitude at 180."
    ),
    "place.outside_site": (
        "The place lies outside the site. Check the numbers and their reference system."
    ),
    "place.axes_swapped": (
        "The two numbers look swapped: the other way round the place lies in the site."
    ),
    "place.sign_lost": (
        "A minus sign looks lost or one too many: without the mistake the place lies "
        "in the site."
    ),
    "place.other_zone": (
        "Easting and northing fit the neighbouring zone, EPSG:{detail}. As sent, the "
        "place is {distance:metre} from there."
    ),
    "place.other_measuring": (
        "The stated post fits another measuring of the line, to {distance:metre}. It "
        "may be a post of that measuring."
    ),
    "place.moved_together": (
        "{detail} places of this file lie {distance:metre} off their stated posts, "
        "all in one direction ({east:metre} east, {north:metre} north). A difference "
        "of datum is the likely cause."
    ),
    "place.far_from_line": "The place is {distance:metre} from its line.",
    "place.far_from_post": (
        "The place is on its line but {distance:metre} from the stated post."
    ),
    "place.degrees": "latitude {y}, longitude {x}",
    "place.metres": "easting {x}, northing {y}, crs {crs}",
    "place.proposal": "latitude {latitude}, longitude {longitude}",
    "place.unreadable": (
        "The coordinates cannot be read in {crs}. Write two plain numbers, and an EPSG "
        "number such as EPSG:32624."
    ),
    "shape.vertices": (
        "{count} points in one line; accepted: at most {most}, cut it in two"
    ),
    "shape.globe": (
        "this is no place on the globe; accepted: longitude, then latitude, in degrees"
        " ({source})"
    ),
    "shape.date_line": (
        "the line crosses the meridian of 180 degrees, over which no map is drawn here;"
        " cut it in two there"
    ),
    "shape.no_length": (
        "the {count} points are one place, so the line has no length; give two places"
        " or more"
    ),
    "shape.piece": (
        "from this point to the next are {length:metre}; accepted: at most {most:metre}"
        " without a bend (our choice)"
    ),
    "chainage.stretch": (
        "the posts span {posts:metre}, but the line between its first and last tie"
        " point is {metres:metre} long; accepted: posts within a factor of {most:g} of"
        " the line (our choice)"
    ),
    "chainage.ticks": "a line has more than {most} whole posts; nobody can draw them",
    "line.no_length": (
        "The line has no length: it needs two vertices apart, all of them numbers."
    ),
    "chainage.too_few": (
        "{ties} tie points: a measuring needs at least two, one at each end."
    ),
    "chainage.off_line": (
        "The tie point at KP {post:.3f} is {distance:metre} from the line. Check its "
        "place."
    ),
    "chainage.not_rising": (
        "The tie point at KP {post:.3f} comes after KP {before:.3f}. Posts must rise."
    ),
    "chainage.against_line": (
        "KP {post:.3f} does not lie beyond KP {before:.3f} along the line. The line "
        "must be drawn in the direction in which posts rise."
    ),
}

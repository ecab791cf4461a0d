"""Sentences of routes: what was left out, what a crew's words mean, what is wrong."""

_WINDOW = "It may be visited from {earliest} to {last}."

SENTENCES: dict[str, str] = {
    "crew.weekday": (
        "{value} is no weekday. Write days by three letters or more, such as Mon-Fri."
    ),
    "clock.unknown": "{value} is no clock time. Write hours and minutes, as 07:30.",
    "season.unknown": "{value} is no day of the year. Write month and day, as 04-15.",
    "road.no_length": "Road {road} has no length.",
    "road.no_speed": "Road {road} has no speed above nought.",
    "route.no_crew_day": "No crew works on any day allowed for it. " + _WINDOW,
    "route.closed": (
        "On every day on which a crew works it cannot be reached: season, berth or "
        "closed days. " + _WINDOW
    ),
    "route.area": "No crew that works in its area is on duty then. " + _WINDOW,
    "route.two_persons": (
        "It needs two persons, and no crew of two is on duty then. " + _WINDOW
    ),
    "route.permit_hours": (
        "The test does not fit into its permit hours {permit_from} to {permit_until}."
    ),
    "route.too_long": (
        "Even as the only stop of a day it does not fit into any crew's hours."
    ),
    "route.no_room": (
        "The crews' hours are full on every day on which it may be visited. " + _WINDOW
    ),
    "route.nowhere": "No joint marks its place, so no way to it is known.",
    "help.route.no_crew_day": "Another crew, or a working day in that time.",
    "help.route.closed": "Ask for access out of season, or test it in another month.",
    "help.route.area": "Let another crew work in its area.",
    "help.route.two_persons": "A second person for one of the crews.",
    "help.route.permit_hours": "Ask for longer permit hours, or start from nearby.",
    "help.route.too_long": "Split the test over two days, or start from nearby.",
    "help.route.no_room": "One more crew day, or a stop with a later day given up.",
    "help.route.nowhere": "Plan it by hand, or have the reading sent in.",
    "check.forgotten": "Joint {joint_id} is neither planned nor named as left out.",
    "check.doubled": "Joint {joint_id} stands in the plan {count} times.",
    "check.unknown_joint": "Joint {joint_id} is not among those to be visited.",
    "check.no_reason": "Joint {joint_id} is left out without a reason.",
    "check.unknown_crew_day": "The visit of joint {joint_id} belongs to no crew-day.",
    "check.day": "Joint {joint_id} is planned on {day}, outside its allowed days.",
    "check.closed": "Joint {joint_id} cannot be reached on {day}.",
    "check.crew_size": "Joint {joint_id} needs two persons; the crew of {day} is one.",
    "check.area": "The crew of {day} does not work in the area of joint {joint_id}.",
    "check.time_backwards": "Work at joint {joint_id} starts before arrival on {day}.",
    "check.service_time": "The time at joint {joint_id} on {day} is not what it takes.",
    "check.permit": "Joint {joint_id} on {day} is outside its permit hours.",
    "check.route_rows": "Crew-day {crew_day} has {count} lines of totals, not one.",
    "check.two_places": "Crew {crew} is on more than one route on {day}.",
    "check.order": "The stops of crew {crew} on {day} are not numbered 1 to n.",
    "check.hours": "Crew {crew} is on the road outside its hours on {day}.",
    "check.leg": "The way to joint {joint_id} on {day} does not take that long.",
    "check.total": "The total {name} of crew {crew} on {day} is not that of its stops.",
}

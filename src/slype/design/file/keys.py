"""Keys of the design file, one record each: the reader, the help and the guide say the same."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Key:
    """One key of the file: its `table`, what it `takes`, and `help`."""

    table: str
    name: str
    takes: str
    help: str


KEYS = tuple(
    Key(*row)
    for row in (
        ("", "version", "1", "form of the file"),
        ("basket", "title", "text", "what the sheet is headed with"),
        (
            "basket",
            "hand",
            "right | left",
            "working hand; a right-handed maker works towards the right, seen from outside",
        ),
        ("basket", "wording", "us | uk", "spoke and reed, or stake and cane"),
        ("basket", "units", "in | cm", "what is printed"),
        ("spokes", "reed", "reed", 'a reed, like "round 5" or { mm = 3.4 }'),
        ("spokes", "ends", "count", "standing ends at the side, before any are added"),
        ("spokes", "inserted", "true | false", "side spokes pushed in beside base sticks, or base spokes turned up"),
        ("spokes", "per_end", "count", "reeds side by side in each end"),
        ("spokes", "colour", "colour", "colour of the spokes"),
        ("spokes", "base_reed", "reed", "reed of the base sticks, when side spokes are inserted"),
        ("spokes", "base_ends", "count", "ends round the base, when side spokes are inserted"),
        ("spokes", "insertion", "length", "how deep side spokes are pushed in"),
        (
            "spokes",
            "long_sticks",
            "count",
            "sticks along a base that is not round; the rest lie across (left out: evenly round the edge)",
        ),
        (
            "bye_spokes",
            "reed",
            "reed",
            "reed of a bye-spoke beside every end of the side; left out, that of the spokes",
        ),
        ("bye_spokes", "from", "base | upsett", "pushed in beside the spokes at the base's edge, or in the upsett"),
        ("bye_spokes", "to", "border | below", "woven down in the border, or cut off below it"),
        ("bye_spokes", "insertion", "length", "how deep they are pushed in"),
        ("bye_spokes", "colour", "colour", "colour of the bye-spokes; left out, that of the spokes"),
        (
            "foot",
            "border",
            "border | list of rows",
            "a foot below a woven base: its border, a name, or rows as of [border]",
        ),
        ("foot", "reed", "reed", "reed of the ends pushed in for it; left out, that of the spokes"),
        ("foot", "colour", "colour", "colour of these ends; left out, that of the spokes"),
        ("foot", "insertion", "length", "how deep they are pushed in"),
        ("foot", "rows", "count", "rows woven on them before the border"),
        ("foot", "weave", "weave", "weave of these rows, a three-rod wale if not said"),
        ("foot", "weaver", "reed", "reed of the weavers; left out, that of the first side band"),
        ("foot", "colours", "list of colours", "of the weavers, as of a band"),
        ("form", "outline", "round | oval | rectangle", "shape from above"),
        ("form", "base", "length | [length, width]", "diameter of the base, or its length and width"),
        ("form", "corner", "length", "radius of a rectangle's corners (an inch where it is not said)"),
        (
            "form",
            "wall",
            "list of [height, diameter] | list of [height, length, width]",
            "points of the wall from the base upwards",
        ),
        ("base", "kind", "laid cross | pierced cross | interlaced | board", "what the base begins with"),
        ("base", "through", "count", "sticks passed through the others, of a pierced cross"),
        ("base", "sets", "count", "sticks in each set of an interlaced base"),
        ("base", "odd", "half | cut out | added", "how an odd count of ends comes about"),
        ("base", "begin", "cut | folded", "two cut weavers in the first row, or one folded in half round an arm"),
        ("base", "beside", "1 | 2", "side spokes pushed in beside each base end; then [spokes] may leave out ends"),
        ("base", "foot", "border | list of rows", "the border below a board: a name, or rows like those of [border]"),
        ("base", "margin", "length", "from the middle of a board's holes to its edge"),
        ("base", "thickness", "length", "of a board"),
        ("band", "where", "base | side", "where the band is worked"),
        ("band", "weave", "weave", "name of the weave; leave out for a free weave"),
        ("band", "weavers", "count", "weavers of a free weave"),
        ("band", "over", "count", "spokes passed in front"),
        ("band", "under", "count", "spokes passed behind"),
        ("band", "cycle", "list of counts", "over, under, over, under … of a longer cycle"),
        ("band", "turns", "stroke | round | back", "how the weavers take turns in a free weave"),
        (
            "band",
            "reverse",
            "true | false | alternate",
            "lay the moved weaver under the others, or so in every second row",
        ),
        ("band", "strands", "count", "reeds worked as one (slewing)"),
        ("band", "groups", "count", "ends worked as one"),
        (
            "band",
            "odd",
            "with | alone",
            "ends that groups leave over: one each with the first groups, or a group of their own, the first",
        ),
        ("band", "reed", "reed", "reed of the weavers"),
        ("band", "colours", "list of colours", "one for all, one per weaver, or one per strand"),
        ("band", "rows", "count", "how far: so many rows"),
        ("band", "height", "length", "how far: so much along the surface"),
        ("band", "until", "length | top", "how far: to this width of the base, this height of the wall, or its top"),
        ("band", "start", "count", "space in which the first weaver is set, counted from 1"),
        ("band", "blocks", "{ rows, shift }", "after so many rows end the weavers and start so many spaces further on"),
        ("band", "length", "length", "length of one weaver, for joins"),
        ("band", "add", "count", "ends pushed in beside others before this band; they stand from there on"),
        ("band", "add_at", "round | curves", "spread them all round, or only on the round ends of an oval"),
        ("border", "kind", "border", 'name of a border, like "three-rod plain" (see: slype border)'),
        ("border", "rows", "list of rows", 'or row by row, each like "behind 1 out", "over 3 in", "over 2 down"'),
        ("handle", "kind", "bow | rope | side | side rope", "which kind of handle"),
        ("handle", "core", "reed", "reed of the arch; a rope handle may do without"),
        ("handle", "cores", "count", "reeds side by side in the core"),
        ("handle", "wrap", "reed", "reed it is wrapped with, or twisted of"),
        ("handle", "strands", "count", "reeds side by side in each turn of the wrapping"),
        ("handle", "rods", "count", "reeds of a rope handle"),
        ("handle", "turn", "length", "length in which the reeds of a rope handle go round once"),
        ("handle", "across", "length", "from foot to foot; left out, a bow spans the mouth"),
        ("handle", "height", "length", "how high above the border; left out, a bow stands as high as the basket"),
        ("handle", "depth", "length", "how deep each end is pushed down beside its spoke"),
        ("handle", "count", "count", "how many alike"),
        ("handle", "colour", "colour", "colour of core and wrapping"),
        ("lid", "seat", "on | inside | over", "how the lid sits"),
        ("lid", "spokes", "table", "like [spokes]: the lid's own"),
        ("lid", "base", "table", "like [base]: how the lid's own cross is laid, and how an odd count comes about"),
        ("lid", "band", "list of tables", "like [[band]]: the lid's own; the last flat one goes to the edge"),
        ("lid", "border", "border | list of rows", "the lid's own: a name, or rows as of [border]"),
        ("lid", "play", "length", "room all round between lid and seat"),
        ("lid", "across", "length", "width of the lid; left out, it follows from the mouth"),
        ("lid", "depth", "length", 'depth of the lid\'s own side, for seat = "over"'),
        ("colours", "*", "#rrggbb", "colours of your own by name"),
        ("reeds", "*", "table", "your own measurements by reed: mm, coil_mass, coil_length, strand"),
        ("pace", "strokes_per_minute", "number", "your weaving speed; a beginner's unless you say"),
        ("pace", "border_seconds", "number", "time for one end in one border row"),
        ("pace", "join_seconds", "number", "time to set in or join one reed"),
        ("pace", "pack_seconds", "number", "time to pack one row down"),
        ("pace", "stick_seconds", "number", "time to lay and tie one stick of the base"),
        ("pace", "push_seconds", "number", "time to push in one side spoke"),
        ("pace", "turn_seconds", "number", "time to turn up one spoke"),
        ("pace", "trim_seconds", "number", "time to trim one tip"),
        ("pace", "reserve_percent", "number", "extra reed to buy"),
        ("prices", "currency", "text", "sign in front of every price"),
        ("prices", "coil", "number", "what one coil of reed costs you"),
        ("prices", "coils", "table of reed = number", "the same for single reeds that cost another price"),
        ("prices", "hour", "number", "what you ask for an hour of work"),
        ("prices", "overhead_percent", "number", "added to reed and work, for rent, tools and all else"),
        (
            "gauge",
            "rows",
            "list of tables",
            "rows you measured, each { weave, reed, rows, height }: so many rows stood so high; and if you like "
            "take_up (weaver over way round) and strokes_per_minute",
        ),
        (
            "gauge",
            "border",
            "length",
            "what one end of this border took above the last row, with what your fingers held",
        ),
        ("gauge", "fingers", "length", "what your fingers hold to draw the last ends of a border tight"),
        ("gauge", "tail", "length", "how long you leave the tail at each end of a weaver"),
        (
            "gauge",
            "short_costs",
            "number",
            "how many times an inch too short costs you what an inch too much does; 19: spokes are cut long enough 19 "
            "times in 20",
        ),
        ("gauge", "from", "text", "whose measure this is"),
        (
            "gauge",
            "learned",
            "list of tables",
            "what a book learned, each { quantity, weave, reed, times, between }: times what slype reckons, and "
            "between which figures 19 in 20 lie",
        ),
    )
)
NUMBERS = {key.name: {"ends": 28, "rows": 12}.get(key.name, 2) for key in KEYS if key.takes in ("count", "number")}
"""Keys whose value is a number and nothing else, each with an example."""
FLAGS = tuple(key.name for key in KEYS if key.takes.startswith("true | false"))
"""Keys whose value is true or false."""
TABLES = tuple(dict.fromkeys(key.table for key in KEYS if key.table))
OTHER_WORDS = {"rim": "border", "color": "colour", "colors": "colours"}
"""What makers also write for a table or a key of the file, and what slype calls it."""
NAMES_IN = ("colours", "reeds")
"""Tables whose keys are names of the maker's own, which stay as they are written."""


def known_keys(table: str) -> tuple[str, ...]:
    return tuple(key.name for key in KEYS if key.table == table)

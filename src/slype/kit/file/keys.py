"""Keys of the class file and headings of the CSV files beside it, one record each, for reader, guide and reference."""

from __future__ import annotations

from ...design.file.keys import Key

CLASS_KEYS = tuple(
    Key(*row)
    for row in (
        ("", "version", "1", "form of the file"),
        ("class", "title", "text", "what everything printed is headed with"),
        ("class", "place", "text", "where it is held"),
        ("class", "day", "date", "the day, like 2027-03-13"),
        ("class", "hours", "[time, time]", 'start and end, like ["9:30", "16:30"]'),
        ("class", "breaks", "list of [time, time]", 'breaks, like [["12:30", "13:15"]]'),
        ("class", "design", "file", "the design that everyone weaves who names no other"),
        ("class", "roster", "file", "students, a CSV file"),
        ("class", "seats", "count", "how many students, where nobody is named"),
        ("class", "left", "count", "so many of these are left-handed, the others right-handed; left out, as designed"),
        ("class", "helpers", "count", "who helps the teacher: the more, the less anybody waits"),
        ("class", "spare", "count", "kits made and kept back"),
        ("class", "spare_percent", "number", "or so many for every hundred seats, rounded up"),
        ("class", "prepared", "nothing | base | base and upsett", "what is woven before the class"),
        ("class", "skill", "first basket | some | experienced", "skill of a student whose row does not say"),
        ("class", "shelf", "file", "reed on the shelf, a CSV file"),
        ("class", "prices", "file", "prices, a CSV file"),
        ("class", "names", "true | false", "print the students' names; false leaves them off everything"),
        ("class", "bind", "true | false", "put every kit's pattern sheet into the folder's PDF"),
        ("class", "paper", "a4 | letter", "size of the paper"),
        ("sizes", "(name)", "percent", 'a size by name, like small = "85 %"'),
        ("colours", "(name)", "#rrggbb", "a colour of the class's own, as in a design"),
        ("reeds", "(reed)", "table", "your own measurements, as in a design"),
        ("student", "seat", "count", "number of the seat"),
        ("student", "name", "text", "who sits there"),
        ("student", "hand", "right | left", "working hand"),
        ("student", "wording", "us | uk", "spoke and reed, or stake and cane"),
        ("student", "units", "in | cm", "what is printed"),
        ("student", "skill", "first basket | some | experienced", "how many baskets they have behind them"),
        ("student", "design", "file", "a design of their own"),
        ("student", "size", "percent or name", 'like "85 %", or a name from [sizes]'),
        ("student", "colours", "table", 'the design\'s colours and what is worn in their place: { rust = "moss" }'),
        ("shelf", "reed", "reed", "which reed"),
        ("shelf", "colour", "colour", "its colour; natural unless it says"),
        ("shelf", "strands", "list of [length, count]", 'strands counted by length, like [["10 ft", 14]]'),
        ("shelf", "coils", "number", "or so many coils, of the length that their strands have"),
        ("shelf", "mass", "mass", "or so much by weight"),
        ("shelf", "length", "length", "of coils and weight: the longest strand; in a CSV file: of each strand"),
        ("shelf", "shortest", "length", "of coils and weight: the shortest strand, where they differ"),
        ("shelf", "count", "count", "in a CSV file: how many strands of this length"),
        ("prices", "currency", "text", "the sign"),
        ("prices", "hour", "money", "an hour of the maker's work, where no other hour says more"),
        ("prices", "teaching_hour", "money", "an hour of teaching"),
        ("prices", "preparing_hour", "money", "an hour of preparing"),
        ("prices", "helper_hour", "money", "an hour of a helper"),
        ("prices", "room", "money", "the room for the day"),
        ("prices", "travel", "money", "travel for the day"),
        ("prices", "dye", "money", "dye for each colour"),
        ("prices", "extras", "money", "tools, tea and the like, for each seat"),
        ("prices", "overhead_percent", "number", "overhead on everything before it"),
        ("prices", "fee", "money", "asked of each student"),
        ("prices", "rounding", "money", "what fees and prices are rounded up to"),
        ("pack", "reed", "reed", "which reed this says how to buy"),
        ("pack", "mass", "mass", "weight of a pack; as the table of reeds says unless given"),
        ("pack", "price", "money", "price of a pack"),
        ("pack", "strand", "length", "the longest strand from it"),
        ("pack", "shortest", "length", "the shortest strand from it, where they differ"),
        ("dye", "colour", "colour", "which colour this dyes"),
        ("dye", "kind", "reactive | direct | acid | packet", "what kind of dye"),
        ("dye", "shade", "light | medium | dark", "depth of shade"),
        ("dye", "swatch_dye", "mass", "dye that gave this shade on your swatch"),
        ("dye", "swatch_reed", "mass", "dry reed of that swatch"),
        ("dye", "swatch_of", "reed", "size of reed of that swatch"),
        ("dye", "litres", "number", "what the pot takes"),
        ("dye", "packet", "mass", "dye in a packet, where it is sold so"),
        ("pace", "(key)", "number", "the teacher's watch, keys as in a design's [pace]"),
        ("pace", "spread_percent", "number", "how far students of one skill differ from each other"),
        ("pace", "asks_every", "number", "minutes of work between two questions of a student"),
        ("pace", "answer_minutes", "number", "minutes an answer takes"),
        ("days", "order", "count", "days from ordering to having it"),
        ("days", "dye", "count", "days of dyeing"),
        ("days", "dry", "count", "days of drying before it is cut"),
        ("days", "cut", "count", "days of cutting"),
        ("days", "bundle", "count", "days of bundling"),
        ("cutting", "aim", "shelf | reed | cost", "empty the shelf first, use the least reed, or pay the least"),
        ("cutting", "least", "length", "no piece of a joined weaver is shorter"),
        ("cutting", "join_more", "true | false", "join weavers that one strand is enough for, where that saves reed"),
        ("cutting", "longer", "true | false", "cut spokes to the longer figure; left out: for first baskets"),
        ("cutting", "dye_cut", "true | false", "dye what is cut; left out: whole strands, cut when they are dry again"),
        ("cutting", "useful", "length", "ends so long are kept; left out: as long as the shortest piece of that reed"),
        ("cutting", "seconds", "number", "how long the best plan is looked for"),
        ("cutting", "chance_percent", "number", "how sure that bought reed of unmeasured length is enough"),
        ("cutting", "seed", "count", "another number, other luck"),
        ("labels", "width", "length", "of one label; left out, labels are cut from plain paper"),
        ("labels", "height", "length", "of one label"),
        ("labels", "columns", "count", "labels side by side"),
        ("labels", "rows", "count", "labels below each other"),
        ("labels", "left", "length", "from the paper's edge to the first"),
        ("labels", "top", "length", "from the paper's edge to the first"),
        ("labels", "across", "length", "from one label's left edge to the next one's"),
        ("labels", "down", "length", "from one label's top edge to the next one's"),
    )
)
TABLES = tuple(dict.fromkeys(key.table for key in CLASS_KEYS if key.table))
LISTS = ("student", "shelf", "pack", "dye")
"""Tables that are written once for each thing: [[student]]."""


def known(table: str) -> tuple[str, ...]:
    """Keys that a table takes."""
    return tuple(key.name for key in CLASS_KEYS if key.table == table)


ROSTER = {
    "seat": ("seat", "place", "no", "nr", "number"),
    "name": ("name", "student", "who"),
    "hand": ("hand", "handed"),
    "wording": ("wording", "words"),
    "units": ("units", "unit"),
    "skill": ("skill", "level", "experience"),
    "design": ("design", "basket", "file"),
    "size": ("size",),
    "colours": ("colours", "colors"),
}
SHELF = {
    "reed": ("reed", "cane", "size"),
    "colour": ("colour", "color"),
    "length": ("length", "longest"),
    "count": ("count", "strands", "how many"),
    "coils": ("coils",),
    "mass": ("mass", "weight"),
    "shortest": ("shortest",),
}
PRICES = {
    "item": ("item", "what", "reed"),
    "price": ("price", "cost", "amount"),
    "mass": ("mass", "pack", "weight"),
    "strand": ("strand", "length", "longest"),
    "shortest": ("shortest",),
}
"""Headings of the CSV files and how else they may be written."""

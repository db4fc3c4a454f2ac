"""What to buy and what to dye, in words."""

from __future__ import annotations

from collections import Counter

from ...kit.assigned import Strand
from ...kit.dyeing import LITRES_PER_KG, MARGIN, ML_PER_CUP, ML_PER_GALLON, SHADE_SHARE, Bath
from ...kit.seats import in_runs
from ...kit.shopping import Line, Substitute
from ...kit.worked import Worked
from ...quantity import show_coil, show_length, show_mass, show_piece, show_run
from ...sources import SOURCES
from ...words import listed, say, several, worded
from .blocks import Block, Heading, Lines, Opened, Part, Table
from .cutting import bench, strands_told


def shown(currency: str, amount: float) -> str:
    """`$12.40`, or `12.40 kr` where the sign is a word."""
    sign = "–" if amount < 0 else ""
    figure = f"{abs(amount):.2f}"
    return f"{sign}{figure} {currency}" if currency.isalpha() else f"{sign}{currency}{figure}"


def shopping(made: Worked) -> Part:
    """The shopping list, with what the shelf gives and what will be left."""
    wording, units, sign = _ways(made)
    rows = []
    for line in made.lines:
        cost = "–" if line.cost is None or not line.packs else shown(sign, line.cost)
        packs = several(line.packs, "pack") + f" of {show_coil(line.mass_g, units)}" if line.packs else "nothing"
        left = several(line.left, "strand") if line.packs else "–"
        rows.append((line.reed.named(wording), packs, cost, f"{line.used} of {line.shelf}", str(line.needed), left))
    head = ("Reed", "Buy", "Cost", "From the shelf", "New strands", "Left of the last pack")
    opens = tuple(_line_opened(made, line) for line in made.lines)
    blocks: list[Block] = [
        Table(_worded_head(head, wording), tuple(rows), frozenset({2, 3, 4, 5}), 1, True, opens=opens)
    ]
    total = sum(line.cost or 0.0 for line in made.lines)
    if total:
        missing = [line.reed.named(wording) for line in made.lines if line.packs and line.cost is None]
        more = f" Not counted, for want of a price: {listed(missing)}." if missing else ""
        blocks.append(Lines((f"In all {shown(sign, total)}.{more}",)))
    blocks.append(Lines(tuple(_pack_told(line, wording, units) for line in made.lines if line.packs), True))
    sure = [line for line in made.lines if line.sure is not None]
    if sure:
        blocks += [
            Heading("Lengths that were not measured"),
            Lines(tuple(_sure(line, wording, units) for line in sure)),
        ]
    return Part("shopping", "Shopping", (*blocks, *_substitutes(made)))


def _line_opened(made: Worked, line: Line) -> Opened:
    """How what to buy of one reed comes about."""
    _, units, sign = _ways(made)
    (cut,) = [each for each in made.reeds if each.reed == line.reed]
    pieces = sum(len(strand.pieces) for strand in cut.strands)
    out = [
        ("in all kits", show_run(cut.cut_mm, units), f"{several(pieces, 'piece')} that the kits hold"),
        ("strands cut", str(line.used + line.strands), f"{show_run(cut.taken_mm, units)}, by the cutting plan"),
        ("from the shelf", str(line.used), f"of {line.shelf} that lie there"),
    ]
    if line.sure is not None:
        why = f"enough in {line.sure.chance * 100:g} of 100 cases; {line.strands} if every one were the shortest"
        out.append(("new strands", str(line.sure.strands), why))
    elif line.strands:
        out.append(("new strands", str(line.strands), "what the shelf does not give"))
    if line.packs:
        weight = f"{line.reed.heavy_g_per_mm * 1000:.2f} g a metre, by the heavier of its published weights"
        said = f"{show_coil(line.mass_g, units)} in strands of {strand_told(line, units)} at {weight}"
        out.append(("strands in a pack", str(line.per_pack), said))
        out.append(("packs", str(line.packs), f"{line.needed} in whole packs of {line.per_pack}"))
    if line.price is not None and line.packs and line.cost is not None:
        out.append(("cost", shown(sign, line.cost), f"{several(line.packs, 'pack')} at {shown(sign, line.price)}"))
    return tuple(out)


def _bath_opened(bath: Bath, units: str) -> Opened:
    """How the weight of a color, its baths and its dye come about."""
    out = []
    for reed, grams, strands in bath.reeds:
        why = f"{several(len(strands), 'strand')}, {reed.g_per_mm * 1000:.2f} g a metre, and {MARGIN:.0%} more"
        out.append((reed.named("us"), show_mass(grams, units), why))
    if bath.dye is None:
        return tuple(out)
    need = bath.strands_g / 1000 * LITRES_PER_KG
    pot = f"{LITRES_PER_KG:g} litres for a kilogram, in a pot of {bath.dye.bath_l:g}"
    out.append(("bath", water(need, units), pot))
    if bath.by == "swatch" and bath.dye.swatch_dye_g is not None and bath.dye.swatch_reed_g is not None:
        why = f"your swatch: {bath.dye.swatch_dye_g:g} g of dye on {bath.dye.swatch_reed_g:g} g of reed"
        out.append(("dye", dye_told(bath), why + (", by surface" if bath.dye.swatch_mm else "")))
    elif bath.recipe is not None:
        shade = f", {bath.dye.shade} ({SHADE_SHARE[bath.dye.shade]:.2g} of medium)" if bath.by == "recipe" else ""
        out.append(("dye", dye_told(bath), f"{bath.recipe.name}{shade}; {SOURCES[bath.recipe.source].citation}"))
    return tuple(out)


def _ways(made: Worked) -> tuple[str, str, str]:
    seat = made.kits[0].seat
    return seat.wording, seat.units, made.asked.prices.currency


def _worded_head(head: tuple[str, ...], wording: str) -> tuple[str, ...]:
    swap = {"Reed": say("{reed}", wording).capitalize(), "Color": "Colour" if wording == "uk" else "Color"}
    return tuple(swap.get(each, each) for each in head)


def _pack_told(line: Line, wording: str, units: str) -> str:
    return (
        f"{line.reed.named(wording)}: a pack is reckoned as {several(line.per_pack, 'strand')} of "
        f"{strand_told(line, units)}; count one and write down what it holds."
    )


def strand_told(line: Line, units: str) -> str:
    """How long a bought strand is: `10 ft`, or `8 ft 6 in to 10 ft`."""
    shortest, longest = bench(line.strand_mm, units), bench(line.longest_mm, units)
    return shortest if shortest == longest else f"{shortest} to {longest}"


def _sure(line: Line, wording: str, units: str) -> str:
    sure = line.sure
    assert sure is not None, "asked where it was tried"
    enough = "is enough" if sure.strands == 1 else "are enough"
    said = (
        f"{line.reed.named(wording)}: with every new strand at its shortest, {bench(line.strand_mm, units)}, the "
        f"cutting plan takes {line.strands}. Cut as they come, {sure.strands} {enough} in {sure.chance * 100:g} of 100 "
        f"cases, {sure.usual_strands} in the middle one: buy {several(sure.packs, 'pack')}."
    )
    if sure.fewest == sure.most:
        return f"{said} Measuring one coil first would not change that."
    either = f"{sure.fewest} {'or' if sure.most == sure.fewest + 1 else 'to'} {several(sure.most, 'pack')}"
    return f"{said} With one coil measured first it is {either}, {sure.packs_measured:.1f} on average."


def _substitutes(made: Worked) -> list[Block]:
    wording, units, _ = _ways(made)
    rows = [_substitute(each, wording, units) for each in made.substitutes]
    if not rows:
        return []
    head = _worded_head(
        ("Reed", "Instead", "Height", say("Each {spoke}", wording), "Weight", "To watch out for"), wording
    )
    return [
        Heading("Where a size is sold out"),
        Lines((f"Worked out for {made.kits[0].basket.design.title}, with the size next to it in every place.",), True),
        Table(head, tuple(rows), frozenset(), 5),
    ]


def _substitute(each: Substitute, wording: str, units: str) -> tuple[str, ...]:
    names = (each.reed.named(wording), each.other.named(wording))
    if each.trouble:
        return (*names, "–", "–", "–", f"Cannot be woven: {each.trouble}")
    watch = " ".join(f"{message}" for _, message in each.fresh[:2]) or "nothing new"
    return (*names, _change(each.height_mm, units), _change(each.spoke_mm, units), f"{each.mass - 1:+.0%}", watch)


def _change(mm: float, units: str) -> str:
    if abs(mm) < 1.6:
        return "same"
    return f"{'+' if mm > 0 else '–'}{show_length(abs(mm), units)}"


# Dyeing --------------------------------------------------------------------------------------------------------


HOW = {
    False: "Dye whole strands, dry them, and cut them then. Tie each colour's strands and give them a label.",
    True: "Cut first, from natural reed: tie each colour's pieces by bundle, dye them so, and dry them.",
}
"""How it is done when whole strands are dyed, and when what is cut is."""


def dyeing(made: Worked) -> Part | None:
    """The dye sheet, the palest bath first; None where nothing is dyed."""
    if not made.baths:
        return None
    wording, units, _ = _ways(made)
    head = _worded_head(("Color", worded("Dry reed", wording), "Baths", "Dye", "Salt and soda"), wording)
    rows = [_bath(bath, units) for bath in made.baths]
    bare = [bath.colour for bath in made.baths if bath.dye is None]
    first = [
        "The label and the safety sheet of the dye go first; local rules and qualified advice before this.",
        "Dye in this order, the pale ones first. " + HOW[made.asked.rules.dye_cut],
    ]
    if bare:
        first.append(f"For {listed(bare)} no dye is named: dye it, buy it dyed, or take it from the shelf.")
    blocks: list[Block] = [
        Lines(tuple(first)),
        Table(head, tuple(rows), frozenset({1}), 3, True, opens=tuple(_bath_opened(b, units) for b in made.baths)),
    ]  # fmt: skip
    for bath in made.baths:
        lines = _bath_told(bath, wording, units, made.asked.rules.dye_cut)
        blocks += [Heading(f"{bath.colour[:1].upper()}{bath.colour[1:]}"), Lines(lines)]
    words = {bath.recipe.key: bath.recipe for bath in made.baths if bath.recipe}
    for recipe in words.values():
        low, high = recipe.minutes
        blocks.append(Heading(f"{recipe.name[:1].upper()}{recipe.name[1:]}"))
        blocks.append(
            Lines((recipe.words, f"In the bath {_span(low, high)}. Source: {SOURCES[recipe.source].citation}."))
        )
    blocks.append(Lines((
        f"Weights hold {MARGIN:.0%} beyond what is taken, for what splits and for trials (common practice, no source). "
        "Baths are reckoned at 20 litres for a kilogram, so that the reed is covered and can be moved.",
        "Published recipes for reed go by the spoon and the packet, not by the weight of reed; colour stays in the "
        "skin, so thick reed takes less for its weight than thin (our inference). Dye a swatch; note what it took.",
    ), True))  # fmt: skip
    return Part("dyeing", "Dyeing", tuple(_in_wording(block, wording) for block in blocks))


def _in_wording(block: Block, wording: str) -> Block:
    """Sentences about dye with the trade's words of this wording; tables hold names, which have them already."""
    if isinstance(block, Lines):
        return Lines(tuple(worded(line, wording) for line in block.lines), block.quiet)
    return block


def _span(low: int, high: int) -> str:
    def say_minutes(minutes: int) -> str:
        return f"{minutes} minutes" if minutes < 120 else f"{minutes / 60:g} hours" if minutes % 60 == 0 else (
            f"{minutes // 60} h {minutes % 60} min"
        )  # fmt: skip

    return say_minutes(low) if low == high else f"{say_minutes(low)} to {say_minutes(high)}"


def _bath(bath: Bath, units: str) -> tuple[str, ...]:
    baths = f"{bath.baths} of {water(bath.litres, units)}" if bath.dye else "–"
    return (bath.colour, show_mass(bath.strands_g, units), baths, dye_told(bath), salts_told(bath, units))


def water(litres: float, units: str) -> str:
    """A bath: litres, or US gallons for whoever works in inches."""
    return f"{litres:.1f} L" if units == "cm" else f"{litres * 1000 / ML_PER_GALLON:.1f} gallons"


def measured(ml: float, units: str) -> str:
    """A powder by measure: millilitres, or US cups to the quarter for whoever works in inches; spoons below that."""
    quarters = round(ml / ML_PER_CUP * 4)
    if units == "cm" or quarters < 1:
        return f"{ml:.0f} ml" if units == "cm" else spoons(ml)
    whole, part = divmod(quarters, 4)
    piece = {0: "", 1: "1/4", 2: "1/2", 3: "3/4"}[part]
    return f"{whole or ''} {piece}".strip() + (" cup" if quarters <= 4 else " cups")


def dye_told(bath: Bath) -> str:
    """How much dye a colour takes, and by what it is reckoned."""
    if bath.by == "swatch":
        return f"{bath.dye_g:.1f} g, by your swatch"
    if bath.by == "recipe" and bath.dye_ml is not None:
        return f"{spoons(bath.dye_ml)}, by the published recipe"
    if bath.by == "packet":
        if bath.packets is not None and bath.packets < 0.95:
            return f"about 1/{max(2, round(1 / bath.packets))} of a packet"
        return f"about {bath.packets:.1f} packets"
    return "as the label says" if bath.dye else "no dye named"


def salts_told(bath: Bath, units: str) -> str:
    """Salt and soda for a colour."""
    if bath.salt_ml is None or bath.soda_ml is None:
        return "as the label says" if bath.dye else "–"
    return f"salt {measured(bath.salt_ml, units)}, soda ash {measured(bath.soda_ml, units)}"


def spoons(ml: float) -> str:
    """A volume of powder by the spoon: tablespoons of 15 ml and teaspoons of 5 ml."""
    size, name = (15, "tablespoon") if ml >= 15 else (5, "teaspoon")
    many = max(0.25, round(ml / size * 4) / 4)
    return f"{many:g} {name}{'' if many <= 1 else 's'} ({ml:.0f} ml)"


def numbers_told(strands: tuple[Strand, ...]) -> str:
    """`2 to 20 and 38`: which strands of the cutting list."""
    return in_runs([strand.number for strand in strands])


def _bath_told(bath: Bath, wording: str, units: str, dye_cut: bool) -> tuple[str, ...]:
    out = []
    for reed, g, strands in bath.reeds:
        mass, name = show_mass(g, units), reed.named(wording)
        if dye_cut:
            many = Counter(piece.length_mm for strand in strands for piece in strand.pieces)
            lengths = ", ".join(f"{n} of {show_piece(mm, units)}" for mm, n in sorted(many.items(), reverse=True))
            what = f"{several(sum(many.values()), 'piece')} of {name} ({mass}): {lengths}; cut from strands"
        else:
            what = f"{several(len(strands), 'whole strand')} of {name} ({mass}), {strands_told(list(strands), units)}; "
            what += "strands"
        out.append(f"In the pot: {what} {numbers_told(strands)} of its cutting list.")
    pieces = show_mass(bath.pieces_g * (1 + MARGIN), units)
    if not dye_cut and pieces != show_mass(bath.strands_g, units):
        out.append(f"Cut first and then dyed (dye_cut = true), {pieces} would do; whole strands keep together.")
    if bath.by == "swatch" and bath.dye is not None and bath.dye.swatch_mm:
        out.append("The swatch is scaled by surface, since it was of another size.")
    return tuple(out)

"""Words of the trade, each explained where it first stands in a basket's steps.

Meanings are templates of `words.say`; of a weave the table's own help would be too short for a beginner, so it is told
here once for each kind of move.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from ...design.values import Design
from ...words import TERMS, say
from .values import Step


@dataclass(frozen=True)
class Word:
    """A word: its `key`, how it is written (a template), `found` the pattern by which it stands in a text, `means`."""

    key: str
    written: str
    found: str
    means: str


WORDS = (
    Word("spoke", "{spoke}", r"{spoke}s?", "A stiff length that stands up; weavers go round it."),
    Word("stick", "base stick", r"base sticks?", "A stiff length of the base that ends at its edge."),
    Word("cross", "{cross}", r"the {cross}\b", "The first lengths, laid across each other: the middle of the base."),
    Word("end", "end", r"ends? stands?\b|one end\b", "What stands out of the base. A whole length has two."),
    Word("underside", "underside", r"underside", "The face of the base that will stand on the table."),
    Word("far side", "far side", r"far side", "The face of the base that you do not see: it will be the inside."),
    Word("space", "space", r"space 1", "The gap between two that stand. Spaces are numbered the way you weave."),
    Word("group", "group", r"groups?", "Several that lie side by side and are woven over as one."),
    Word("arm", "arm", r"arms?\b", "The ends of the {cross} that point one way, side by side."),
    Word("face", "front", r"from the front|to the front|comes to the front", "The side that faces you as you work."),
    Word("behind", "behind", r"behind",
         "On the other side of it, away from you: of a base on the far side, of a wall inside."),
    Word("tip", "tip", r"tips?\b", "The cut end of a {spoke}; that of a weaver is called tail."),
    Word("tail", "tail", r"tails?\b", "The cut end of a weaver."),
    Word("weaver", "weaver", r"weavers?", "A bendy length that goes in and out, round the basket."),
    Word("reed", "{reed}", r"{reed}", "The round core of rattan, a climbing palm, that is woven with."),
    Word("bodkin", "bodkin", r"bodkin", "A blunt-pointed steel pin with a handle; it opens a way in the weave."),
    Word("awl", "awl", r"awls?\b", "A thin, sharp steel point with a handle; it makes holes."),
    Word("slype", "slype", r"slype", "A long slanting cut, so that it slides in easily."),
    Word("stroke", "stroke", r"strokes?", "One move of one weaver: in front, behind, and out to the front again."),
    Word("row", "row", r"rows?\b", "One full round."),
    Word("nip", "nip", r"nip(?:ped)?\b", "To squeeze it flat with pliers where it will bend; also the flat place."),
    Word("upset", "{upsett}", r"the {upsett}", "The first firm rows of the side; they hold the {spokes} upright."),
    Word("band", "band", r"band \d", "Rows of one weave: once round is a row."),
    Word("pairing", "pairing", r"(?<!reverse )pairing", "Two weavers that twist round each other between what stands."),
    Word("reverse pairing", "reverse pairing", r"reverse pairing", "Pairing with the moved weaver under the other."),
    Word("randing", "randing", r"(?<!French )(?<!rib )(?<!twill )randing", "One weaver, in front of one, behind one."),
    Word("rib randing", "rib randing", r"rib randing", "One weaver, in front of two, behind one."),
    Word("twill randing", "twill randing", r"twill randing", "One weaver, in front of two, behind two."),
    Word("French randing", "French randing", r"French randing", "A weaver in every space, each laid over the last."),
    Word("chasing", "chasing", r"chasing",
         "Two weavers that go round one after the other; both once round is one row."),
    Word("slewing", "slewing", r"slewing", "Several weavers side by side, moved as one."),
    Word("wale", "wale", r"wal(?:e|ing)", "A firm weave with three or more weavers that take turns."),
    Word("chain wale", "chain wale", r"chain wale",
         "Two rows of wale; in the second each weaver goes under the others."),
    Word("rod", "rod", r"(?:three|four|five|six)-rod", "Here another word for a weaver: a three-rod wale has three."),
    Word("set in", "set in", r"set in", "To put the start of a weaver where it begins."),
    Word("wall", "wall", r"(?:up|on) the wall", "The side of the basket, measured up along it from its lowest row."),
    Word("spiral", "spirals", r"spirals?", "Lines of one {colour} that climb slantwise round the basket."),
    Word("checks", "checks", r"checks?\b|checkerboard", "Small squares of two {colour}s by turns."),
    Word("mouth", "mouth", r"mouth", "The opening at the top."),
    Word("border", "{border}", r"{border}", "The finished upper edge, made of the {spokes} themselves."),
    Word("arch", "arch", r"arch(?:es)?", "A bow that a {spoke} makes over its neighbours."),
    Word("over", "to pass over", r"pass(?:es)? over",
         "In the {border}: to lie further from the weaving than that one. Under is nearer to it."),
    Word("feet", "foot", r"(?:feet|foot) of \d", "Where a {spoke} comes up out of the weaving."),
    Word("slant", "on the slant", r"on the slant|to a slant", "Cut sloping, so that it lies flat."),
    Word("trim", "trim", r"trim", "To cut off what stands out, when all is done."),
    Word("bye", "bye-{spoke}", r"bye-{spoke}s?", "A second one pushed in beside one that stands."),
    Word("level", "level", r"weavers level", "Ended so that the last row runs on into the first without a gap."),
    Word("join", "join", r"join a new|joins fall", "Where a new length takes over from an old one."),
    Word("piece", "first piece", r"(?:first|last) piece",
         "What a weaver begins with; middle ones and the last are joined on in turn."),
    Word("cups", "to cup", r"cups\b", "To bend hollow, like a saucer."),
    Word("stump", "stump", r"stump\b", "What is left in the weaving of one that was cut off."),
    Word("scrap", "scrap", r"scrap\b", "A short length that is left over from cutting."),
    Word("start", "start", r"for starts? \d", "Where weavers are begun anew within a band; the first is start 1."),
    Word("wrapping", "wrapping", r"wrapping", "A flat or thin length wound closely round a handle."),
)  # fmt: skip


def _filled(template: str, wording: str) -> str:
    for name, term in TERMS.items():
        template = template.replace(f"{{{name}}}", term.uk if wording == "uk" else term.us)
    return template


_Patterns = dict[str, tuple[re.Pattern[str], re.Pattern[str]]]
"""By the key of a word: that it may stand in a text, and that it does, as a word; of small letters only. Texts are long
and most words stand in none: a pattern that begins with a letter is looked for many times as quickly."""


def _patterns(design: Design) -> _Patterns:
    found = {word.key: _filled(word.found, design.wording).lower() for word in WORDS
             if word.key != "arch" or design.border.is_open}  # fmt: skip
    return {key: (re.compile(pattern), re.compile(rf"\b(?:{pattern})")) for key, pattern in found.items()}


def words_in(text: str, design: Design) -> tuple[str, ...]:
    """Keys of the words of the trade that stand in a text, as `WORDS` has them in order."""
    return _stand_in(text, _patterns(design))


def _stand_in(text: str, patterns: _Patterns) -> tuple[str, ...]:
    small = text.lower()
    return tuple(key for key, (loose, word) in patterns.items() if loose.search(small) and word.search(small))


def explained(steps: tuple[Step, ...], design: Design) -> tuple[Step, ...]:
    """The steps, each with the keys of the words that first stand in it."""
    left = _patterns(design)
    out = []
    for step in steps:
        slips = [text for slip in step.slips for text in (slip.seen, slip.undo)]
        captions = [each.caption for each in step.drawings]
        said = " ".join((step.chapter, step.title, *step.does, *step.looks, *slips, *captions))
        here = _stand_in(said, left)
        for key in here:
            del left[key]
        out.append(replace(step, words=here))
    return tuple(out)


def meaning(key: str, design: Design) -> tuple[str, str]:
    """(the word as it is written, what it means) in a design's wording."""
    word = next(word for word in WORDS if word.key == key)
    written, means = (say(text, design.wording, design.hand) for text in (word.written, word.means))
    return written[:1].upper() + written[1:], means

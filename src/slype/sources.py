"""The bibliography: every number in slype names one of these.

Three kinds stand beside published texts: `memory` (recalled by us, not read: never a check value),
`practice` (common practice, no source) and `derived` (our own arithmetic from stated figures).
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Source:
    """One text: `key`; `short`, author and title, or the kind of word it is; what a citation says `more`, its first
    stop included; and what it is `good_for`."""

    key: str
    short: str
    more: str
    good_for: str

    @property
    def citation(self) -> str:
        """The whole of it, as printed."""
        return self.short + self.more


_ALL = (
    Source(
        "gill", "A. A. Gill, Practical Basketry",
        ", David McKay, Philadelphia 1916 (Project Gutenberg 38681)",
        "some seventy worked baskets in round reed; spoke lists, rows, borders, soaking. Contradicts itself in "
        "places; its allowances for borders are generous.",
    ),
    Source(
        "white", "M. White, How to Make Baskets",
        ", Doubleday, Page & Co., New York 1901/02",
        "the half spoke, open borders, reed numbers, soaking; read in excerpts.",
    ),
    Source(
        "turner", "L. W. Turner, The Basket Maker",
        ", Davis Press, Worcester 1909 (Project Gutenberg 75361)",
        "allowances for open borders at 1 inch spacing; stripes and spirals in two-colour pairing.",
    ),
    Source(
        "tinsley", "L. R. Tinsley, Practical and Artistic Basketry",
        ", pp. 36-38 (1904, year from memory)",
        "two open-border allowances, spacing not given.",
    ),
    Source(
        "shaw", "E. E. Shaw, The Library of Work and Play",
        ": Gardening and Farming, 1911 (Project Gutenberg 13537)",
        "one gathering basket with inserted side spokes, complete but for the height.",
    ),
    Source(
        "mcgaw", "V. McGaw, Construction Work for Rural and Elementary Schools",
        ", 1909 (Project Gutenberg 28501)",
        "small baskets for schools; one allowance does not fit its own spoke length.",
    ),
    Source(
        "james", "G. W. James, How to Make Indian and Other Baskets",
        ", pp. 80-81 (1903, author and year from memory)",
        "a two-rod border move by move, and what to leave loose; read in an excerpt.",
    ),
    Source(
        "blanchard", "M. M. Blanchard, The Basketry Book",
        ": Twelve Lessons in Reed Weaving, Scribner's, New York 1914",
        "an even count for handles; read in excerpts.",
    ),
    Source("eb11", "Encyclopaedia Britannica, 11th ed. 1911", ", vol. 3 pp. 481-484, Basket", "words of the trade."),
    Source(
        "peirce", "F. T. Peirce, The Geometry of Cloth Structure",
        ", J. Textile Inst. 28 (1937) T45",
        "the taut path of a thread over round cross threads: the least take-up.",
    ),
    Source(
        "bisshopp", "K. E. Bisshopp, D. C. Drucker",
        ", Large deflection of cantilever beams, Quart. Appl. Math. 3 (1945) 272-275",
        "the end-loaded elastic rod, which is a quarter wave of a springy weaver.",
    ),
    Source(
        "elastica", "L. Euler 1744",
        ": the rectangular elastica (year from memory); integrals taken here",
        "a springy weaver whose length may slide in.",
    ),
    Source("beams", "beam theory", ": F L^3 / 48 E I, as in any textbook", "three-point bending, beams side by side."),
    Source(
        "hertz", "H. Hertz 1882",
        ": on the contact of elastic solids (from memory), as a sphere on a flat",
        "how deep crossed rods would dent each other.",
    ),
    Source(
        "prototype", "a prototype of ours",
        ": expectation only, rods relaxed in space, measured once",
        "pitch and take-up of four weaves; no outside word.",
    ),
    Source("machado", "G. Machado, M. Oliveira", ", L. Fernandes, IEEE TVCG 15(6) (2009) 1291", "colour-blind eyes."),
    Source(
        "sharma", "G. Sharma, W. Wu",
        ", E. Dalal, Color Res. Appl. 30(1) (2005) 21-30",
        "the CIEDE2000 difference.",
    ),
    Source(
        "gu-zhang", "Y. Gu, J. Zhang",
        ", Forests 11(12) (2020) 1299 (abstract)",
        "rattan bast and core stretch plastically; no limit for soaked round reed is given.",
    ),
    Source(
        "hse-tis5", "HSE",
        " (UK), Textile sheet TIS5, Reactive dyes: safe handling in textile finishing",
        "why dye powder must not be breathed.",
    ),
    Source(
        "nsead", "NSEAD",
        " (UK), health and safety in art rooms: dyes, citing HSE sheets",
        "no cooking vessels, gloves, powder mixed under water or a respirator.",
    ),
    Source(
        "ct-dph", "Connecticut Department of Public Health, Arts and crafts safety for schools",
        "",
        "no powders or aerosols to pupils; ventilation; no food in the room.",
    ),
    Source(
        "textileoscope", "instruction page for cold reactive dyes on cellulose",
        " (textileoscope.com, read)",
        "20 to 30 litres of bath for a kilogram of fibre.",
    ),
    Source(
        "burch", "P. Burch, on depth of shade and weight of goods",
        ", pburch.net, 3 September 2014",
        "dyers' arithmetic by weight of fibre: 100 g at 1 % need 1 g.",
    ),
    Source(
        "dye-reactive-reed", "a dye seller's sheet on reactive dye for wood, cane",
        ", rattan and reed (read)",
        "by the gallon: 1 tablespoon of dye, 1/2 cup of salt, 1/3 cup of soda ash, and the times.",
    ),
    Source(
        "dye-direct-reed", "a basketry supplier's sheet on direct dye",
        " (read)",
        "a packet to about 2 lb of reed.",
    ),
    Source(
        "dye-packet-reed", "a basketry supplier's sheet on dyeing reed with packets",
        " (read)",
        "a tablespoon of salt for a packet, an hour to overnight; reed takes less dye than yarn.",
    ),
    Source(
        "dye-shades", "a dye seller's table for reactive dye that lists basket reed",
        " (read)",
        "1, 3 and 6 teaspoons a pound for pale, medium and dark.",
    ),
    Source(
        "gilmore-gomory", "P. C. Gilmore, R. E. Gomory",
        ", Operations Research 9 (1961) 849-859",
        "cutting stock by columns, with the linear bound.",
    ),
    Source(
        "cfr-1910", "29 CFR 1910.22",
        " (a), general requirements of walking-working surfaces (the text of the code, as reprinted)",
        "floors of workrooms kept clean and, as far as feasible, dry; mats where work is wet; no spills or leaks.",
    ),
    Source(
        "queues", "D. Gross, J. F. Shortle",
        ", J. M. Thompson, C. M. Harris, Fundamentals of Queueing Theory, Wiley, on queues of few callers (from "
        "memory; held against a simulation by the tests)",
        "how long one waits where few answer many: chances of a queue with c servers and N callers.",
    ),
    Source("aimu", "AIMU commodity sheet 608, rattan", "", "dry core is brittle, damp core moulds."),
    Source("memory", "from memory", ": recalled by the authors, not read in a source", "a default until measured."),
    Source("practice", "common practice", ", no source", "what makers do."),
    Source(
        "gauge", "the maker's own measure",
        ": [gauge] of the design, or the book",
        "what these hands and this reed do.",
    ),
    Source("derived", "derived", ": slype's own arithmetic from stated figures", "statements proved by the tests."),
)
SOURCES: dict[str, Source] = {source.key: source for source in _ALL}


def cite(key: str) -> str:
    """The printed form of a source key. Raises KeyError for a key that is not in the bibliography."""
    return SOURCES[key].citation


def short_source(key: str) -> str:
    """A source in a few words. Raises KeyError as `cite` does."""
    return SOURCES[key].short

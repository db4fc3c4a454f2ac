"""Cautions: what can hurt someone while making this basket, in plain words.

One record per caution. A handout prints only those that concern its design, once each, and every one of them hands on
to whoever knows better: the product's label, local rules, qualified advice. Sources: sources.py.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ..colour import REED_COLOURS
from ..words import say
from .planning import Plan


@dataclass(frozen=True)
class Caution:
    """One caution: `key` its heading, `text` a template for `words.say`, `when` it concerns a plan, `source` id;
    `first` True for what hurts hands and eyes at once and is said before the first step; else `at` says at which part
    of the work (`order.course`) the danger is; `finish` True for what concerns a finish that no design holds."""

    key: str
    text: str
    when: Callable[[Plan], bool]
    source: str
    first: bool = False
    finish: bool = False
    at: str = "gather"


def always(plan: Plan) -> bool:
    """For what concerns every basket."""
    return True


def is_dyed(plan: Plan) -> bool:
    """True when any colour of the design is not that of reed as it comes from the coil."""
    plain = REED_COLOURS["natural"].hex
    return any(shade != plain for shade in plan.design.palette.values())


def is_plain(plan: Plan) -> bool:
    """True when no colour is dyed."""
    return not is_dyed(plan)


def has_handles(plan: Plan) -> bool:
    """True when the basket gets a handle."""
    return bool(plan.handles)


def has_board(plan: Plan) -> bool:
    """True when the base is a wooden board to be drilled."""
    return plan.board is not None


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "dye powder",
        "Do not breathe it: it can harm the lungs for good. Open it where no moving air can lift it. Wet it under "
        "water or wear a suitable mask. Wear gloves, and air the room when it is done. Give powder to no pupil. "
        "The dye's label and safety sheet go first.",
        is_dyed,
        "hse-tis5",
    ),
    Caution(
        "dye baths",
        "Keep pots and spoons for dye only, never for the kitchen; do not eat or drink beside the bath. Do not use "
        "direct dyes made from benzidine: ask the seller. Hot baths scald. Used dye is thrown away as its label and "
        "local rules say.",
        is_dyed,
        "nsead",
    ),
    Caution(
        "blades and points",
        "Cutters, knives, bodkins and awls: cut and push away from the body, with no hand in front of the point. Lay "
        "them down where everyone sees them. For a deep cut get medical help.",
        always,
        "practice",
        first=True,
    ),
    Caution(
        "drilling",
        "Clamp the board and drill into waste wood; wear glasses, tie back hair and sleeves, keep the other hand "
        "away from the drill. Do not breathe the dust. The machine's instructions and the workshop's "
        "rules go first.",
        has_board,
        "practice",
        first=True,
    ),
    Caution(
        "long ends",
        "Standing {spokes} and long weavers spring back. Keep faces clear of the tips, wear glasses when bending over "
        "them, and leave room between seats.",
        always,
        "practice",
        first=True,
    ),
    Caution(
        "soaking water",
        "Cool or hand-warm water is enough for every size here. Hot water scalds: keep it away from children and the "
        "table's edge.",
        always,
        "practice",
        at="soak",
    ),
    Caution(
        "wet floor and electrics",
        "Mop up drips at once and lay mats. Keep leads, sockets and heaters away from water and from wet hands. The "
        "rules of the room go first.",
        always,
        "cfr-1910",
        at="soak",
    ),
    Caution(
        "damp and dry reed",
        "Damp {reed} put away goes mouldy: spread it and let it dry first, and throw mouldy {reed} out without "
        "shaking it. Dry {reed} is brittle and splinters: soak it again, never force it.",
        always,
        "aimu",
        at="soak",
    ),
    Caution(
        "strain",
        "Gripping wet {reed} tires hands, wrists and shoulders. Stretch and change seat every half hour, and stop when "
        "it hurts. Pain that stays is a matter for a doctor.",
        always,
        "practice",
        at="weave",
    ),
    Caution(
        "children",
        "An adult cuts, pierces, dyes and finishes, and stays beside children who use tools. No food in the room. The "
        "school's or club's own rules go first.",
        always,
        "ct-dph",
        first=True,
    ),
    Caution(
        "what it may carry",
        "The strength of this basket is not rated. It is no carrier, bed or seat for a child or an animal. It is no "
        "lifting or hanging gear for a load. Where something hangs on it, get qualified advice.",
        always,
        "practice",
        at="finish",
    ),
    Caution(
        "handles",
        "The strength of a handle is not rated: how it is set in, the {reed} and its age decide. No figure here "
        "says what it holds. Do not lift or hang a child, an animal or a load by it. A core under tension springs out: "
        "keep faces clear until both feet hold.",
        has_handles,
        "practice",
        at="handle",
    ),
    Caution(
        "food",
        "Whether food may touch it depends on the dye and the finish: read their labels and the local rules. Otherwise "
        "line it with a cloth.",
        is_dyed,
        "practice",
        at="finish",
    ),
    Caution(
        "food contact",
        "Whether food may touch it depends on how the {reed} was treated and on the local rules: ask the seller. "
        "Otherwise line it with a cloth.",
        is_plain,
        "practice",
        at="finish",
    ),
    Caution(
        "sprays and varnish",
        "If you use them: outdoors or in a well aired room, away from flame and heaters. The label goes first.",
        always,
        "memory",
        finish=True,
        at="finish",
    ),
    Caution(
        "oily rags",
        "Rags with drying oil heat themselves and can catch fire. Spread them flat outdoors until they are dry and "
        "hard, then keep them in a lidded metal can with water and throw them away as local rules say.",
        always,
        "practice",
        finish=True,
        at="finish",
    ),
)


def cautions(plan: Plan) -> list[tuple[Caution, str]]:
    """The cautions that concern this plan, what hurts hands and eyes first, each with its text in its wording."""
    design = plan.design
    mine = sorted((each for each in CAUTIONS if each.when(plan)), key=lambda each: not each.first)
    return [(each, say(each.text, design.wording, design.hand)) for each in mine]

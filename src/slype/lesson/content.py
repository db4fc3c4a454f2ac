"""What a lesson holds: the order of work frozen, with its sentences for both hands, and the basket in space.

Everything is said for either hand and drawn for the right one: the page mirrors places and angles for the left, and
holds each different sentence once.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..design.values import Design
from ..draw.solid import solid_of, unpacked
from ..lay.chart import letters_for
from ..order.kinds import ACTS, Moments, WorkPart
from ..order.moments import moments
from ..order.viewpoints import places
from ..plans import planning
from ..plans.cautions import cautions
from ..plans.planning import Plan
from ..teach.measures import DISAGREES, rows_changed, ruler_remedies
from ..teach.step.bench import Bench
from ..teach.step.glossary import meaning, words_in
from ..tell.bundled import BundleRow, bundle_rows
from ..tell.lists import first_up, ruler
from ..tell.moments import moves_alone
from ..tell.steps import tools
from ..tell.voice import worded
from ..words import TERMS, say
from . import counting
from .chapters import Chapter, cards, chapters
from .drawn import drawn_charts, drawn_steps, numbered
from .numbered import goal, passed, rings

HANDS = ("right", "left")
COLUMNS = "act part block row stroke strokes space spaces over under end weaver colour".split()
FORM = 4
"""Number of this form of lesson: the page refuses any other."""


@dataclass(frozen=True, eq=False)
class Lesson:
    """A plan made into a lesson; `words` and `space` are what the page carries."""

    plan: Plan

    @cached_property
    def by_hand(self) -> dict[str, Plan]:
        """The same basket for either hand."""
        return {hand: _for_hand(self.plan, hand) for hand in HANDS}

    @cached_property
    def order(self) -> Moments:
        """The order of work of the right hand; the left hand's has the same moments."""
        return moments(self.by_hand["right"].laid)

    @cached_property
    def space(self) -> tuple[dict, np.ndarray, np.ndarray]:
        """(header, points (k, 3) mm, when (k,)) of the right hand's basket: see `draw.solid`."""
        return unpacked(solid_of(self.by_hand["right"]))

    @cached_property
    def words(self) -> dict:
        """All but the basket in space, for JSON."""
        drawn = self.space[0]  # first: a basket too fine to be drawn is refused before its words are found
        design, order = self.plan.design, self.order
        seen = places(self.by_hand["right"].laid, order)
        texts: dict[str, int] = {}
        told = {hand: [texts.setdefault(line, len(texts)) for line in self._told(hand)] for hand in HANDS}
        steps = {hand: self._chapters(hand) for hand in HANDS}
        alone = counting.one_at_a_time(self.by_hand["right"], order)
        out = {
            "form": FORM,
            "title": design.title,
            "hand": design.hand,
            "bundles": [_bundle(row) for row in bundle_rows(self.plan)],
            "tools": tools(self.plan),
            "ruler": _ruler(self.plan),
            "terms": {name: getattr(term, design.wording) for name, term in TERMS.items()} | {"stick": _stick(design)},
            "moments": len(order),
            "acts": list(ACTS),
            "told": told,
            "texts": list(texts),
            "chapters": steps,
            "around": seen.eye.tolist(),
            "up": seen.up.tolist(),
            "rows": _starts(counting.rows(order)),
            "rounds": _starts(counting.rounds(order, alone)),
            "warnings": [[each.moment, each.kind] for each in counting.warnings(self.by_hand["right"], order)],
            "parts": [
                {"part": part.key, "of": part.of, "band": part.band, "first": part.first + 1, "last": part.beyond}
                | self._faces(part)
                for part in order.parts
            ],
            "across": _stretches(seen.across),
            "rings": rings(self.by_hand["right"].laid, order),
            "passed": [passed(order, moment) for moment in range(len(order))],
            "goals": [goal(self.by_hand["right"].laid, order, moment) for moment in range(len(order))],
            "bands": [_band(self.by_hand["right"], order, part) for part in order.parts],
            "colours": [list(colours) for colours in order.colours],
            "palette": drawn["palette"],
            "letters": letters_for(design),
            "hatches": drawn["hatches"],
            "rests": [order.rests.get(moment, "") for moment in range(len(order))],
            **{name: getattr(order, name).tolist() for name in COLUMNS},
        }
        # So that places kept for this lesson are not taken for those of another.
        out["id"] = hashlib.sha256(repr((design.title, len(order), list(texts))).encode()).hexdigest()[:12]
        return out

    def _faces(self, part: WorkPart) -> dict[str, list[str]]:
        """Of a border, where an end is left `out` and where `in`, as its steps say it."""
        if part.key != "border":
            return {}
        flat = (self.order.others[part.of].laid if part.of else self.plan.laid).is_mat
        return {"faces": [say(face, self.plan.design.wording, flat=flat) for face in ("{outside}", "{inside}")]}

    def _told(self, hand: str) -> list[str]:
        plan = self.by_hand[hand]
        return moves_alone(plan, plan.laid, moments(plan.laid))

    def _chapters(self, hand: str) -> list[dict]:
        plan = self.by_hand[hand]
        order, drawn = moments(plan.laid), numbered(plan)
        return [_chapter(plan, each, order, drawn) for each in chapters(plan, order)]

    @cached_property
    def drawings(self) -> dict[str, dict[str, list[dict[str, str]]]]:
        """By the hand: what the basket in the round does not show (`steps`), and the `chart` of colours: each as an
        SVG with its caption and what it shows in words."""
        return {hand: {"steps": drawn_steps(plan), "chart": drawn_charts(plan)} for hand, plan in self.by_hand.items()}


def _stick(design: Design) -> str:
    """What is laid for the base: sticks of its own, or the spokes themselves."""
    return "base stick" if design.spokes.inserted else getattr(TERMS["spoke"], design.wording)


def _bundle(row: BundleRow) -> list[object]:
    """(number, for what, how many, reed, colour, cut), as the list What to cut has it."""
    return [row.number, row.what, row.count, row.reed, row.colour, list(row.cut)]


def _ruler(plan: Plan) -> dict[str, object]:
    """What the ruler should say, band by band, and what helps where it says something else, as on the handout."""
    bench = Bench(plan)
    return {
        "title": DISAGREES,
        "rows": ruler(plan),
        "changed": rows_changed(bench),
        "remedies": [[each.seen, each.undo] for each in ruler_remedies(bench)],
    }


def _words(plan: Plan, chapter: Chapter) -> list[list[str]]:
    """Words of the trade that a step uses first, with what they mean; of the first also those of what is cut."""
    keys = list(chapter.step.words)
    if chapter.step.number == 1:
        said = [text for row in bundle_rows(plan) for text in (row.what, row.reed)]
        care = [text for _, text in _care(plan, chapter)]
        keys += [key for key in words_in(" ".join([*said, *tools(plan), *care]), plan.design) if key not in keys]
    return [list(meaning(key, plan.design)) for key in keys]


def _care(plan: Plan, chapter: Chapter) -> list[list[str]]:
    """(heading, text) of a step's cautions; the first step begins with what is read before all."""
    before = [
        [first_up(worded(each.key, plan.design.wording)), text]
        for each, text in cautions(plan)
        if each.first and chapter.step.number == 1
    ]
    return [*before, *map(list, chapter.step.care)]


def _chapter(plan: Plan, chapter: Chapter, order: Moments, drawn: dict[int, list[int]]) -> dict:
    """A step for the page; moments from 1, as the page counts them done, 0 where it has none; `after` so many moments
    it is due; `part` of the work (from 0) whose numbers it speaks of, -1 where of none; `lists` of the step at which
    all is cut, `chart` where the work is held against the chart, `ruled` where the ruler says how far it is. `cards`:
    what is read beside the moves, see `chapters.cards`; `drawn` which of the `drawings` belong to it, by number.
    """
    step, none = chapter.step, chapter.first == chapter.beyond
    own, care = (step.part, step.band, step.of), _care(plan, chapter)
    part = next((i for i, each in enumerate(order.parts) if (each.key, each.band, each.of) == own), -1)
    return {
        "number": step.number,
        "chapter": step.chapter,
        "title": step.title,
        "does": list(step.does),
        "looks": list(step.looks),
        "slips": [[slip.seen, slip.undo] for slip in step.slips],
        "minutes": step.minutes and round(step.minutes),
        "first": 0 if none else chapter.first + 1,
        "last": 0 if none else chapter.beyond,
        "after": chapter.first,
        "part": part,
        "bundles": list(step.bundles),
        "lists": step.part == "gather",
        "chart": step.chart,
        "ruled": step.rows is not None,
        "care": care,
        "words": _words(plan, chapter),
        "drawn": drawn.get(step.number, []),
        "cards": [
            [card.after, list(card.does), card.whole, list(card.care), card.begins]
            for card in cards(chapter, len(care))
        ],
    }


def _band(plan: Plan, order: Moments, part: WorkPart) -> dict | None:
    """How the weavers of a part move, for finding slips (see `weave.slips`); None where nothing is woven."""
    if part.key not in ("base", "side"):
        return None
    laid = order.others[part.of].laid if part.of else plan.laid
    band = next(each for each in laid.bands if each.index == part.band)
    weave = band.band.weave
    return {
        "where": part.key,
        "cycle": [list(each) for each in weave.cycle],
        "turns": weave.turns,
        "reverse": list(weave.reverse),
        "ends": band.spaces,
        "group": band.band.group,
        "colours": [order.colours.index(colours) for colours in band.colours],
        "starts": [[first, t.start] for first, t in band.traces()],
    }


def _for_hand(plan: Plan, hand: str) -> Plan:
    return plan if plan.design.hand == hand else planning.reworded(plan, hand=hand)


def _stretches(chosen: np.ndarray) -> list[list[int]]:
    """(first, last) moment, from 1, of every stretch of moments that are `chosen` (moments,)."""
    edges = np.flatnonzero(np.diff(np.r_[False, chosen, False]))
    return [[int(first) + 1, int(beyond)] for first, beyond in edges.reshape(-1, 2)]


def _starts(number: np.ndarray) -> list[int]:
    """Moments (from 1) at which a number changes: where each row, or round, begins."""
    return (np.flatnonzero(np.diff(number, prepend=-1)) + 1).tolist()

"""A basket woven on paper by the lesson's sentences alone: whoever only reads knows at every move which weaver to take.

The reader keeps a list of where each weaver hangs, moved by what the sentences say and by nothing else; space 1 comes
round again after the last. Checked is that the sentence's weaver hangs where it says, that no other hangs further back,
and that spokes, spaces and ends follow on from each other without a gap. Held against the trace at the end.
"""

from __future__ import annotations

import re

import pytest
from lessons import lesson_of

from slype.order.kinds import ACTS
from slype.order.moments import moments

PUT = re.compile(r"Put (?:the weaver|weaver (\d+) of \d+) .*?through (?:group )?space (\d+)")
TAKE = re.compile(
    r"[Tt]ake (?:the )?weaver(?: (\d+))?(?: furthest to the (left|right))? \(.*?\)(?: on)?,? "
    r"(?:from|in) (?:group )?space (\d+)"
    r"(?:, (?:over|under) the other(?: \d+)?)?: in front of \w+ ([\d, and]+?)"
    r"(?:, behind ([\d, and]+?), out at (?:group )?space (\d+))?\."
)
COMES_OUT = re.compile(r"Weavers? [\d to]+ (?:now|then) comes? out at (?:group )?spaces? ([\d, and]+)")
LEFT = re.compile(
    r"(Draw|Lead) (?:the weaver|weaver (\d+) of \d+) .*?in at (?:group )?space (\d+): .*behind \w+ (\d+);"
)


def numbers(text: str | None) -> list[int]:
    return [int(each) for each in re.findall(r"\d+", text or "")]


class Reader:
    """Where each weaver hangs: weaver's number to (times round, space from 1)."""

    def __init__(self, back: str) -> None:
        self.back, self.hangs, self.came, self.spaces, self.made = back, {}, {}, 0, 0

    def put(self, weaver: int, space: int) -> None:
        after = max(self.hangs.values(), default=space - 1)
        self.hangs[weaver] = space if space > after else space + self.spaces * -(-(after + 1 - space) // self.spaces)

    def draw_back(self, places: list[int]) -> None:
        self.hangs = dict(zip(sorted(self.hangs), [1, *places], strict=True))
        self.came = {}

    def take(self, found: re.Match) -> None:
        weaver, side, space, front, behind, out = found.groups()
        passed = [*numbers(front), *numbers(behind)]
        if side:  # whoever looks takes the one that hangs hindmost; of two in one space the one that came first
            assert side == self.back
            one = min(self.hangs, key=lambda k: (self.hangs[k], self.came.get(k, 0)))
        else:
            one = int(weaver or 1)
        at = self.hangs[one]
        assert (at - 1) % self.spaces + 1 == int(space), "it hangs where the sentence says"
        assert passed == [(at - 1 + i) % self.spaces + 1 for i in range(len(passed))], "spokes follow on from the space"
        self.made += 1
        self.came[one] = self.made
        self.hangs[one] = at + len(passed)
        assert out is None or int(out) == (at - 1 + len(passed)) % self.spaces + 1

    def leave(self, how: str, weaver: int, space: int, behind: int) -> None:
        """Drawn back, it stays behind the spoke it came out from; led on out of half a stroke, behind the next."""
        hung = self.hangs.pop(weaver) - 1
        assert hung % self.spaces + 1 == space
        assert (hung - (how == "Draw")) % self.spaces + 1 == behind


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["posy", "estuary", "quayside", "saltmarsh"])
def test_the_sentences_alone_weave_the_basket(name, hand):
    lesson = lesson_of(name)
    words, plan = lesson.words, lesson.by_hand[hand]
    order = moments(plan.laid)
    said = [words["texts"][number] for number in words["told"][hand]]
    reader, strokes = Reader("left" if hand == "right" else "right"), 0
    french = {each.index for each in plan.laid.bands if each.band.weave.turns == "back"}
    for moment, line in enumerate(said):
        act = ACTS[order.act[moment]]
        if act not in ("set in", "stroke", "end") or int(order.band[moment]) in french:
            continue
        if reader.spaces != order.spaces[moment]:
            assert not reader.hangs or COMES_OUT.search(line), "weavers on other groups are told where to come out"
            reader.spaces = int(order.spaces[moment])
        if found := COMES_OUT.search(line):
            reader.draw_back(numbers(found[1]))
        if found := PUT.search(line):
            reader.put(int(found[1] or 1), int(found[2]))
        elif found := TAKE.search(line):
            reader.take(found)
            strokes += 1
        elif found := LEFT.search(line):
            reader.leave(found[1], int(found[2] or 1), int(found[3]), int(found[4]))
        else:
            raise AssertionError(f"nobody could follow: {line}")
    assert strokes == sum(
        int(band) not in french for act, band in zip(order.act, order.band, strict=True) if ACTS[act] == "stroke"
    )
    assert not reader.hangs, "all are ended"


BEND = re.compile(
    r"(Bend|Take) \w+ (\d+) (?:down towards? the (left|right),|on,?) (.*?)"
    r"(?:, and (leave it|tuck it|push its)|\. Lift [^.]*, and (?:tuck|lead) the tip of \w+ \2 )"
)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("name", ["posy", "estuary", "quayside", "saltmarsh"])
def test_the_sentences_alone_work_the_border(name, hand):
    """Every spoke is bent down once and goes on from where it lies, past the next ones, none left out."""
    lesson = lesson_of(name)
    ends = lesson.by_hand[hand].design.top_ends
    order = moments(lesson.by_hand[hand].laid)
    lies: dict[int, int] = {}
    for moment, number in enumerate(lesson.words["told"][hand]):
        if ACTS[order.act[moment]] != "border":
            continue
        verb, spoke, side, way, _ = BEND.search(lesson.words["texts"][number]).groups()
        spoke = int(spoke)
        assert (verb == "Bend") == (spoke not in lies) and side in (None, hand)
        at = lies.get(spoke, spoke)
        passed = numbers(way)
        assert passed == [(at + i) % ends + 1 for i in range(len(passed))]
        lies[spoke] = passed[-1]
    assert len(lies) == ends

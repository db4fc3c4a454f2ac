"""Forty questions that a student has after the steps of a small basket, answered from the printed pages alone, and the
answers held against the trace, the border worked end by end, and the plan.

Each question reads its answer off the text of the PDF, as a student would, its drawings left blank; what it should be
is worked out apart.
"""

import functools
import re
from collections import Counter

import pytest
from pages import pages_of
from worked import framed, planned_as

from slype.borders.meetings import threads
from slype.borders.work import work
from slype.design.values import group_sizes
from slype.order.moments import moments
from slype.plans.bundles import bundles, bundles_of_band
from slype.surface.standing import inserted_curves
from slype.tell.moments import moments_of_joins

KIND = r"(?:groups?|sticks?|spokes?|stakes?)"
STROKE = (
    rf"Stroke 1: .*? from (?:group )?space (\d+); front of {KIND} ([\d, andto]+), behind {KIND} ([\d, andto]+), "
    r"out at (?:group )?space (\d+)"
)
BASKETS = {
    "posy": {},
    "quayside": {"hand": "left", "wording": "uk"},
}


def basket(name):
    return planned_as(name, **BASKETS[name])


@functools.cache
def text_of(name):
    pages = pages_of(framed(name, **BASKETS[name]))
    return " ".join(" ".join(page.text.split()) for page in pages).replace("-\u2010", "")


def chapter(text, made, band):
    """The text of one band's steps."""
    text = text[: text.rindex("When the ruler disagrees")]
    at = [m.start() for m in re.finditer(rf"Band {band + 1}, (?:base|side):", text)][-1]
    ends = [
        m.start()
        for m in re.finditer(rf"Band {band + 2}, (?:base|side):|Turn up the|Insert the side|The border", text)
        if m.start() > at
    ]
    return text[at : min(ends)] if ends else text[at:]


def numbers(said):
    """Numbers of a list, `4 to 7` filled in."""
    runs = re.sub(r"(\d+) to (\d+)", lambda run: " ".join(map(str, range(int(run[1]), int(run[2]) + 1))), said)
    return tuple(int(each) for each in re.findall(r"\d+", runs))


def questions(name):
    """(question, answer off the page, answer from the trace) of everything a student asks."""
    made, text = basket(name), text_of(name)
    spoke = "spoke" if made.design.wording == "us" else "stake"
    out = []

    def ask(question, found, truth):
        out.append((question, found, truth))

    def read(pattern, where=text):
        found = re.search(pattern, where)
        return numbers(found[0].split(":", 1)[-1] if ":" in found[0] else found[0]) if found else None

    ends = made.design.spokes.ends_at_base
    ask("How many ends stand out?", read(r"Count: \d+ ends stand out"), (ends,))
    layers = re.search(r"Two layers: (\d+) [a-z ]+ below, (\d+) on top", text)
    ask("How many lie below, how many on top?", tuple(map(int, layers.groups())), _layers(made))
    if ends % 2:
        ask("On which layer does the half one lie?", "on top and the half one beside these" in text, True)
        ask("How many ends has the arm with the half one?", read(r"it has \d+ end"), (max(made.design.arms),))
        order = moments(made.laid)
        half = next(ends[0] + 1 for ends in order.stick_ends if len(ends) == 1)
        ask("Which number has the half one?", read(r"The half one is \w+ \d+"), (half,))
        # Its number is the last of its arm, counted the way of the work below: from above that is the other side.
        side = {"right": "left", "left": "right"}[made.design.hand]
        ask("On which side of its arm does it lie?", f"it lies on the {side}-hand side of its arm" in text, True)
    soaked = re.findall(r"[Pp]ut bundles? ([\d, and]+) in the water", text)
    ask("When does each bundle go into the water?", sorted(n for each in soaked for n in numbers(each)),
        [each.number for each in bundles(made)])  # fmt: skip
    ask("Which hand leads the weaver?", f"Your {made.design.hand} hand leads the weaver" in text, True)
    back = "left" if made.design.hand == "right" else "right"
    ask("Which way do the tails of a start point?", f"The tails point to the {back}" in text, True)
    ask("Which way do they point at the end?", f"pointing to the {made.design.hand}; cut off" in text, True)
    ask("How do I turn it over?", "Turn it over sideways, like the page of a book" in text, True)
    ask("Which face is towards me on the base?", "Its underside now faces you" in text, True)
    way = "clockwise" if made.design.hand == "right" else "anticlockwise"
    ask("Which way do I count?", bool(re.search(rf"Count \w+ and spaces {way}, from space 1", text)), True)
    ask("Where is space 1?", bool(re.search(r"The gap just before \w+ 1 is space 1", text)), True)
    ask("How many bundles?", read(r"\d+ bundles lie on the table"), (len(bundles(made)),))
    ask("What is a wale?", bool(re.search(r"Wale: A firm weave", text)), True)
    ask("What is a stroke?", bool(re.search(r"Stroke: One move of one weaver", text)), True)
    ask("What is pairing?", bool(re.search(r"Pairing: Two weavers", text)), True)
    ask("Which way do I bend them up?", f"Bend every {spoke} away from you" in text, True)
    ask("Which face is towards me then?", "From here on the outside faces you" in text, True)
    if made.design.spokes.inserted:
        sides = Counter(min(range(ends), key=lambda stick: min(abs(curve.u[0] - stick - 0.5), ends - curve.u[0]))
                        for curve in inserted_curves(made.laid))  # fmt: skip
        alone = [stick + 1 for stick, many in sides.items() if many == 1]
        way = next(c.u[0] - alone[0] + 0.5 for c in inserted_curves(made.laid) if abs(c.u[0] - alone[0] + 0.5) < 0.5)
        told = re.search(r"Stick (\d+) gets only one: between it and stick (\d+)\.", text)
        beside = (alone[0] - 1 + (1 if way > 0 else -1)) % ends + 1
        ask("Which stick gets a single one, on which side?", (int(told[1]), int(told[2])), (*alone, beside))
    for band in made.laid.bands:
        said, t = chapter(text, made, band.index), band.traces()[0][1]
        label = f"band {band.index + 1}"
        first = [i for i in range(len(t.spoke)) if t.stroke[i] == t.stroke[0]]
        many = len(band.colours)
        if band.band.group > 1:
            sizes = group_sizes(band.ends, band.band.group)
            ask(f"{label}: how many groups?", read(r"Now: \d+ groups", said), (len(sizes),))
        taken = [each.number for each in bundles_of_band(bundles(made), band.index)]
        ask(f"{label}: which bundles?", tuple(int(n) for n in re.findall(r"Take bundle (\d+)", said)), tuple(taken))
        if many <= 8:
            place = re.findall(r"through (?:group )?space (\d+), from the front", said)
            ask(
                f"{label}: which spaces hold the weavers?",
                tuple(map(int, place)),
                tuple((t.start + k) % t.ends + 1 for k in range(many)),
            )
        if many <= 4:
            alone = re.search(rf"(?:far side|inside), behind {KIND} (\d+)", said)
            tails = [alone[1]] if alone else re.findall(rf"(?:Lay|,) tail \d behind {KIND} (\d+)", said)
            ask(
                f"{label}: behind what do the starts lie?",
                tuple(map(int, tails)) or None,
                tuple((t.start + k - 1) % t.ends + 1 for k in range(many)),
            )
        ask(
            f"{label}: how is the work turned to begin?",
            read(r"Turn the (?:base|basket) until (?:group )?space \d+ (?:is at the top|faces you)", said),
            (t.start % t.ends + 1,),
        )
        if band.band.weave.turns == "back":
            later = [i for i in range(len(t.spoke)) if t.row[i] == 1]
            begin = min(later, key=lambda i: t.stroke[i])
            ask(
                f"{label}: where does row 2 begin?",
                read(r"It hangs in space \d+ now", said),
                (int(t.spoke[begin]) + 1,),
            )
        if band.band.weave.turns == "stroke" and band.rows > 1 and many <= 8:
            ask(
                f"{label}: where do the weavers hang after row 1?",
                tuple(
                    sorted(
                        read(
                            r"(?:The weavers now hang|Now \w[\w ]*?) in (?:group )?spaces? [\w, ]+",
                            said.split("Row 1 is done")[1],
                        )
                        or ()
                    )
                ),
                tuple(sorted(int(t.spoke[i]) + 1 for i in _coming(t, many))),
            )
        joins = made.joins[band.index].joins
        if joins:
            ask(
                f"{label}: is a join told before the rows?",
                said.index("Join a new length") < said.index("Go round"),
                True,
            )
            where = moments_of_joins(moments(made.laid), list(joins))
            held = moments(made.laid).behind(min(where))[0] + 1
            ask(f"{label}: behind which one is the first join?",
                read(r"First join, behind \w+ \d+", said), (held,))  # fmt: skip
            soon = min(where)
            order = moments(made.laid)
            listed = said[said.index("Join a new length") : said.index("Go round")]
            every = re.findall(r"[Rr]ow (\d+) behind \w+ (\d+)", listed)
            for rows, behind in re.findall(r"Row ((?:\d+ )+)Behind \w+ ((?:\d+ )+)", listed):
                every += zip(rows.split(), behind.split(), strict=False)  # a heading's number may follow
            told = [(int(row), int(spoke)) for row, spoke in every]
            ask(f"{label}: where does every join fall?", sorted(told),
                sorted((int(order.row[m]) + 1, order.behind(m)[0] + 1) for m in where))  # fmt: skip
            ask(f"{label}: in which row is the first join, and is it told as it is drawn?",
                [each for each in told if each == (int(order.row[soon]) + 1, held)],
                [(int(order.row[soon]) + 1, held)])  # fmt: skip
        stroke = re.search(STROKE, said)
        ask(
            f"{label}: where does the first stroke go?",
            None if stroke is None else (int(stroke[1]), numbers(stroke[2]), numbers(stroke[3]), int(stroke[4])),
            _first(t, first),
        )
        ask(f"{label}: how many rows?", _last_row(said), band.rows)
        if band.band.weave.turns == "stroke":
            ask(
                f"{label}: how many strokes to a row?",
                read(r"Row 1 is done after \d+ strokes", said),
                (1, len(set(t.stroke[t.row == 0].tolist()))),
            )
        if many <= 8:
            ends_behind = re.findall(
                r"(?:Draw|Lead) [^.]*?in at [^.]*?behind (?:\w+) (\d+)\.", said.split("Stop after row")[-1]
            )
            ask(
                f"{label}: behind what does each weaver end?", sorted(map(int, ends_behind[:many])), sorted(_held(band))
            )
    ring, border = made.design.top_ends, made.design.border
    worked, under = work(border, ring), threads(border, ring)
    edge = text[text.rindex(f"Make the {spoke}s ready", 0, text.index(f"Measure each {spoke}:")) :]  # named later too
    for end in (0, 1, 2):
        passed = [p.spoke + 1 for p in worked.passes if p.end == end and p.stage == 0]
        move = re.search(
            rf"Bend {spoke} {end + 1} ((?:(?:in front of|behind|and|then)?[ ,]*\d+[ ,]*)+)",
            edge,
        )
        ask(f"border: past what does {spoke} {end + 1} go?", numbers(move[1]) if move else None, tuple(passed))
        if border.rows[0].finish == "out":
            out_at = re.search(rf"Bend {spoke} {end + 1} [^.]*? then out at space (\d+); leave it there", edge)
            ask(f"border: where does {spoke} {end + 1} come out?", int(out_at[1]), (passed[-1] % ring) + 1)
    if border.is_open:
        beside = re.findall(rf"push its tip .{{1,12}} deep down beside {spoke} (\d+)", edge)
        for end in (0, 1, 2, ring - 1):
            last = [p.spoke for p in worked.passes if p.end == end][-1]
            told_at = {0: 0, 1: 1, 2: 2, ring - 1: -1}[end]
            ask(f"border: where does {spoke} {end + 1} go in?", int(beside[told_at]), (last + 1) % ring + 1)
    lifted = list(under.values())[-1]
    told = re.findall(rf"[Ll]ift (?:{spoke}s?|arch(?:es)?) ([\d, and]+) a little", edge)
    ask("border: what does the last one go under?", numbers(told[-1]), tuple(each + 1 for each in lifted))
    ask(
        "border: which ends stay loose?",
        numbers(re.search(rf"Do not pull {spoke}s? ([\d, and]+) tight", edge)[1]),
        tuple(sorted({each + 1 for (_, row), found in under.items() if row == 0 for each in found})),
    )
    ask("Which way do I turn the basket as I go?", f"Turn the basket to the {back} as you go" in text, True)
    ask("How do the jaws lie when I turn up?", "one jaw on the underside, one on the far side" in text, True)
    tips = bool(re.search(rf"on the slant, .{{1,12}} past the last {spoke}", text))
    ask("How long is a tip cut?", border.is_open or tips, True)
    ask("How long does it take me?", bool(re.search(r"Time about \d+ (?:h|min)", text)), True)
    ask("How far do I unweave a missed one?", bool(re.search(r"Seen at once: take back that one stroke", text)), True)
    ask("When do I put it away?", "dry to the core" in text, True)
    return out


def _coming(t, many):
    """Where the first strokes of row 2 begin, one of every weaver."""
    strokes = [s for s in dict.fromkeys(t.stroke.tolist())]
    first = {s: next(i for i in range(len(t.spoke)) if t.stroke[i] == s) for s in strokes}
    later = [i for s, i in first.items() if t.row[i] >= 1]
    return sorted(later, key=lambda i: t.stroke[i])[:many]


def _layers(made):
    sticks = made.design.spokes.ends_at_base // 2
    return (sticks - sticks // 2, sticks // 2)


def _first(t, first):
    front = tuple(int(t.spoke[i]) + 1 for i in first if t.front[i])
    behind = tuple(int(t.spoke[i]) + 1 for i in first if not t.front[i])
    begin = int(t.spoke[first[0]])
    return begin + 1, front, behind, (begin + len(first)) % t.ends + 1


def _last_row(said):
    found = re.findall(r"Stop after row (\d+)", said) or re.findall(r"Weave (\d+) rows in all", said)
    return int(found[-1]) if found else None


def _held(band):
    t = band.traces()[-1][1]
    ends = [i for i in range(len(t.spoke)) if t.next_on_weaver[i] < 0]
    return [int(t.spoke[i] if not t.front[i] else t.spoke[i] + 1) % t.ends + 1 for i in ends]


@pytest.mark.parametrize("name", BASKETS)
def test_a_student_finds_the_answer_on_the_page(name):
    asked = questions(name)
    assert len(asked) >= 40
    wrong = [(question, found, truth) for question, found, truth in asked if found != truth]
    assert not wrong

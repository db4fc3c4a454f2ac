"""The page's twin of the stroke rule and Python's say the same of the same weaving."""

from __future__ import annotations

import json
import random

from places import SOURCE
from slips import random_case

from slype.borders import slips
from slype.borders.table import BORDERS
from slype.borders.work import work
from slype.lesson.joined import join
from slype.weave.slips import deep, likeliest

ASK = """cases => JSON.stringify(JSON.parse(cases).map(({woven, count, seen}) => {
  const plain = (slip) => slip && [slip.kind, slip.stroke, slip.by];
  const traced = rule.allTraced(woven, count);
  return {
    deep: rule.deep(woven),
    traced: traced.map(({slip, piles}) => [plain(slip), piles]),
    order: rule.likeliest(woven, count, seen, traced).map(({slip, off}) => [plain(slip), off]),
  };
}))"""
CASES = 8


def test_the_twins_agree_on_random_weaving(tab):
    chance = random.Random(15)
    cases = [random_case(chance, bars) for bars in (False, True) for _ in range(CASES)]
    files = {"rule.js": 'import * as rule from "./slip-rule.js";\nglobalThis.rule = rule;\n'}
    page = tab()
    page.evaluate(join("rule.js", lambda path: files.get(path) or (SOURCE / "lesson" / "page" / path).read_text()))
    asked = [
        {
            "woven": {
                "cycle": case.woven.weave.cycle, "turns": case.woven.weave.turns, "reverse": case.woven.weave.reverse,
                "ends": case.woven.ends, "colours": case.woven.colours, "start": case.woven.start,
            },
            "count": case.count,
            "seen": [[*place, said] for place, said in case.said.items()],
        }
        for case in cases
    ]  # fmt: skip
    answers = json.loads(page.evaluate(ASK, json.dumps(asked)))

    def plain(slip):
        return slip and [slip.kind, slip.stroke, slip.by]

    for case, answer in zip(cases, answers, strict=True):
        assert answer["deep"] == deep(case.woven)
        assert answer["traced"] == json.loads(json.dumps([[plain(slip), left] for slip, left in case.traced]))
        expected = [[plain(slip), off] for slip, off in likeliest(case.count, case.said, case.traced)]
        assert answer["order"] == expected


ASK_BORDER = """cases => JSON.stringify(JSON.parse(cases).map(({moves, done, seen}) =>
  border.likeliest(moves, done, new Map(seen)).map(({slip, off}) =>
    [slip && [slip.kind, slip.move], off, [...border.lying(moves, done, slip)]])))"""


def test_the_twins_agree_on_slips_of_every_border(tab):
    chance, asked, expected = random.Random(15), [], []
    for name in BORDERS:
        border = BORDERS[name].border
        moves = slips.moves_of(work(border, max(20, border.smallest_ends)))
        done = chance.randint(1, len(moves))
        slip = chance.choice([None, *slips.possible(moves, done)])
        seen = dict(list(slips.lying(moves, done, slip).items())[-6:])
        asked.append({"moves": [vars(each) for each in moves], "done": done, "seen": list(seen.items())})
        expected.append([
            [each and [each.kind, each.move], off, list(slips.lying(moves, done, each).items())]
            for each, off in slips.likeliest(moves, done, seen)
        ])  # fmt: skip
    files = {"rule.js": 'import * as border from "./slip-border-rule.js";\nglobalThis.border = border;\n'}
    page = tab()
    page.evaluate(join("rule.js", lambda path: files.get(path) or (SOURCE / "lesson" / "page" / path).read_text()))
    assert json.loads(page.evaluate(ASK_BORDER, json.dumps(asked))) == json.loads(json.dumps(expected))

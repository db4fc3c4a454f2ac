"""Modules joined into one text do what they did apart."""

from __future__ import annotations

import pytest

from slype.errors import FileTrouble
from slype.lesson.joined import join

APART = {
    "page/main.js": """import { twice as two, ONE } from "./lib/sums.js";
import * as all from './lib/sums.js';
import { far } from "../far.js";
globalThis.said = [two(ONE), all.twice(all.ONE + 1), far()];
""",
    "page/lib/sums.js": """export const ONE = 1;
const hidden = 2;
export function twice(x) { return hidden * x; }
""",
    "far.js": """export { twice as double } from "./page/lib/sums.js";
function far() { return "far"; }
export { far };
""",
}


def test_they_run_once_each_in_the_order_they_need_each_other(tab):
    page = tab()
    page.evaluate(join("page/main.js", APART.__getitem__))
    assert page.evaluate("globalThis.said") == [2, 4, "far"]


@pytest.mark.parametrize(
    "line", ["import './other.js';", "import x from './other.js';", "export default 1;", "export let x = 1;"]
)
def test_a_form_that_is_not_known_is_refused_by_name(line):
    with pytest.raises(FileTrouble, match=r"a\.js: cannot be joined"):
        join("a.js", {"a.js": line + "\n"}.__getitem__)


def test_a_ring_is_refused():
    ring = {"a.js": 'import { b } from "./b.js";\n', "b.js": 'import { a } from "./a.js";\n'}
    with pytest.raises(FileTrouble, match="needs itself"):
        join("a.js", ring.__getitem__)

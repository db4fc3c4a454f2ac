"""The page's store in Node, with a slow program behind it."""

import json
import subprocess

from node import node
from places import PAGE, ROOT


def test_a_title_typed_while_another_basket_opens_goes_to_that_basket_and_one_from_before_to_its_own():
    script = ROOT / "tests" / "support" / "store_turns.mjs"
    words = [node(), "--no-warnings", str(script), str(PAGE / "js/base/store.js")]
    done = subprocess.run(words, capture_output=True, encoding="utf-8", check=True, timeout=30)
    said = json.loads(done.stdout)
    assert said["shownMeanwhile"] == "first", "the page has not got it yet"
    assert said["asked"] == [["first", "said before"], ["second", "said meanwhile"], ["third", "said after"]]
    assert (said["shown"], said["title"]) == ("third", "said after")
    assert said["opening"] == [True, False] * 3, "the lists are out of reach for as long as they are another basket's"

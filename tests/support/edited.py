"""Design texts of every spelling, and how tests change them."""

import re

import pytest
from places import EXAMPLES, ROOT

from slype.edit import apply
from slype.errors import DesignError

ESTUARY = (EXAMPLES / "estuary.toml").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")
FIRST = re.search(r"```toml\n(.*?)```", README, re.DOTALL)[1]  # the README's first design, its bands in one list
ODD = '''# every spelling that TOML allows
spokes.reed = "round 4" # dotted
spokes.ends = 17
form = { base = "4 in", wall = [
  # the foot
  ["0 in", "4 in"], # first
  # the mouth
  ["3 in", "5 in"]
] }

# a comment by itself

# above the band
[[band]] # one
where = "side"
weave = "three-rod wale"
reed = { mm = 2.3 }   # calipers
rows = 4
# below
[band.blocks]
rows = 2

# a heading
# and its second line
[[band]]
weave = "pairing"
reed = "round 2"
colours = [
  "rust",   # red
  "sand",   # pale
]
until = "top"
[border]
kind = "one-row"
[reeds."round 3"]
mm = 2.3
'''  # fmt: skip
TEXTS = {
    **{path.stem: path.read_text(encoding="utf-8") for path in sorted(EXAMPLES.glob("*.toml"))},
    "the README's first": FIRST,
    "odd spellings": ODD,
    "a file from Windows": ESTUARY.replace("\n", "\r\n"),
    "no last line end": ESTUARY.rstrip("\n"),
}
texts = pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS.keys())


def edited(text, *changes):
    return apply.apply(text, list(changes), "mine.toml")


def put(path, to):
    return {"set": path, "to": to}


def band(text, i):
    return apply.document(text)["band"][i]


def refused(text, *changes):
    with pytest.raises(DesignError) as trouble:
        edited(text, *changes)
    assert str(trouble.value).startswith("mine.toml") and len(str(trouble.value)) < 600
    return str(trouble.value)

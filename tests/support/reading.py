"""How easily a text reads: Flesch's figure for English.

206.835 - 1.015 x words per sentence - 84.6 x syllables per word. Source: R. Flesch, "A new readability yardstick",
Journal of Applied Psychology 32 (1948), 221-233. From 60 up plain English, from 80 up easy.
"""

from __future__ import annotations

import re

_VOWELS = re.compile(r"[aeiouy]+")


def syllables(word: str) -> int:
    """Syllables of an English word, by its groups of vowels; a number counts as one."""
    plain = re.sub(r"[^a-z]", "", word.lower())
    if not plain:
        return 1
    many = len(_VOWELS.findall(plain))
    if plain.endswith("e") and not plain.endswith(("le", "ee", "ye")) and many > 1:
        many -= 1
    if plain.endswith("ed") and not plain.endswith(("ted", "ded")) and many > 1:
        many -= 1
    return max(1, many)


def flesch(lines: list[str]) -> float:
    """Flesch's reading ease of sentences."""
    words = [word for line in lines for word in re.findall(r"[A-Za-z0-9'’/-]+", line)]
    if not words or not lines:
        return 0.0
    return 206.835 - 1.015 * len(words) / len(lines) - 84.6 * sum(map(syllables, words)) / len(words)

"""How hard a text is to read: the grade of J. P. Kincaid, R. P. Fishburne, R. L. Rogers and B. S. Chissom, Derivation of New
Readability Formulas, Naval Technical Training Command, Research Branch Report 8-75 (1975): years of school after which most can
read it. Syllables are counted by groups of vowels, which errs by a few in a hundred."""

from __future__ import annotations

import re

WORD = re.compile(r"[A-Za-z]+(?:['’][A-Za-z]+)?")
SENTENCE = re.compile(r"[.!?](?=\s|$)|\n")
"""The end of a paragraph or of an item ends a sentence too."""


def syllables(word: str) -> int:
    """At least one: groups of vowels, without an e at the end that is not heard, nor the e of -es and -ed."""
    bare = re.sub(r"[^a-z]", "", word.lower())
    bare = re.sub(r"(?<=[^laeiouy])e$|(?<=[^aeiouytd])ed$|(?<=[^aeiouycsxzgh])es$", "", bare)
    return max(1, len(re.findall(r"[aeiouy]+", bare)))


def grade(text: str) -> float:
    """0.39 × words a sentence + 11.8 × syllables a word − 15.59."""
    sentences = [words for part in SENTENCE.split(text) if len(words := WORD.findall(part)) > 1]
    words = [word for sentence in sentences for word in sentence]
    return 0.39 * len(words) / len(sentences) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59

"""Answers in words, put together where they are alike: who reads them in a row marks more evenly.

Each text is a vector of its words, each word weighed by how few texts have it (tf-idf; Salton and
Buckley, Term-weighting approaches in automatic text retrieval, Information Processing & Management
24, 1988). Groups grow from single texts by joining the two whose members are most alike on average
(average linkage; Sokal and Michener 1958), as long as that is at least `ALIKE`. Groups order the
reading and nothing else: nobody gets points for being in one.
"""

__all__ = ["groups"]

import re
from collections import Counter
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

ALIKE = 0.3  # mean cosine, from 0 to 1; tried on invented classes, no published source
STEM = 6  # letters of a word that count, so that its forms are one: packet, packets


def groups(texts: Sequence[str]) -> list[list[int]]:
    """Return the places of the texts in groups, largest first; within one, most usual first."""
    likeness = _cosines(texts)
    found = [[place] for place in range(len(texts))]
    between = likeness.copy()
    np.fill_diagonal(between, -1.0)
    while len(found) > 1:
        one, other = divmod(int(np.argmax(between)), len(found))
        if between[one, other] < ALIKE:
            break
        between = _joined(between, one, other, len(found[one]), len(found[other]))
        found[one] += found.pop(other)
    ordered = [_most_usual_first(group, likeness) for group in found]
    return sorted(ordered, key=lambda group: (-len(group), min(group)))


def _joined(
    between: NDArray[np.float64], one: int, other: int, size: int, other_size: int
) -> NDArray[np.float64]:
    """Return the mean likeness of groups after two of them have become one."""
    mean = (size * between[one] + other_size * between[other]) / (size + other_size)
    between[one] = between[:, one] = mean
    between[one, one] = -1.0
    return np.delete(np.delete(between, other, 0), other, 1)


def _most_usual_first(group: Sequence[int], likeness: NDArray[np.float64]) -> list[int]:
    within = likeness[np.ix_(group, group)].sum(axis=1)
    return [group[place] for place in np.argsort(-within, kind="stable")]


def _cosines(texts: Sequence[str]) -> NDArray[np.float64]:
    counts = [Counter(one[:STEM] for one in re.findall(r"\w+", text.casefold())) for text in texts]
    spread = Counter(word for one in counts for word in one)
    words = {word: place for place, word in enumerate(spread)}
    vectors = np.zeros((len(texts), len(words)))
    for row, one in enumerate(counts):
        for word, times in one.items():
            vectors[row, words[word]] = times * np.log(1 + len(texts) / spread[word])
    lengths = np.linalg.norm(vectors, axis=1, keepdims=True)
    vectors /= np.where(lengths > 0, lengths, 1.0)
    cosines: NDArray[np.float64] = vectors @ vectors.T
    return cosines

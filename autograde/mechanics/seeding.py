"""Whole numbers drawn from a seed, the same on every machine and in every version of Python: SHA-256 of a counter."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator


class Stream:
    """Numbers drawn evenly from a seed's text.

    >>> stream = Stream("feed-sack 7")
    >>> [stream.below(10) for _ in range(8)]
    [6, 6, 2, 2, 4, 7, 9, 7]
    """

    def __init__(self, seed: str) -> None:
        self._seed = seed.encode("utf-8", "surrogatepass")
        self._count = 0

    def below(self, limit: int) -> int:
        """A number from 0 to limit - 1, each as likely as the others."""
        if not 0 < limit <= 2**64:
            raise ValueError(f"can't draw from {limit} numbers")
        # Draws at the uneven end of the range are thrown away, so that no number is likelier than another.
        fair = 2**64 - 2**64 % limit
        while True:
            block = hashlib.sha256(self._seed + b"\0" + str(self._count).encode("ascii")).digest()
            self._count += 1
            number = int.from_bytes(block[:8], "big")
            if number < fair:
                return number % limit

    def shuffled(self, size: int) -> Iterator[int]:
        """The numbers from 0 to size - 1 in a drawn order, one by one (Fisher and Yates), without listing them all."""
        moved: dict[int, int] = {}
        for last in range(size - 1, -1, -1):
            place = self.below(last + 1)
            yield moved.get(place, place)
            moved[place] = moved.get(last, last)

"""A large fuzz of the reader, run by hand: `python tests/reading/fuzz_lines.py [how many] [seed]`.

Lines are generated from pieces, mutated from good ones, or random characters, over the scenes that ship. It prints how many
were read and how many complained about, the rate, and the slowest line; it fails on any other exception, on a place outside
the text, and on a line slower than 20 ms (best of three, so that a busy machine is not blamed on the reader).
"""

from __future__ import annotations

import gc
import random
import sys
import time
from collections import Counter
from contextlib import suppress

from plusway.autograde.reading import Complaint, Vocabulary, read, read_value, to_mathml, to_speech, to_text
from plusway.lessons import catalogue

GOOD = [
    "T - m_1 g = m_1 a", "½ M R^2 α", "a = 24.5/15.5 = 1.58 m/s²", "f = μ_k N", "if m_1 = m_2: a = 0", "W_1 < T < W_2",
    "88.2 − (6.5a + 63.7) = 9a", "N = m_1 g cos(30°)", r"\frac{m_2 - m_1}{m_1 + m_2} g = a", "T = 74 N (up) (2)", "a_1 = -a_2",
    "(T_1 - T_2)R = I alpha", "T = 1.2 x 10^3 N", "m_2 >> m_1 => a ≈ g", r"T = 1.58 \text{ m/s}^2", "m1gsin30 - T=m1a", "v^2 = 2ad",
]  # fmt: skip
PIECES = [
    *"()[]{}=<>+-*/^_.,:;|\\$&#@!%°²½√ΔΣμθα₁₂ \t\n0123456789amgTNWRIfxts", "**", "=>", "->", "sin", "cos(", "if ", "when ", "10^", "e9", "\\frac",
    "_{", "^{", "\\text{", "\x00", "\ud800", "🙂", "\u202e", " kg", " m/s^2", " N m", "m_1", "T_1", "mu_k", "theta", "(2)", "63.7", "1.2e3", "<b>",
    "therefore ", "((((", "))))", "1/", "sinsin", "m/s/s", "/(", " is ", "\\cdot", "\\left(", "\\right)", "ᵢ", "⁻²", "１", "𝑇",
]  # fmt: skip


def line(random_: random.Random) -> str:
    """One line: generated, mutated or random."""
    kind = random_.random()
    if kind < 0.35:
        return "".join(random_.choices(PIECES, k=random_.randint(0, 40)))
    if kind < 0.85:
        text = random_.choice(GOOD)
        for _ in range(random_.randint(1, 6)):
            at = random_.randint(0, len(text))
            to = min(len(text), at + random_.randint(0, 5))
            text = text[:at] + random_.choice((random_.choice(PIECES), "", text[at:to] * 2)) + text[to:]
        return text
    if kind < 0.9:
        return random_.choice(PIECES) * random_.randint(1, 420)
    if kind < 0.95:
        return bytes(random_.choices(range(256), k=random_.randint(0, 60))).decode("utf-8", "surrogateescape")
    return "".join(chr(random_.randint(0, 0x10FFFF)) for _ in range(random_.randint(0, 30)))


def attempt(text: str, vocabulary: Vocabulary) -> str:
    """What became of a line: "read", or the kind of complaint."""
    try:
        reading = read(text, vocabulary)
    except Complaint as complaint:
        start, end = complaint.at
        if not 0 <= start <= end <= len(text):
            raise AssertionError(f"a place outside the text: {text!r} {complaint.at}") from complaint
        return complaint.kind
    for meant in reading.lines:
        to_text(meant), to_mathml(meant), to_speech(meant)
    return "read"


def seconds(text: str, vocabulary: Vocabulary) -> float:
    start = time.perf_counter()
    with suppress(Complaint):
        read(text, vocabulary)
    return time.perf_counter() - start


def main(count: int, seed: int) -> int:
    chosen = random.Random(seed)
    vocabularies = [Vocabulary.of(catalogue.find(name)) for name in catalogue.names()]
    became: Counter[str] = Counter()
    slowest: tuple[float, str, Vocabulary] = (0.0, "", vocabularies[0])
    begun = time.perf_counter()
    gc.disable()
    for i in range(count):
        text, vocabulary = line(chosen), vocabularies[i % len(vocabularies)]
        start = time.perf_counter()
        became[attempt(text, vocabulary)] += 1
        took = time.perf_counter() - start
        if took > slowest[0]:
            again = min(seconds(text, vocabulary) for _ in range(3))
            if again > slowest[0]:
                slowest = (again, text, vocabulary)
        if i % 7 == 0:
            try:
                read_value(text, vocabulary)
            except Complaint:
                became["result complained about"] += 1
        if i % 20_000 == 0:
            gc.collect()
    took = time.perf_counter() - begun
    print(
        f"{count} lines over {len(vocabularies)} scenes, seed {seed}: {took:.0f} s, {count / took:.0f} lines a second"
    )
    print(f"read {became['read']}, slowest line {1000 * slowest[0]:.2f} ms: {slowest[1][:80]!r}")
    print(", ".join(f"{kind} {n}" for kind, n in became.most_common()))
    return 0 if slowest[0] < 0.02 else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000, int(sys.argv[2]) if len(sys.argv) > 2 else 1))

"""The confusion matrix of the corpus: what a marker said of each line (rows) against what the judge says (columns).

    python tests/judging/confusion.py

prints it as text and draws it into tests/shots/confusion.png. A line counts once for each kind that its marker gave; where the
marker left a choice ("a|b") the judge's own choice among them counts as agreed.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from marked_lines import Marked, corpus, judged

from plusway.autograde.judging import SLIPS

LABELS = ("right", "follows", *SLIPS, "unnamed", "unread")
SHOTS = Path(__file__).resolve().parents[1] / "shots"
Cells = Counter[tuple[str, str]]


def _expected(m: Marked, found: list[str]) -> list[str]:
    """The labels that the marker gave; where there was a choice, the judge's if it was among them, and where any
    slip would do, the judge's own."""
    verdict = next((v for v in m.verdict.split("|") if v in found), None) or (
        "slip" if "slip" in m.verdict else m.verdict.split("|")[0]
    )
    if verdict != "slip":
        return [verdict]
    if any("*" in k.split("|") for k in m.kinds):
        return found if set(found) <= {*SLIPS, "unnamed"} else ["unnamed"]
    out = []
    for kind in m.kinds:
        choice = kind.split("|")
        out.append(next((f for f in found if f in choice), choice[0]))
    return out


def cells(lines: Iterable[Marked]) -> Cells:
    """{(what the marker said, what the judge says): how many}."""
    out: Cells = Counter()
    for m in lines:
        step = judged(m)
        found = [s.kind for s in step.slips] if step.verdict == "slip" else [step.verdict]
        wanted = _expected(m, found)
        missed, extra = [w for w in wanted if w not in found], [f for f in found if f not in wanted]
        out.update((w, w) for w in wanted if w in found)
        for n, w in enumerate(missed):
            out[w, extra[n] if n < len(extra) else (found[0] if found[0] not in wanted else "unnamed")] += 1
        if not missed:
            out.update((wanted[0], f) for f in extra)
    return out


def as_text(counts: Cells) -> str:
    """A table: agreed and how the rest was called."""
    rows = []
    for label in LABELS:
        total = sum(n for (w, _), n in counts.items() if w == label)
        if total:
            others = ", ".join(f"{f} {n}" for (w, f), n in sorted(counts.items()) if w == label and f != label)
            rows.append(f"{label:20} {total:5} {counts[label, label]:7}   {others}")
    agreed = sum(n for (w, f), n in counts.items() if w == f)
    head = f"{'the marker said':20} {'lines':>5} {'agreed':>7}   the judge said instead"
    return "\n".join([head, *rows, f"{'together':20} {sum(counts.values()):5} {agreed:7}"])


def draw(counts: Cells, path: Path) -> None:
    """The matrix as a picture, each row by its share, with the counts written in."""
    import matplotlib

    matplotlib.use("Agg")
    import matplotlib.pyplot as plt

    used = [x for x in LABELS if any(x in pair for pair in counts)]
    shares = [[counts[w, f] / max(1, sum(counts[w, g] for g in used)) for f in used] for w in used]
    figure, axes = plt.subplots(figsize=(11, 10), layout="constrained")
    axes.imshow(shares, cmap="Blues", vmin=0, vmax=1)
    for y, w in enumerate(used):
        for x, f in enumerate(used):
            if counts[w, f]:
                axes.text(
                    x,
                    y,
                    str(counts[w, f]),
                    ha="center",
                    va="center",
                    fontsize=7,
                    color="white" if shares[y][x] > 0.5 else "black",
                )
    axes.set_xticks(range(len(used)), used, rotation=90)
    axes.set_yticks(range(len(used)), used)
    axes.set_xlabel("the judge says")
    axes.set_ylabel("the marker said")
    axes.set_title("Marked lines of the corpus")
    path.parent.mkdir(exist_ok=True)
    figure.savefig(path, dpi=120)
    plt.close(figure)


def main() -> int:
    counts = cells(corpus())
    print(as_text(counts))
    draw(counts, SHOTS / "confusion.png")
    return 0


if __name__ == "__main__":
    sys.exit(main())

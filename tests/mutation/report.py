"""The tables of what was noticed, from the answers kept."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

NOTICED = ("noticed", "hung")


def report(kept: Path, count: int) -> str:
    """Return the table by file and the survivors, in Markdown; the last answer of each counts."""
    rows: dict[int, dict[str, Any]] = {}
    for line in kept.read_text("utf-8").splitlines():
        row = json.loads(line)
        rows[row["number"]] = row
    found = [rows[n] for n in sorted(rows) if n < count]
    files = sorted({row["file"] for row in found})
    lines = ["| file | drawn | noticed | of them hung | survived | no test runs it | cut by time |"]
    lines.append("| --- | ---: | ---: | ---: | ---: | ---: | ---: |")
    for name in [*files, "all"]:
        own = [row for row in found if name in (row["file"], "all")]
        said = Counter(row["outcome"] for row in own)
        cut = sum(row["outcome"] == "survived" and row["left"] > 0 for row in own)
        noticed = sum(said[outcome] for outcome in NOTICED)
        cells = [len(own), noticed, said["hung"], said["survived"], said["unreached"], cut]
        lines.append(f"| {name} | " + " | ".join(map(str, cells)) + " |")
    noticed = sum(row["outcome"] in NOTICED for row in found)
    broken = [row["number"] for row in found if row["outcome"] == "broken"]
    share = 100.0 * noticed / max(1, len(found) - len(broken))
    lines += ["", f"{noticed} of {len(found) - len(broken)} noticed: {share:.1f} %"]
    if broken:
        lines.append(f"The asking itself failed for {broken}.")
    for row in found:
        if row["outcome"] in ("survived", "unreached"):
            cut = f", {row['left']} tests not asked" if row["left"] else ""
            lines += [
                "",
                f"- {row['number']} {row['file']}:{row['line']} {row['operator']}"
                f" ({row['outcome']}, {row['ran']} tests{cut})",
                f"  - {row['before']}",
                f"  - {row['after']}",
            ]
    return "\n".join(lines)

"""The digest from the command line, run in the folder tests.

    python -m digest make 10000 [--seed 1] [--spoilt 0.2] > requests.ndjson
                                                                 random requests; all but the spoilt succeed, nearly
    python -m digest run requests.ndjson replies.ndjson.gz       replies of the installed service; prints their digest
    python -m digest compare old.ndjson.gz new.ndjson.gz [--renamed names.txt]
                                                                 what differs; ends with 1 if anything does
"""

from __future__ import annotations

import argparse
import gzip
import hashlib
import json
import sys
from collections import Counter, defaultdict
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from digest.compare import Comparison, Renamed, compare, plain


def main() -> int:
    """Run one of the commands; 1 if replies differ."""
    parser = argparse.ArgumentParser(prog="python -m digest", description=(__doc__ or "").partition("\n")[0])
    commands = parser.add_subparsers(dest="command", required=True)
    make = commands.add_parser("make", help="write random requests to stdout")
    make.add_argument("count", type=int)
    make.add_argument("--seed", type=int, default=1)
    make.add_argument("--spoilt", type=float, default=0.0, help="share of requests with an error, 0 to 1")
    run = commands.add_parser("run", help="answer requests of a file in process")
    run.add_argument("requests", type=Path)
    run.add_argument("replies", type=Path)
    both = commands.add_parser("compare", help="compare two files of replies")
    both.add_argument("old", type=Path)
    both.add_argument("new", type=Path)
    both.add_argument("--renamed", type=Path, help="list of renamed keys: compare value by value through it")
    chosen = parser.parse_args()
    if chosen.command == "make":
        return _make(chosen.count, chosen.seed, chosen.spoilt)
    if chosen.command == "run":
        return _run(chosen.requests, chosen.replies)
    renamed = Renamed.read(chosen.renamed.read_text(encoding="utf-8")) if chosen.renamed else None
    return _report(compare(_read(chosen.old), _read(chosen.new), renamed))


def _make(count: int, seed: int, spoilt: float) -> int:
    from digest.random_requests import random_requests
    for one in random_requests(count, seed, spoilt):
        print(json.dumps(one, ensure_ascii=False, separators=(",", ":")))
    return 0


def _run(requests: Path, into: Path) -> int:
    import kettlewright

    from digest.replay import replies
    statuses: Counter[int] = Counter()
    forms: dict[str, Counter[str]] = defaultdict(Counter)
    digest = hashlib.sha256()
    with gzip.open(into, "wt", encoding="utf-8", newline="", compresslevel=6) as lines:
        for one in replies(_read(requests)):
            statuses[one["status"]] += 1
            forms[one["operation"]][one["type"] if one["status"] == 200 else "refused"] += 1
            digest.update(f"{one['status']} {one['type']} {plain(one)}\n".encode())
            lines.write(json.dumps(one, ensure_ascii=False, separators=(",", ":")) + "\n")
    _print_counts(forms)
    print(f"{kettlewright.__version__} in {Path(kettlewright.__file__).parent}: {statuses.total():,} replies, "
          f"{statuses[200] / statuses.total():.1%} of them 200; SHA-256 {digest.hexdigest()}")
    return 0


def _print_counts(forms: dict[str, Counter[str]]) -> None:
    """A table of the replies by operation and media type."""
    total = sum(forms.values(), Counter[str]())
    columns = [name for name, _ in total.most_common()]
    short = [name.rpartition("/")[2].removesuffix("+xml")[:9] for name in columns]
    print(f"{'':22}" + "".join(f"{name:>10}" for name in short))
    for operation, counts in [*sorted(forms.items()), ("all", total)]:
        print(f"{operation:22}" + "".join(f"{counts[name] or '':>10}" for name in columns))


def _read(path: Path) -> Iterable[dict[str, Any]]:
    opened = gzip.open if path.suffix == ".gz" else open
    with opened(path, "rt", encoding="utf-8", newline="") as lines:
        for line in lines:
            yield json.loads(line)


def _report(found: Comparison) -> int:
    for name, count in sorted(found.replies.items()):
        print(f"{name:12} {count:6,} replies, {found.answered[name]:6,} answered 200 by both, "
              f"{found.alike[name]:6,} the same byte for byte")
    print(f"{found.replies.total():,} replies, {found.answered.total():,} answered 200 by both, "
          f"{found.alike.total():,} the same byte for byte, {found.values:,} values compared, "
          f"{found.counts.total():,} differences of {len(found.counts):,} kinds")
    for kind, count in found.counts.most_common():
        print(f"\n{count:6,} x {kind}")
        for example in found.differences[kind]:
            print(f"         {example}")
    return 1 if found.counts else 0


if __name__ == "__main__":
    sys.exit(main())

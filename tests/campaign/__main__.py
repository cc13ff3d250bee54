"""    uv run python -m tests.campaign --cases 2000 --seed 7 [--only 12 345]"""
from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from multiprocessing import Pool

from tests.campaign.cases import make, try_case


def one(seed: int) -> tuple:
    case = make(seed)
    return seed, case.sleeve, case.done, try_case(case)


def main() -> int:
    asked = argparse.ArgumentParser(prog="tests.campaign")
    asked.add_argument("--cases", type=int, default=300)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--jobs", type=int, default=1)
    asked.add_argument("--only", type=int, nargs="*")
    asked.add_argument("--most", type=int, default=60, help="cases told in full")
    options = asked.parse_args()
    seeds = options.only or [options.seed * 1_000_000 + k for k in range(options.cases)]
    begin, outcomes, kinds, told = time.perf_counter(), Counter(), Counter(), 0
    pool = Pool(options.jobs) if options.jobs > 1 else None
    for seed, sleeve, done, verdict in (pool.imap(one, seeds, 8) if pool else map(one, seeds)):
        outcomes[verdict.outcome] += 1
        for complaint in verdict.complaints:
            kinds[complaint.partition(":")[0]] += 1
        if (verdict.complaints and told < options.most) or options.only:
            told += 1
            print(f"{seed} {sleeve}: {', '.join(done)}\n    " + "\n    ".join(verdict.complaints or (verdict.said or verdict.outcome,)))
    print(f"\n{len(seeds)} cases in {time.perf_counter() - begin:.0f} s: {dict(outcomes)}\ncomplaints: {dict(kinds.most_common())}")
    return 1 if outcomes["wrong"] else 0


if __name__ == "__main__":
    sys.exit(main())

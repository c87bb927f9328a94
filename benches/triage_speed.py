#!/usr/bin/env python3
"""How well `lampwise triage` uses the cores: clips a second of all cores beside those of one reader alone.

Renders clips of every row of a table into a temporary folder (or takes a folder that is there), then lets triage read
them with one job and with one job a core, in turn. Both runs are one process, so that neither pays for starting up
more than once, and every job decodes with one thread. Exits with 1 if the target is missed. Run it on a quiet machine:
the load average is printed, since work of others takes the cores that are measured.

usage: benches/triage_speed.py [--clips N] [--runs N] [--program PATH] [--folder FOLDER]
"""

import argparse
import concurrent.futures
import os
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time
import tomllib

ROOT = pathlib.Path(__file__).resolve().parent.parent
TABLE = ROOT / "models/tables/orchard-valve.toml"
# Target of the project: nine tenths of what as many readers as cores would do if they shared nothing.
SHARE_MIN = 0.9
# 0 all decided, 1 some open.
STATUS = (0, 1)


def render(program, folder, clips):
    rows = [row["id"] for row in tomllib.loads(TABLE.read_text())["meaning"]]

    def one(number):
        out = folder / f"{number:04}.mp4"
        if not out.exists():
            subprocess.run(
                [program, "render", "--table", TABLE, "--row", rows[number % len(rows)], "--out", out,
                 "--seconds", "5", "--size", "640x360", "--radius", "9", "--seed", str(number + 1)],
                check=True,
            )  # fmt: skip

    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        list(pool.map(one, range(clips)))


def triage(program, folder, jobs):
    """Wall time in seconds."""
    with tempfile.TemporaryDirectory() as scratch:
        command = [program, "triage", folder, "--table", TABLE, "--journal", f"{scratch}/journal", "--jobs", str(jobs)]
        start = time.perf_counter()
        done = subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
        wall = time.perf_counter() - start
    if done.returncode not in STATUS:
        sys.exit(done.stderr.decode(errors="replace"))
    return wall


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--clips", type=int, default=200)
    parser.add_argument("--runs", type=int, default=3)
    parser.add_argument("--program", default=ROOT / "target/release/lampwise")
    parser.add_argument("--folder", type=pathlib.Path)
    asked = parser.parse_args()
    cores = len(os.sched_getaffinity(0))
    with tempfile.TemporaryDirectory() as made:
        folder = asked.folder or pathlib.Path(made)
        folder.mkdir(exist_ok=True)
        render(asked.program, folder, asked.clips)
        load = os.getloadavg()[0]
        times = {jobs: [] for jobs in (1, cores)}
        for _ in range(asked.runs):
            for jobs in times:
                times[jobs].append(triage(asked.program, folder, jobs))
    one, all_cores = (statistics.median(times[jobs]) for jobs in (1, cores))
    share = one / all_cores / cores
    print(f"{asked.clips} clips, {cores} cores, load average before: {load:.1f}")
    print(f"one job:    {one:.2f} s, {asked.clips / one:.1f} clips a second")
    print(f"{cores} jobs:     {all_cores:.2f} s, {asked.clips / all_cores:.1f} clips a second")
    print(f"share of cores x one job: {share:.2f} (at least {SHARE_MIN})")
    sys.exit(share < SHARE_MIN)


if __name__ == "__main__":
    main()

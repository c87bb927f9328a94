#!/usr/bin/env python3
"""How fast `lampwise read` is beside a bare decode by ffmpeg, and how much memory it takes.

Makes three clips (1080p30, H.264) in a temporary folder: a lamp as a phone films it, 10 s, and a moving test card with
noise that hardly a frame of can be aligned to another, 10 s and 60 s. Runs both programs in turn and compares medians.
Exits with 1 if a target is missed. Needs the ffmpeg program; run it on a quiet machine.

usage: benches/read_speed.py [--runs N] [--program PATH]
"""

import argparse
import os
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parent.parent
# Targets of the project: the whole reading in a tenth more than the bare decode, and memory that does not depend on the
# clip's length.
RATIO_MAX = 1.1
MEMORY_MAX_MB = 200
# "The same memory": what the allocator and the per-frame summaries (a few hundred bytes each) may add.
GROWTH_MAX_MB = 10
# 0 decided, 1 undecided or unlisted, 2 no lamp: the made clip shows none.
READ_STATUS = (0, 1, 2)


def make_card(path, seconds):
    """Fractal zoom under a test card with a clock, with sensor-like noise: about 15 Mbit/s, as phones write."""
    graph = (
        f"mandelbrot=s=1920x1080:r=30,trim=duration={seconds}[zoom];"
        f"testsrc2=s=960x540:r=30:d={seconds}[card];"
        "[zoom][card]overlay=480:270,noise=alls=12:allf=t,format=yuv420p"
    )
    subprocess.run(
        ["ffmpeg", "-v", "error", "-y", "-filter_complex", graph, "-t", str(seconds),
         "-c:v", "libx264", "-preset", "medium", "-profile:v", "high", "-b:v", "15M",
         "-movflags", "+faststart", str(path)],
        check=True,
    )  # fmt: skip


def make_lamp(program, path):
    recipe = ROOT / "benches/read_speed.toml"
    subprocess.run([str(program), "render", "--recipe", str(recipe), "--out", str(path)], check=True)


def run(command, accepted):
    """Wall time in seconds and peak memory in MB of one run."""
    start = time.perf_counter()
    child = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    complaint = child.stderr.read()
    _, status, usage = os.wait4(child.pid, 0)
    wall = time.perf_counter() - start
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode not in accepted:
        sys.exit(f"{' '.join(command)}: status {child.returncode}\n{complaint.decode(errors='replace')}")
    # Linux counts kibibytes, macOS bytes.
    return wall, usage.ru_maxrss / (1e6 if sys.platform == "darwin" else 1e6 / 1024)


def compare(program, clip, runs):
    """Medians of interleaved runs: ours in s, ffmpeg's in s, ratio, our greatest memory in MB."""
    ours, bare = [], []
    for _ in range(runs):
        bare.append(run(["ffmpeg", "-v", "error", "-threads", "2", "-i", str(clip), "-map", "0:v", "-f", "null", "-"], (0,)))
        ours.append(run([str(program), "read", str(clip), "--json"], READ_STATUS))
    our_wall = statistics.median(wall for wall, _ in ours)
    bare_wall = statistics.median(wall for wall, _ in bare)
    # Of neighbours in time, so that a slow minute of the machine hits both.
    ratio = statistics.median(a / b for (a, _), (b, _) in zip(ours, bare))
    return our_wall, bare_wall, ratio, max(memory for _, memory in ours)


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("--runs", type=int, default=5, help="runs of each program on each clip")
    parser.add_argument("--program", type=pathlib.Path, help="a built lampwise; else it is built here")
    options = parser.parse_args()
    program = options.program
    if program is None:
        subprocess.run(["cargo", "build", "--release"], cwd=ROOT, check=True)
        program = ROOT / "target/release/lampwise"

    missed = False

    def line(what, value, target, good):
        nonlocal missed
        missed |= not good
        print(f"{what:<42}{value:>12}{target:>14}  {'ok' if good else 'MISS'}")

    with tempfile.TemporaryDirectory() as folder:
        memory_mb = {}
        print(f"{'':<42}{'measured':>12}{'target':>14}")
        for what, seconds in (("lamp", 10), ("card", 10), ("card", 60)):
            clip = pathlib.Path(folder) / f"{what}-{seconds}s.mp4"
            if what == "lamp":
                make_lamp(program, clip)
            else:
                make_card(clip, seconds)
            ours, bare, ratio, memory_mb[seconds] = compare(program, clip, options.runs)
            megabits = clip.stat().st_size * 8 / seconds / 1e6
            print(f"{what}, {seconds} s, {megabits:.1f} Mbit/s: lampwise {ours:.2f} s, ffmpeg {bare:.2f} s")
            line("  time, median ratio to ffmpeg", f"{ratio:.2f}", f"<= {RATIO_MAX}", ratio <= RATIO_MAX)
            line("  peak memory", f"{memory_mb[seconds]:.0f} MB", f"<= {MEMORY_MAX_MB} MB",
                 memory_mb[seconds] <= MEMORY_MAX_MB)  # fmt: skip
        growth = memory_mb[60] - memory_mb[10]
        line("memory, 60 s card over 10 s card", f"{growth:+.0f} MB", f"<= +{GROWTH_MAX_MB} MB", growth <= GROWTH_MAX_MB)
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())

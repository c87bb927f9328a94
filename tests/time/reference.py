"""Flashing lights as series, and what a general-purpose periodogram makes of them.

    python3 -m venv venv && venv/bin/pip install numpy==2.4.6 astropy==8.0.2
    venv/bin/python tests/time/reference.py

writes tests/time/series.csv (case, time_s, level) and tests/time/reference.csv (case, truth and the period of the
highest peak of astropy's Lomb-Scargle periodogram with three harmonics).
"""

import csv
import pathlib

import numpy as np
from astropy.timeseries import LombScargle

HERE = pathlib.Path(__file__).parent
# period_s, on_s, frames a second, exposure as a share of a frame, noise, share of frames dropped
CASES = [
    (1.0003, 0.5, 30, 1.0, 0.03, 0.0),
    (0.3990, 0.2, 30, 0.6, 0.05, 0.05),
    (2.5170, 0.25, 24, 1.0, 0.03, 0.1),
    (0.7130, 0.1, 60, 0.9, 0.05, 0.0),
    (1.2900, 0.9, 25, 0.4, 0.08, 0.05),
    (3.1000, 1.1, 30, 0.8, 0.10, 0.0),
]


def lit_before(times, period, on):
    cycles = np.floor(times / period)
    return cycles * on + np.clip(times - cycles * period, 0, on)


def main():
    random = np.random.default_rng(20)
    with open(HERE / "series.csv", "w") as series_file, open(HERE / "reference.csv", "w") as reference_file:
        series = csv.writer(series_file, lineterminator="\n")
        reference = csv.writer(reference_file, lineterminator="\n")
        series.writerow(["case", "time_s", "level"])
        reference.writerow(["case", "period_s", "on_s", "fps", "peak_period_s"])
        for case, (period, on, fps, exposure, noise, dropped) in enumerate(CASES):
            times = np.arange(int(10 * fps)) / fps + random.normal(0, 0.03 / fps, int(10 * fps))
            times = np.sort(times)[random.random(len(times)) >= dropped]
            start = random.uniform(10, 20)
            opened = start + times
            levels = (lit_before(opened + exposure / fps, period, on) - lit_before(opened, period, on)) * fps / exposure
            levels += random.normal(0, noise, len(times))
            times -= times[0]
            for time, level in zip(times, levels):
                series.writerow([case, f"{time:.6f}", f"{level:.5f}"])
            rates = np.linspace(0.2, fps / 4, 20_000)
            power = LombScargle(times, levels, nterms=3).power(rates, method="fastchi2")
            peak = rates[np.argmax(power)]
            # A harmonic model also fits at whole parts of the rate: keep the fastest that fits as well.
            for part in (4, 3, 2):
                near = np.abs(rates / (part * peak) - 1) < 0.01
                if near.any() and power[near].max() > 0.98 * power.max():
                    peak = rates[near][np.argmax(power[near])]
                    break
            fine = np.linspace(peak * 0.995, peak * 1.005, 1_001)
            peak = fine[np.argmax(LombScargle(times, levels, nterms=3).power(fine, method="chi2"))]
            reference.writerow([case, period, on, fps, f"{1 / peak:.6f}"])


if __name__ == "__main__":
    main()

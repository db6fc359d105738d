"""Asks the probe program for this project's values; shared by the scripts beside it."""

import subprocess
import sys

SKIPPED = 77


def ask(program, requests):
    """The answers, a list of numbers a request."""
    done = subprocess.run([program], input="\n".join(requests) + "\n", text=True,
                          capture_output=True, check=False)
    if done.returncode != 0:
        sys.exit(f"the probe failed: {done.stderr}")
    answers = [[float(word) for word in line.split()] for line in done.stdout.splitlines()]
    if len(answers) != len(requests):
        sys.exit(f"{len(requests)} requests, {len(answers)} answers")
    return answers


class Comparison:
    """Collects the largest relative difference and every pair beyond what is allowed."""

    def __init__(self, name, allowed):
        self.name, self.allowed = name, allowed
        self.count, self.worst, self.failures = 0, 0.0, []

    def add(self, what, ours, theirs, scale=None):
        scale = abs(theirs) if scale is None else scale
        difference = abs(ours - theirs) / scale if scale > 0 else abs(ours - theirs)
        self.count += 1
        # Written so that a NaN counts as a failure.
        if not difference <= self.allowed:
            self.failures.append(f"{what}: ours {ours!r}, theirs {theirs!r}")
        self.worst = max(self.worst, difference)

    def finish(self, at_least):
        print(f"{self.name}: {self.count} pairs, largest relative difference {self.worst:.2g}, "
              f"allowed {self.allowed:.2g}")
        for failure in self.failures[:10]:
            print("  " + failure)
        if self.failures or self.count < at_least:
            sys.exit(1)

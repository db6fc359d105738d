"""Friction factor against the Colebrook equation of the Python package fluids."""

import sys

import probe

try:
    from fluids.friction import Colebrook
except ImportError as error:
    print(f"skipped: {error}")
    sys.exit(probe.SKIPPED)

N_REYNOLDS, N_ROUGHNESS = 41, 31
reynolds = [4000.0 * 25000.0 ** (i / (N_REYNOLDS - 1)) for i in range(N_REYNOLDS)]
roughness = [0.0] + [1e-7 * 5e5 ** (j / (N_ROUGHNESS - 2)) for j in range(N_ROUGHNESS - 1)]
pairs = [(re, rough) for re in reynolds for rough in roughness]

answers = probe.ask(sys.argv[1], [f"friction {re!r} {rough!r}" for re, rough in pairs])
result = probe.Comparison("friction factor, Colebrook", 1e-8)
for (re, rough), (ours,) in zip(pairs, answers):
    # tol=0: solved to the last digit there too.
    result.add(f"Re {re:g}, roughness {rough:g}", ours, Colebrook(re, rough, tol=0))
result.finish(at_least=1000)

"""Moist air density against the CIPM-2007 equation of state, written out here.

A. Picard, R. S. Davis, M. Glaser and K. Fujii, Metrologia 45 (2008) 149-155. The constants are
recalled, not read; that they are right shows in the agreement itself, as they share nothing with the
ideal gas and the saturation law under test. Range of the equation: 15 to 27 degC, 600 to 1100 hPa.
"""

import math
import sys

import probe


def cipm_density(kelvin, humidity, pascal):
    celsius = kelvin - 273.15
    saturation = math.exp(1.2378847e-5 * kelvin**2 - 1.9121316e-2 * kelvin + 33.93711047
                          - 6343.1645 / kelvin)
    enhancement = 1.00062 + 3.14e-8 * pascal + 5.6e-7 * celsius**2
    vapour = humidity * enhancement * saturation / pascal
    compressibility = (1.0 - pascal / kelvin * (
        1.58123e-6 - 2.9331e-8 * celsius + 1.1043e-10 * celsius**2
        + (5.707e-6 - 2.051e-8 * celsius) * vapour
        + (1.9898e-4 - 2.376e-6 * celsius) * vapour**2)
        + (pascal / kelvin)**2 * (1.83e-11 - 0.765e-8 * vapour**2))
    dry_molar_mass = 28.96546e-3
    return (pascal * dry_molar_mass / (compressibility * 8.314472 * kelvin)
            * (1.0 - vapour * (1.0 - 18.01528e-3 / dry_molar_mass)))


states = [(273.15 + celsius, humidity / 10.0, 1000.0 * kilopascal)
          for celsius in range(15, 28)
          for humidity in range(0, 11)
          for kilopascal in range(60, 111, 5)]
answers = probe.ask(sys.argv[1], ["density {!r} {!r} {!r}".format(*state) for state in states])
# 0.1 %: the ideal gas leaves out a compressibility of 0.04 % and the enhancement of the vapour.
result = probe.Comparison("moist air density, CIPM-2007", 1e-3)
for state, (ours,) in zip(states, answers):
    result.add("{:g} K, humidity {:g}, {:g} Pa".format(*state), ours, cipm_density(*state))
result.finish(at_least=1000)

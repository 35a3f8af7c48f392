"""All footswitch states of a row of true-bypass units, by brute force with numpy.

Reads on standard input what `cargo bench -p rigwright-tests --bench numpy` writes:
{"hz": [...], "coil": {"r", "l", "c"}, "pots": ohms, "tone_cap": farads, "metres": [...],
"cable": {"c", "r", "l", "tan", "plug"}, "wiring": farads, "unit": {"in", "out"},
"amp": {"r", "c"}, "repeats": n}. Writes {"seconds", "lowest_db", "highest_db"}.

Formulas [S: nodal]: a row (A, B) with E = A·V + B·I is carried outward from the EMF;
a shunt y makes A += B·y, a series z makes B += A·z, a lead is the telegrapher line.
States are gone through in chunks that fit a cache, frequencies side by side.
"""

import json
import sys
import time

import numpy as np

CHUNK = 256


def envelope(rig):
    omega = 2 * np.pi * np.asarray(rig["hz"])
    cable, coil = rig["cable"], rig["coil"]

    def capacitor(farads):
        return 1j * omega * farads

    def lead(metres):
        z = (cable["r"] + 1j * omega * cable["l"]) * metres
        y = omega * cable["c"] * metres * (1j + cable["tan"])
        x = np.sqrt(z * y)
        shrunk = np.sinh(x) / x
        plug = capacitor(cable["plug"])
        # Plug, line, plug as one chain matrix.
        line = np.array([[np.cosh(x), z * shrunk], [y * shrunk, np.cosh(x)]])
        one = np.ones_like(plug)
        end = np.array([[one, 0 * one], [plug, one]])
        return np.einsum("ijf,jkf,klf->ilf", end, line, end)

    def through(a, b, port):
        return a * port[0, 0] + b * port[1, 0], a * port[0, 1] + b * port[1, 1]

    leads = [lead(metres) for metres in rig["metres"]]
    units = len(leads) - 1
    # The guitar, pots full up: coil, winding, tone branch, volume pot.
    source_b = coil["r"] + 1j * omega * coil["l"]
    shunt = capacitor(coil["c"]) + 1 / rig["pots"] + 1 / (rig["pots"] + 1 / capacitor(rig["tone_cap"]))
    source_a = 1 + source_b * shunt
    wiring = capacitor(rig["wiring"])
    amp = 1 / rig["amp"]["r"] + capacitor(rig["amp"]["c"])
    lowest = np.full(omega.size, np.inf)
    highest = np.zeros(omega.size)
    for first in range(0, 1 << units, CHUNK):
        states = np.arange(first, min(first + CHUNK, 1 << units))
        a = np.broadcast_to(source_a, (states.size, omega.size))
        b = np.broadcast_to(source_b, (states.size, omega.size))
        loss = np.ones((states.size, omega.size))
        for unit in range(units):
            a, b = through(a, b, leads[unit])
            a = a + b * wiring
            on = (states >> unit & 1).astype(bool)
            end = a[on] + b[on] / rig["unit"]["in"]
            loss[on] *= end.real**2 + end.imag**2
            a[on] = 1
            b[on] = rig["unit"]["out"]
        a, b = through(a, b, leads[units])
        end = a + b * amp
        loss *= end.real**2 + end.imag**2
        lowest = np.minimum(lowest, loss.min(axis=0))
        highest = np.maximum(highest, loss.max(axis=0))
    return -10 * np.log10(highest), -10 * np.log10(lowest)


def main():
    rig = json.load(sys.stdin)
    best = float("inf")
    for _ in range(rig["repeats"]):
        start = time.perf_counter()
        lowest, highest = envelope(rig)
        best = min(best, time.perf_counter() - start)
    json.dump({"seconds": best, "lowest_db": lowest.tolist(), "highest_db": highest.tolist()}, sys.stdout)


main()

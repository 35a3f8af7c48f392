"""Reference levels of guitars with several pickups, made with lcapy.

Writes lcapy_guitars.json beside this file: for each case a guitar, where its
selector, its push-pulls and its knobs stand, and its level at a load of 1 MOhm
and 450 pF, 20 log10 |V / EMF|, every pickup's EMF being 1 V.

Each guitar is drawn here part by part from its description, and lcapy (modified
nodal analysis, in exact fractions and polynomials of s) gives the voltage at
the jack. Before anything is written the values of ../SOURCES.md are checked
that these circuits can show.

    python lcapy_guitars.py            check, then write lcapy_guitars.json
    python lcapy_guitars.py --check    check, and compare with the file that is there
"""

import json
import math
import platform
import sys
from pathlib import Path

import lcapy
import mpmath
import sympy
from lcapy import Circuit, s

OUT = Path(__file__).with_name("lcapy_guitars.json")
FILE_DB = 1e-9  # allowed between a fresh run and the file kept
HZ = [82.4, 200.0, 500.0, 1000.0, 2000.0, 3000.0, 4000.0, 5000.0, 7000.0, 10000.0, 15000.0]
LOAD_OHM, LOAD_FARAD = 1e6, 450e-12


class Drawing:
    """Parts between named nodes; nodes that a contact joins are one."""

    def __init__(self):
        self.parts, self.same, self.count = [], {}, 0

    def node(self):
        self.count += 1
        return f"n{self.count}"

    def root(self, node):
        while node in self.same:
            node = self.same[node]
        return node

    def join(self, a, b):
        a, b = self.root(a), self.root(b)
        if a != b:
            # 0 V stays what it is.
            keep, gone = (b, a) if b == "0" else (a, b)
            self.same[gone] = keep

    def part(self, kind, a, b, value):
        if kind == "R" and value == 0:
            self.join(a, b)
        elif not (kind == "C" and value == 0):
            self.parts.append((kind, a, b, value))

    def level_db(self, at):
        """The level at a node, one a frequency; none of it where it is at 0 V."""
        if self.root(at) == "0":
            return [None] * len(HZ)
        numbers = {"0": 0}
        number = lambda node: numbers.setdefault(self.root(node), len(numbers))
        lines, coils = [], []
        for place, (kind, a, b, value) in enumerate(self.parts):
            if kind == "K":
                lines.append(f"K{place} L{a} L{b} {value!r}")
            elif kind == "V":
                lines.append(f"V{place} {number(a)} {number(b)} s {value!r}")
            elif number(a) != number(b):
                lines.append(f"{kind}{place} {number(a)} {number(b)} {value!r}")
        voltage = Circuit("\n".join(lines))[number(at)].V(s).expr
        symbol = list(voltage.free_symbols)[0]
        there = sympy.lambdify(symbol, voltage, "mpmath")
        with mpmath.workdps(40):
            values = [there(mpmath.mpc(0, 2 * mpmath.pi * hz)) for hz in HZ]
            return [float(20 * mpmath.log10(abs(value))) for value in values]


# ---------------------------------------------------------------- a guitar

def below(pot, turn):
    """The part of a track below its wiper."""
    taper = pot["taper"]
    if taper == "Linear":
        return turn
    half = taper["Exponential"]["half"]
    base = (1 / half - 1) ** 2
    return (base ** turn - 1) / (base - 1)


def track(net, pot, turn, top, wiper):
    part = below(pot, turn)
    net.part("R", top, wiper, pot["resistance"] * (1 - part))
    if not (pot.get("no_load") and turn == 1):
        net.part("R", wiper, "0", pot["resistance"] * part)


def tone(net, control, turn, at):
    if control and not (control["pot"].get("no_load") and turn == 1):
        between = net.node()
        net.part("R", at, between, control["pot"]["resistance"] * below(control["pot"], turn))
        net.part("C", between, "0", control["capacitor"])


def draw(guitar, joined, in_series, turns):
    """`joined`: of each pickup its number, whether turned over, whether half of it."""
    net, wiring = Drawing(), guitar["pickup_wiring"]
    pickups = [guitar["pickup"]] + [other["pickup"] for other in wiring["others"]]
    owns = [wiring["first"]] + [other["own"] for other in wiring["others"]]
    turn = lambda name: turns.get(name, 0.5 if name == "Blend" else 1.0)
    bus, cold, coils = net.node(), "0", {}
    for place, (number, turned_over, half) in enumerate(joined):
        pickup, share, hot = pickups[number - 1], 0.5 if half else 1.0, net.node()
        first, last = (hot, cold) if turned_over else (cold, hot)
        a, b = net.node(), net.node()
        net.part("V", a, first, 1.0 * share)
        net.part("R", a, b, pickup["resistance"] * share)
        coils[number] = (len(net.parts), pickup["inductance"] * share)
        net.part("L", b, last, pickup["inductance"] * share)
        if pickup.get("eddy_loss"):
            net.part("R", b, last, pickup["eddy_loss"] * share)
        net.part("C", cold, hot, pickup["capacitance"] / share)
        if in_series and place + 1 < len(joined):
            cold = hot
            continue
        used = joined[0][0] if in_series else number
        own, after = owns[used - 1], net.node()
        volume, at = own.get("volume"), turn(f"VolumeOf {used}")
        if volume is None:
            net.join(hot, after)
        elif wiring.get("own_volumes") == "PickupsOnWipers":
            track(net, volume, at, after, hot)
        else:
            track(net, volume, at, hot, after)
        tone(net, own.get("tone"), turn(f"ToneOf {used}"), hot)
        blend = wiring.get("blend")
        if blend and used <= 2:
            x = turn("Blend")
            track(net, blend, min(1.0, 2 - 2 * x if used == 1 else 2 * x), bus, after)
        else:
            net.join(after, bus)
    for number, (place, _) in coils.items():
        if number + 1 in coils and wiring.get("coupling"):
            net.part("K", place, coils[number + 1][0], wiring["coupling"])
    tone(net, guitar.get("tone"), turn("Tone"), bus)
    jack = bus
    if guitar.get("volume"):
        jack = net.node()
        track(net, guitar["volume"], turn("Volume"), bus, jack)
        bleed = (guitar.get("treble_bleed") or {}).get("Parallel")
        if bleed:
            net.part("C", bus, jack, bleed["capacitance"])
            net.part("R", bus, jack, bleed["resistance"])
    net.part("R", jack, "0", LOAD_OHM)
    net.part("C", jack, "0", LOAD_FARAD)
    return net.level_db(jack)


# ---------------------------------------------------------------- cases

def pickup(ohm, henry, farad, loss=None):
    return {"resistance": ohm, "inductance": henry, "capacitance": farad, "eddy_loss": loss}


SC = pickup(6e3, 2.5, 100e-12)
HB = pickup(8e3, 4.5, 120e-12)
NECK = pickup(7e3, 2.8, 110e-12, 800e3)
AUDIO = {"Exponential": {"half": 0.15}}


def pot(ohm, taper="Linear", no_load=False):
    return {"resistance": ohm, "taper": taper, "no_load": no_load}


def knob(ohm, farad=22e-9, no_load=False):
    return {"pot": pot(ohm, no_load=no_load), "capacitor": farad, "order": "OnInput"}


def position(*numbers, in_series=False, turned_over=(), half=()):
    one = lambda n: {"pickup": n, "turned_over": n in turned_over, "half": n in half}
    return {"name": "", "pickups": [one(n) for n in numbers], "in_series": in_series}


def guitar(first, others, selector, owns=None, **more):
    owns = owns or [{"name": ""}] * (1 + len(others))
    wiring = {"first": owns[0], "others": [{"pickup": p, "own": o} for p, o in zip(others, owns[1:])],
              "selector": selector}
    wiring |= {key: more.pop(key) for key in ("own_volumes", "blend", "coupling") if key in more}
    return {"instrument": "Guitar", "pickup": first, "pickup_wiring": wiring} | more


def own(ohm, farad=None, taper="Linear"):
    return {"name": "", "volume": pot(ohm, taper)} | ({"tone": knob(ohm, farad)} if farad else {})


BOTH = [position(1, 2)]
CASES = [
    ("two humbuckers, wipers joined, both full up", guitar(HB, [HB], BOTH, [own(500e3, 22e-9)] * 2), {}),
    ("the same, one volume at a third", guitar(HB, [HB], BOTH, [own(500e3, 22e-9)] * 2), {"VolumeOf 2": 1 / 3}),
    ("the same, one tone closed", guitar(HB, [HB], BOTH, [own(500e3, 22e-9)] * 2), {"ToneOf 1": 0.0}),
    ("pickups on the wipers, one at a third",
     guitar(HB, [NECK], BOTH, [own(500e3)] * 2, own_volumes="PickupsOnWipers"), {"VolumeOf 1": 1 / 3}),
    ("pickups on the wipers, one closed",
     guitar(HB, [NECK], BOTH, [own(500e3)] * 2, own_volumes="PickupsOnWipers"), {"VolumeOf 1": 0.0}),
    ("two unlike in series", guitar(SC, [NECK], [position(1, 2, in_series=True)], volume=pot(250e3)), {}),
    ("two unlike in series, one turned over",
     guitar(SC, [NECK], [position(1, 2, in_series=True, turned_over=(2,))], volume=pot(250e3)), {}),
    ("two unlike side by side, one turned over",
     guitar(SC, [NECK], [position(1, 2, turned_over=(2,))], volume=pot(250e3), tone=knob(250e3)), {}),
    ("fields shared by a fifth, side by side", guitar(SC, [NECK], BOTH, coupling=0.2, volume=pot(250e3)), {}),
    ("fields shared by a fifth, in series",
     guitar(SC, [NECK], [position(1, 2, in_series=True)], coupling=0.2, volume=pot(250e3)), {}),
    ("fields shared by a fifth, one turned over",
     guitar(SC, [NECK], [position(1, 2, turned_over=(1,))], coupling=0.2, volume=pot(250e3)), {}),
    ("three side by side, fields shared by a tenth", guitar(SC, [NECK, HB], [position(1, 2, 3)], coupling=0.1), {}),
    ("one coil of a humbucker beside a single coil",
     guitar(HB, [SC], [position(1, 2, half=(1,))], volume=pot(500e3), tone=knob(500e3)), {}),
    ("volume for all at half with a treble bleed",
     guitar(SC, [NECK], BOTH, volume=pot(250e3, AUDIO), tone=knob(250e3),
            treble_bleed={"Parallel": {"capacitance": 1e-9, "resistance": 150e3}}), {"Volume": 0.5, "Tone": 0.7}),
    ("a blend at 0.3", guitar(SC, [NECK], [], blend=pot(250e3)), {"Blend": 0.3}),
    ("a blend in its middle before a volume", guitar(HB, [NECK], [], blend=pot(500e3), volume=pot(500e3)), {"Volume": 0.6}),
    ("tone without load, full up", guitar(SC, [NECK], BOTH, volume=pot(250e3), tone=knob(250e3, no_load=True)), {}),
    ("the same, a little less", guitar(SC, [NECK], BOTH, volume=pot(250e3), tone=knob(250e3, no_load=True)), {"Tone": 0.99}),
]


def solved(case):
    name, guitar, turns = case
    wiring = guitar["pickup_wiring"]
    every = position(*range(1, 2 + len(wiring["others"])))
    stands = wiring["selector"][0] if wiring["selector"] else every
    joined = [(one["pickup"], one["turned_over"], one["half"]) for one in stands["pickups"]]
    return {"name": name, "guitar": guitar, "turned": turns, "level_db": draw(guitar, joined, stands["in_series"], turns)}


def check_printed():
    """two-coils: where two SC without loss and 450 pF resonate."""
    for in_series, part, printed in [(True, 0, 3183), (False, 0, 5584), (True, 0.2, 2906), (False, 0.2, 5097)]:
        henry = 2 * 2.5 * (1 + part) if in_series else 2.5 * (1 + part) / 2
        farad = 450e-12 + (50e-12 if in_series else 200e-12)
        found = 1 / (2 * math.pi * math.sqrt(henry * farad))
        assert abs(found - printed) < 0.5, (in_series, part, found)


def main():
    check_printed()
    made_with = {"python": platform.python_version(), "lcapy": lcapy.__version__, "sympy": sympy.__version__}
    fresh = {"made_with": made_with, "hz": HZ, "cases": [solved(case) for case in CASES]}
    if sys.argv[1:] == ["--check"]:
        kept = json.loads(OUT.read_text())
        assert [case["name"] for case in kept["cases"]] == [case["name"] for case in fresh["cases"]]
        pairs = [(a, b) for x, y in zip(kept["cases"], fresh["cases"]) for a, b in zip(x["level_db"], y["level_db"])]
        worst = max(abs(a - b) for a, b in pairs)
        assert worst <= FILE_DB, worst
        print(f"{len(pairs)} levels are as kept, to {worst:.1e} dB")
        return
    for case in fresh["cases"]:
        case["level_db"] = [round(db, 10) for db in case["level_db"]]
    OUT.write_text(json.dumps(fresh, indent=1) + "\n")
    print(f"{len(CASES)} guitars written")


main()

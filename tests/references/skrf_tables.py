"""Reference levels of ladder networks, made with scikit-rf.

Writes skrf_tables.json beside this file: for each case a ladder and its level,
20 log10 |V at the end / EMF|, at fixed frequencies. An ideal EMF of 1 V drives
the ladder from the left, its end is open, so the level is that of 1/A.

Three routes have to agree to 1e-9 dB before anything is written:
  1. scikit-rf scattering networks at a port impedance of 1 kOhm,
  2. the same at 50 kOhm,
  3. a plain numpy product of chain (ABCD) matrices.
The values of ../SOURCES.md that these ladders can show are checked
by route 1, to the digits given; a value that isn't met stops the script.

    python skrf_tables.py            check, then write skrf_tables.json
    python skrf_tables.py --check    check, and compare with the file that is there
"""

import json
import math
import platform
import sys
from pathlib import Path

import numpy as np
import skrf as rf
from skrf.media import DefinedGammaZ0, DistributedCircuit

OUT = Path(__file__).with_name("skrf_tables.json")
PORT_OHMS = (1e3, 50e3)
AGREE_DB = 1e-9
FILE_DB = 1e-9  # allowed between a fresh run and the file kept
ZOOMS = 4  # of 20 times each: far finer than the four digits they have to show

HZ = sorted(
    {1000.0 * 10.0 ** (n / 10) for n in range(-17, 14)}
    | {100.0, 1000.0, 3000.0, 5000.0, 10000.0, 20000.0}
)


# ---------------------------------------------------------------- ladders

def r(x): return {"r": float(x)}
def l(x): return {"l": float(x)}
def c(x): return {"c": float(x)}
def chain(*b): return {"in_series": list(b)}
def beside(*b): return {"in_parallel": list(b)}
def series(b): return {"series": b}
def shunt(b): return {"shunt": b}


def line(metres, tan_delta, ohm=0.12, henry=0.35e-6, farad=100e-12):
    return {"line": {"length_m": float(metres), "ohm_per_m": ohm, "henry_per_m": henry,
                     "farad_per_m": farad, "loss_tangent": float(tan_delta)}}


# ---------------------------------------------------------------- route 1 and 2: scikit-rf

class ByScattering:
    """Ladders as scikit-rf networks, all ports at one real impedance."""

    def __init__(self, hz, port_ohms):
        self.port = float(port_ohms)
        self.freq = rf.Frequency.from_f(np.asarray(hz, float), unit="hz")
        self.media = DefinedGammaZ0(frequency=self.freq, z0_port=self.port,
                                    z0=self.port, gamma=1j * self.freq.w / rf.constants.c)

    def branch(self, b):
        """The branch as a two-port standing in series."""
        (kind, v), = b.items()
        if kind == "r":
            return self.media.resistor(v)
        if kind == "l":
            return self.media.inductor(v)
        if kind == "c":
            return self.media.capacitor(v)
        parts = [self.branch(x) for x in v]
        if kind == "in_series":
            return rf.network.cascade_list(parts)
        if kind == "in_parallel":
            for n, part in enumerate(parts):
                part.name = f"side {n}"  # joined networks need names of their own
            near, far = self.media.thru(name="near"), self.media.thru(name="far")
            near = rf.network.parallelconnect([near, *parts], [1] + [0] * len(parts), name="near")
            return rf.network.parallelconnect([near, far], [list(range(1, len(parts) + 1)), 0])
        raise ValueError(kind)

    def element(self, e):
        (kind, v), = e.items()
        if kind == "series":
            return self.branch(v)
        if kind == "shunt":
            return self.media.shunt(self.branch(v) ** self.media.short())
        if kind == "line":
            loss = self.freq.w * v["farad_per_m"] * v["loss_tangent"]
            lead = DistributedCircuit(frequency=self.freq, z0_port=self.port, R=v["ohm_per_m"],
                                      L=v["henry_per_m"], C=v["farad_per_m"], G=loss)
            return lead.line(v["length_m"], "m")
        raise ValueError(kind)

    def abcd(self, ladder):
        whole = rf.network.cascade_list([self.element(e) for e in ladder])
        return rf.network.s2a(whole.s, whole.z0)


# ---------------------------------------------------------------- route 3: numpy alone

def branch_ohms(b, w):
    (kind, v), = b.items()
    if kind == "r":
        return np.full(w.shape, v, complex)
    if kind == "l":
        return 1j * w * v
    if kind == "c":
        return 1 / (1j * w * v)
    parts = [branch_ohms(x, w) for x in v]
    if kind == "in_series":
        return sum(parts)
    if kind == "in_parallel":
        return 1 / sum(1 / z for z in parts)
    raise ValueError(kind)


def element_abcd(e, w):
    (kind, v), = e.items()
    m = np.zeros((w.size, 2, 2), complex)
    m[:, 0, 0] = m[:, 1, 1] = 1
    if kind == "series":
        m[:, 0, 1] = branch_ohms(v, w)
    elif kind == "shunt":
        m[:, 1, 0] = 1 / branch_ohms(v, w)
    elif kind == "line":
        zl = (v["ohm_per_m"] + 1j * w * v["henry_per_m"]) * v["length_m"]
        yl = w * v["farad_per_m"] * (1j + v["loss_tangent"]) * v["length_m"]
        x = np.sqrt(zl * yl)
        m[:, 0, 0] = m[:, 1, 1] = np.cosh(x)
        m[:, 0, 1] = zl * np.sinh(x) / x
        m[:, 1, 0] = yl * np.sinh(x) / x
    else:
        raise ValueError(kind)
    return m


def numpy_abcd(ladder, hz):
    w = 2 * np.pi * np.asarray(hz, float)
    m = np.broadcast_to(np.eye(2, dtype=complex), (w.size, 2, 2))
    for e in ladder:
        m = m @ element_abcd(e, w)
    return m


def db(abcd):
    return -20 * np.log10(np.abs(abcd[:, 0, 0]))


# ---------------------------------------------------------------- guitars and loads

TONE_CAP = 22e-9
LEAD = 450e-12
AMP = 1e6
GUITARS = {  # R dc, L, winding C, both pots
    "SC": (6e3, 2.5, 100e-12, 250e3),
    "HB": (8e3, 4.5, 120e-12, 500e3),
    "HO": (14e3, 8.0, 150e-12, 500e3),
    "WS": (8e3, 6.5, 110e-12, 500e3),
}
BLEEDS = {
    "150k beside 1 nF": beside(r(150e3), c(1e-9)),
    "680 pF and 130k in series": chain(c(680e-12), r(130e3)),
    "1 nF alone": c(1e-9),
}


def guitar(name, volume=1.0, tone=1.0, order="input", bleed=None, eddy=None, tone_cap=TONE_CAP):
    """Pickup and controls. `volume` is the part of the pot below the wiper, `tone` the part
    of the tone pot left in, `order` where the tone branch sits, `eddy` a resistance across L."""
    ohms, henry, winding, pot = GUITARS[name]
    coil = l(henry) if eddy is None else beside(l(henry), r(eddy))
    tone_parts = ([r(pot * tone)] if tone > 0 else []) + ([c(tone_cap)] if tone_cap else [])
    tone_branch = shunt(tone_parts[0] if len(tone_parts) == 1 else chain(*tone_parts))
    out = [series(r(ohms)), series(coil), shunt(c(winding))]
    if order == "input":
        out.append(tone_branch)
    if volume < 1:
        upper = r(pot * (1 - volume))
        out.append(series(upper if bleed is None else beside(upper, bleed)))
    out.append(shunt(r(pot * volume)))
    if order == "wiper":
        out.append(tone_branch)
    return out


def plain(name, **kw):
    return guitar(name, **kw) + [shunt(c(LEAD)), shunt(r(AMP))]


def off_board():
    """Five true-bypass units off, four patches, both long leads, amp with its capacitance."""
    out = [shunt(c(500e-12))]
    for unit in range(5):
        out.append(shunt(c(20e-12)))
        if unit < 4:
            out.append(shunt(c(45e-12)))
    return out + [shunt(c(600e-12)), shunt(r(AMP)), shunt(c(100e-12))]


FIRST_ON = [shunt(c(500e-12)), shunt(c(20e-12)), shunt(r(1e6))]
SECOND_STRETCH = [series(r(1e3)), shunt(c(960e-12)), shunt(r(1e6))]


def patches(between):
    """Ten patch leads of 0.3 m with a unit's capacitance between each two."""
    out = []
    for n in range(10):
        out.append(line(0.3, 0.0005))
        if n < 9:
            out.append(shunt(c(between)))
    return out


def half_pot(ohms):
    return [series(r(ohms / 2)), shunt(r(ohms / 2))]


# ---------------------------------------------------------------- cases

def cases():
    out = []

    def add(name, note, ladder):
        out.append((name, note, ladder))

    for g in GUITARS:
        known = g in ("SC", "HB")
        add(f"{g} full up", "[S: whole-guitar]" if known else "[S: reference-guitars], its whole tone branch",
            plain(g))
    for g in ("SC", "HB"):
        add(f"{g} tone at 0", "[S: whole-guitar]", plain(g, tone=0))
    add("HB tone at half its resistance", "[S: nodal], pot 250k left in", plain("HB", tone=0.5))

    add("HB volume 0.15 tone on input", "[S: tone-and-bleed]", plain("HB", volume=0.15))
    add("HB volume 0.15 tone on wiper", "[S: tone-and-bleed], older order",
        plain("HB", volume=0.15, order="wiper"))
    for what, bleed in BLEEDS.items():
        mark = "[S: nodal], 1 nF alone" if "alone" in what else "[S: tone-and-bleed]"
        add(f"HB volume 0.15 bleed {what}", f"{mark}, tone on input",
            plain("HB", volume=0.15, bleed=bleed))
    add("SC volume 0.4 tone 0.3 on wiper bleed 680 pF and 130k in series",
        "[S: nodal], everything part way",
        plain("SC", volume=0.4, tone=0.3, order="wiper", bleed=BLEEDS["680 pF and 130k in series"]))
    add("500k pot at 0.15 into 500 pF", "[S: volume-half], ideal source",
        [series(r(425e3)), shunt(r(75e3)), shunt(c(500e-12))])
    add("500k pot at 0.15 into 500 pF and 1M", "[S: volume-half], ideal source",
        [series(r(425e3)), shunt(r(75e3)), shunt(c(500e-12)), shunt(r(1e6))])

    eddy = "[S: eddy-loss]"
    for g, ohms, text in (("SC", 1e6, "1M"), ("SC", 500e3, "500k"),
                          ("HB", 500e3, "500k"), ("HB", 200e3, "200k")):
        add(f"{g} full up eddy {text}", eddy, plain(g, eddy=ohms))
    add("HO full up eddy 300k", eddy, plain("HO", eddy=300e3))
    add("WS full up eddy 1M volume 0.5", eddy, plain("WS", eddy=1e6, volume=0.5))

    constants = "[S: line], its constants"
    for metres in (0.15, 3, 6, 10, 30, 100):
        for tan in (0, 0.0005, 0.05):
            add(f"SC line {metres:g} m tan {tan:g} amp 1M", constants,
                guitar("SC") + [line(metres, tan), shunt(r(AMP))])
    for metres in (10, 100):
        add(f"HB eddy 500k line {metres} m tan 0.05 amp 1M 99.2 pF", constants,
            guitar("HB", eddy=500e3) + [line(metres, 0.05), shunt(r(AMP)), shunt(c(99.2e-12))])
    add("1k output line 30 m tan 0.0005 into 10k", constants + "; a buffered run into a line input",
        [series(r(1e3)), line(30, 0.0005), shunt(r(10e3))])
    add("600 ohm output line 100 m tan 0.05 open", constants + "; nothing at the end",
        [series(r(600)), line(100, 0.05)])

    add("SC ten patch leads", constants + "; 10 x 0.3 m, nine shunts of 20 pF between",
        guitar("SC") + patches(20e-12) + [shunt(r(AMP))])
    add("HB 5 m, ten patch leads, 6 m", constants + "; 20 pF at all eleven joints",
        guitar("HB") + [line(5, 0.0005), shunt(c(20e-12))] + patches(20e-12)
        + [shunt(c(20e-12)), line(6, 0.0005), shunt(r(AMP))])

    for g in ("SC", "HB"):
        add(f"{g} board off", "[S: tone-jump], all off, 1480 pF", guitar(g) + off_board())
        add(f"{g} board first unit on, up to its input",
            "[S: tone-jump], first stretch; the level on is the sum with the second",
            guitar(g) + FIRST_ON)
    add("board first unit on, from its output to the amp",
        "[S: tone-jump], second stretch", SECOND_STRETCH)

    for ohms, text in ((1e6, "1M"), (500e3, "500k"), (200e3, "200k"), (100e3, "100k"),
                       (10e3, "10k fuzz")):
        add(f"HB 500 pF input {text}", "[S: input-load]",
            guitar("HB") + [shunt(c(500e-12)), shunt(r(ohms))])

    add("SC lead 450 pF transformer DI 12:1 on 1k",
        "[S: reflected-load], 144k: 12 squared times 1k",
        guitar("SC") + [shunt(c(LEAD)), shunt(r(144e3))])
    add("HB amp 1M beside transformer DI 12:1 on 1k",
        "[S: reflected-load], a DI across the amp's input, 144k",
        plain("HB") + [shunt(r(144e3))])
    grid = chain(r(68e3), c(99.2e-12))
    add("SC valve amp input, at the jack", "[S: miller], 1M beside 68k and 99.2 pF",
        guitar("SC") + [shunt(c(LEAD)), shunt(beside(r(1e6), grid))])
    add("SC valve amp input, at the grid", "[S: miller], the same circuit past the 68k",
        guitar("SC") + [shunt(c(LEAD)), shunt(r(1e6)), series(r(68e3)), shunt(c(99.2e-12))])
    add("HB valve amp low jack, at the grid", "[S: valve-inputs], 136k in, half the level on",
        guitar("HB") + [shunt(c(LEAD)), series(r(68e3)), shunt(r(68e3)), shunt(c(99.2e-12))])

    for ohms, text in ((250e3, "250k"), (25e3, "25k")):
        add(f"volume pedal {text} at half into 600 pF", "[S: volume-pedal], ideal source",
            half_pot(ohms) + [shunt(c(600e-12))])
        add(f"HB 450 pF volume pedal {text} at half into 600 pF and 1M",
            "[S: volume-pedal], straight after the guitar",
            guitar("HB") + [shunt(c(LEAD))] + half_pot(ohms) + [shunt(c(600e-12)), shunt(r(AMP))])
    return out


# ---------------------------------------------------------------- the page of sources

def at(ladder, hz):
    return db(ByScattering(hz, PORT_OHMS[0]).abcd(ladder))


def peak(ladder, low=200.0, high=20e3):
    """Frequency and level of the highest point, by narrowing grids."""
    for _ in range(ZOOMS):
        grid = np.geomspace(low, high, 81)
        level = at(ladder, grid)
        k = int(np.argmax(level))
        low, high = grid[max(k - 2, 0)], grid[min(k + 2, 80)]
    return float(grid[k]), float(level[k])


def falls_below(ladder, ref, high=1e6):
    """Highest frequency, up to `high`, 10 log10 2 dB below `ref`."""
    goal, low = ref - 10 * math.log10(2), 1.0
    for _ in range(ZOOMS):
        grid = np.geomspace(low, high, 81)
        k = int(np.nonzero(at(ladder, grid) >= goal)[0][-1])
        low, high = grid[k], grid[min(k + 1, 80)]
    return math.sqrt(low * high)


class Page:
    """Numbers as SOURCES.md prints them against numbers found; keeps what differs."""

    def __init__(self):
        self.done, self.missed = 0, []

    def is_(self, what, printed, found):
        """`printed` is text; half a unit of its last digit is allowed."""
        for text, x in zip(printed.split(), np.atleast_1d(found), strict=True):
            exponent = int(text.partition("e")[2] or 0)
            places = len(text.partition("e")[0].partition(".")[2])
            self.done += 1
            if abs(x - float(text)) > 0.5000001 * 10.0 ** (exponent - places):
                self.missed.append(f"{what}: page {text}, found {x:.7g}")


def check_page():
    s = Page()

    # Second order: tone capacitor a short, so the tone branch is its pot alone; level re DC.
    for g, pk, pkdb, dc, m3 in (("SC", "3868", "3.909", "-0.4568", "6282"),
                                ("HB", "2977", "5.923", "-0.3407", "4736"),
                                ("HO", "2088", "3.935", "-0.5877", "3390"),
                                ("WS", "2435", "4.833", "-0.3407", "3910")):
        lad = plain(g, tone_cap=None)
        base = at(lad, [1e-2])[0]
        f, level = peak(lad)
        s.is_(f"second-order {g} peak Hz", pk, f)
        s.is_(f"second-order {g} peak dB re DC", pkdb, level - base)
        s.is_(f"second-order {g} DC dB", dc, base)
        s.is_(f"second-order {g} -3 dB Hz", m3, falls_below(lad, base))

    five = [100, 1e3, 3e3, 5e3, 1e4]
    s.is_("whole-guitar SC", "-0.4251 -0.0956 2.562 1.249 -13.38", at(plain("SC"), five))
    s.is_("whole-guitar HB", "-0.3242 0.4159 5.582 -4.698 -19.32", at(plain("HB"), five))
    s.is_("whole-guitar SC peak", "3863 3.458", peak(plain("SC")))
    s.is_("whole-guitar HB peak", "2975 5.585", peak(plain("HB")))
    s.is_("whole-guitar SC tone 0", "613.0 4.418", peak(plain("SC", tone=0)))
    s.is_("whole-guitar HB tone 0", "457.3 4.618", peak(plain("HB", tone=0)))

    for g, eddy, printed in (("SC", 1e6, "2.77"), ("SC", 500e3, "2.20"),
                             ("HB", 500e3, "3.44"), ("HB", 200e3, "1.63")):
        s.is_(f"eddy {g} {eddy:g}", printed, peak(plain(g, eddy=eddy))[1])
    s.is_("eddy HB 200k Hz", "2440", peak(plain("HB", eddy=200e3))[0])

    for alpha, hz in ((0.5, "2546"), (0.15, "4993"), (0.1, "7074")):
        pot = [series(r(500e3 * (1 - alpha))), shunt(r(500e3 * alpha)), shunt(c(500e-12))]
        s.is_(f"volume-half alpha {alpha} Hz", hz, falls_below(pot, 20 * math.log10(alpha)))
    pot = [series(r(425e3)), shunt(r(75e3))]
    s.is_("volume-half level", "-16.48 -17.01",
          [at(pot, [10.0])[0], at(pot + [shunt(r(1e6))], [10.0])[0]])

    three = [1e3, 3e3, 5e3]
    quiet = {"volume": 0.15}
    s.is_("tone-and-bleed tone on input", "-17.27 -17.16 -17.22", at(plain("HB", **quiet), three))
    s.is_("tone-and-bleed tone on wiper", "-18.06 -17.29 -15.14", at(plain("HB", order="wiper", **quiet), three))
    for what, printed in (("150k beside 1 nF", "-7.128 -3.487 -8.587"),
                          ("680 pF and 130k in series", "-11.13 -8.547 -11.21")):
        s.is_(f"tone-and-bleed {what}", printed, at(plain("HB", bleed=BLEEDS[what], **quiet), three))

    m = ByScattering([1e4], PORT_OHMS[0]).abcd([line(10, 0)])[0]
    s.is_("line A", "0.9999931 3.770e-5", [m[0, 0].real, m[0, 0].imag])
    s.is_("line B", "1.200 0.2199", [m[0, 1].real, m[0, 1].imag])
    s.is_("line C", "-7.896e-10 6.283e-5", [m[1, 0].real, m[1, 0].imag])
    s.is_("line |Z0|", "139.3", abs(np.sqrt(m[0, 1] / m[1, 0])))
    lumped = max(np.abs(at(guitar("SC") + [line(10, 0), shunt(r(AMP))], HZ)
                        - at(guitar("SC") + [shunt(c(1e-9)), shunt(r(AMP))], HZ)))
    # An order of magnitude: SC 1.2e-4, HB 1.0e-4 (a 1k output reaches 1.7e-4 at 20 kHz).
    s.is_("line, 10 m against one lumped C, dB", "1e-4", lumped)

    s.is_("miller Hz", "23.59", falls_below([series(r(68e3)), shunt(c(99.2e-12))], 0.0) / 1e3)

    six = [1e3, 2e3, 3e3, 4e3, 5e3, 8e3]
    for g, jump, off_hz, on_hz in (
            ("SC", "-0.787 -3.439 -0.089 7.915 10.01 9.161", "2433", "3684"),
            ("HB", "-1.568 -3.508 10.05 10.79 9.764 8.604", "1831", "2824")):
        off, on = guitar(g) + off_board(), guitar(g) + FIRST_ON
        s.is_(f"tone-jump {g} on - off", jump, at(on, six) + at(SECOND_STRETCH, six) - at(off, six))
        s.is_(f"tone-jump {g} peak off", off_hz, peak(off)[0])
        s.is_(f"tone-jump {g} peak on", on_hz, peak(on)[0])

    for ohms, printed in ((1e6, "2865 5.806"), (500e3, "2801 4.560"),
                          (200e3, "2522 1.828"), (100e3, "1604 -0.624")):
        s.is_(f"input-load {ohms:g}", printed,
              peak(guitar("HB") + [shunt(c(500e-12)), shunt(r(ohms))]))
    s.is_("input-load fuzz", "-5.363 -10.72 -19.04",
          at(guitar("HB") + [shunt(c(500e-12)), shunt(r(10e3))], [100, 1e3, 3e3]))

    half = 20 * math.log10(0.5)
    for ohms, printed in ((250e3, "4.2"), (25e3, "42")):
        s.is_(f"volume pedal {ohms:g} kHz", printed,
              falls_below(half_pot(ohms) + [shunt(c(600e-12))], half) / 1e3)
    return s


# ---------------------------------------------------------------- the file

def tables():
    engines = [ByScattering(HZ, p) for p in PORT_OHMS]
    worst_ports, worst_numpy = (0.0, "-"), (0.0, "-")
    rows, seen = [], set()
    for name, note, ladder in cases():
        assert name not in seen, name
        seen.add(name)
        first, second = (db(e.abcd(ladder)) for e in engines)
        by_hand = db(numpy_abcd(ladder, HZ))
        ports = float(np.max(np.abs(first - second)))
        hand = float(max(np.max(np.abs(first - by_hand)), np.max(np.abs(second - by_hand))))
        assert ports < AGREE_DB, f"{name}: the two port impedances differ by {ports:.3g} dB"
        assert hand < AGREE_DB, f"{name}: scikit-rf and numpy differ by {hand:.3g} dB"
        worst_ports = max(worst_ports, (ports, name))
        worst_numpy = max(worst_numpy, (hand, name))
        # Ten decimals: beyond them lies rounding noise, which would differ by machine.
        rows.append({"name": name, "source_note": note, "ladder": ladder,
                     "level_db": [round(float(x), 10) + 0.0 for x in first]})
    return rows, worst_ports, worst_numpy


def text_of(rows):
    """One line a case and field, so that a changed case is a short difference."""
    made = {"scikit-rf": rf.__version__, "numpy": np.__version__,
            "python": platform.python_version()}
    blocks = []
    for row in rows:
        fields = ",\n".join(f"   {json.dumps(k)}: {json.dumps(v)}" for k, v in row.items())
        blocks.append("  {\n" + fields + "\n  }")
    return (f'{{\n "made_with": {json.dumps(made)},\n "hz": {json.dumps(HZ)},\n "cases": [\n'
            + ",\n".join(blocks) + "\n ]\n}\n")


def compare(rows):
    kept = json.loads(OUT.read_text(encoding="utf-8"))
    assert kept["hz"] == HZ, "the frequencies changed"
    assert [k["name"] for k in kept["cases"]] == [x["name"] for x in rows], "the cases changed"
    worst = 0.0
    for k, x in zip(kept["cases"], rows, strict=True):
        assert k["ladder"] == x["ladder"], f"{x['name']}: the ladder changed"
        worst = max(worst, float(np.max(np.abs(np.subtract(k["level_db"], x["level_db"])))))
    assert worst < FILE_DB, f"the file kept differs by {worst:.3g} dB"
    print(f"file kept: within {worst:.2g} dB")


def main(args):
    if args not in ([], ["--check"]):
        sys.exit(__doc__)
    page = check_page()
    print(f"SOURCES.md: {page.done} values, {len(page.missed)} not met")
    for m in page.missed:
        print("  " + m)
    rows, ports, hand = tables()
    print(f"{len(rows)} cases at {len(HZ)} frequencies")
    print(f"worst between port impedances: {ports[0]:.2e} dB ({ports[1]})")
    print(f"worst against numpy: {hand[0]:.2e} dB ({hand[1]})")
    if page.missed:
        sys.exit("not written: the page and the networks disagree")
    if args:
        compare(rows)
    else:
        OUT.write_text(text_of(rows), encoding="utf-8")
        print(f"wrote {OUT.name}")


if __name__ == "__main__":
    main(sys.argv[1:])

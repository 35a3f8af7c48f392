"""Works out the values of ../SOURCES.md once more, with nothing but Python's own arithmetic.

    python3 worked_values.py

Each value is compared with the page: it has to round to the number that is printed in
the entry of that key. Networks are solved from their far end back to the source, one
complex frequency after the other; nothing of the program is used.
"""

import cmath
import math
import re
import sys
from itertools import product
from pathlib import Path

PAGE = Path(__file__).resolve().parent.parent / "SOURCES.md"
TAU = 2 * math.pi
HALF_POWER = 10 * math.log10(2)

# ---------------------------------------------------------------- networks


def r(ohms):
    return lambda w: complex(ohms)


def l(henries):
    return lambda w: 1j * w * henries


def c(farads):
    return lambda w: 1 / (1j * w * farads)


def chain(*parts):
    return lambda w: sum(part(w) for part in parts)


def beside(*parts):
    return lambda w: 1 / sum(1 / part(w) for part in parts)


def series(part):
    return lambda w, v, i: (v + i * part(w), i)


def shunt(part):
    return lambda w, v, i: (v, i + v / part(w))


def line(metres, ohms=0.12, henries=0.35e-6, farads=100e-12, tan=0.0):
    def back(w, v, i):
        z, y = ohms + 1j * w * henries, w * farads * (1j + tan)
        gamma, z0 = cmath.sqrt(z * y), cmath.sqrt(z / y)
        cosh, sinh = cmath.cosh(gamma * metres), cmath.sinh(gamma * metres)
        return cosh * v + z0 * sinh * i, sinh / z0 * v + cosh * i

    return back


def db(ladder, hz):
    """Level at the open far end of what an EMF of 1 V drives."""
    v, i = 1 + 0j, 0j
    for rung in reversed(ladder):
        v, i = rung(TAU * hz, v, i)
    return -20 * math.log10(abs(v))


def top(ladder, low=200.0, high=20e3):
    """Frequency and level of the highest point, by ever narrower scans."""
    for _ in range(12):
        grid = [low * (high / low) ** (k / 400) for k in range(401)]
        levels = [db(ladder, hz) for hz in grid]
        best = levels.index(max(levels))
        low, high = grid[max(best - 2, 0)], grid[min(best + 2, 400)]
    return grid[best], levels[best]


def crossing(f, low, high):
    """Where f changes its sign, by halving."""
    positive = f(low) > 0
    assert positive != (f(high) > 0), "no change of sign"
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if (f(middle) > 0) == positive else (low, middle)
    return low


# R, L, C of the winding, pots: SC, HB, HO, WS of the page.
GUITARS = {
    "SC": (6e3, 2.5, 100e-12, 250e3),
    "HB": (8e3, 4.5, 120e-12, 500e3),
    "HO": (14e3, 8.0, 150e-12, 500e3),
    "WS": (8e3, 6.5, 110e-12, 500e3),
}
TONE = 22e-9


def guitar(name, tone=1.0, eddy=None, volume=None, order="input", bleed=None, short=False):
    ohms, henries, winding, pots = GUITARS[name]
    coil = l(henries) if eddy is None else beside(l(henries), r(eddy))
    branch = shunt(r(pots) if short else chain(r(pots * tone), c(TONE)))
    out = [series(chain(r(ohms), coil)), shunt(c(winding))]
    if order == "input":
        out.append(branch)
    if volume is None:
        out.append(shunt(r(pots)))
    else:
        above = r(pots * (1 - volume))
        out.append(series(above if bleed is None else beside(above, bleed)))
        out.append(shunt(r(pots * volume)))
    if order == "wiper":
        out.append(branch)
    return out


def straight(name, farads=450e-12, load=1e6, **how):
    return guitar(name, **how) + [shunt(c(farads)), shunt(r(load))]


FOUND = []


def is_(key, printed, *values):
    texts = printed.split()
    assert len(texts) == len(values), key
    FOUND.extend((key, text, value) for text, value in zip(texts, values))


# ---------------------------------------------------------------- values

def pickups():
    for name, bare, lead, q, peak_hz, peak_db, dc, fall in (
            ("SC", "10066", "4292", "1.476", "3868", "3.909", "−0.4568", "6282"),
            ("HB", "6849", "3143", "1.909", "2977", "5.923", "−0.3407", "4736"),
            ("HO", "4594", "2297", "1.481", "2088", "3.935", "−0.5877", "3390"),
            ("WS", "5952", "2638", "1.664", "2435", "4.833", "−0.3407", "3910")):
        ohms, henries, winding, pots = GUITARS[name]
        load, both = 1 / (2 / pots + 1e-6), winding + 450e-12
        ladder = straight(name, short=True)
        at_rest = db(ladder, 1e-3)
        is_("second-order", f"{bare} {lead}", 1 / (TAU * math.sqrt(henries * winding)),
            1 / (TAU * math.sqrt(henries * both)))
        is_("second-order", q, math.sqrt(henries * both * (1 + ohms / load)) / (henries / load + ohms * both))
        hz, level = top(ladder)
        is_("second-order", f"{peak_hz} {peak_db} {dc}", hz, level - at_rest, at_rest)
        is_("second-order", fall, crossing(lambda f: db(ladder, f) - at_rest + HALF_POWER, hz, 20e3))
    is_("second-order", "111.1 200", 1 / (2 / 250 + 1e-3), 1 / (2 / 500 + 1e-3))

    for name, levels, peak in (("SC", "−0.4251 −0.0956 2.562 1.249 −13.38", "3863 3.458"),
                               ("HB", "−0.3242 0.4159 5.582 −4.698 −19.32", "2975 5.585")):
        is_("whole-guitar", levels, *(db(straight(name), f) for f in (100, 1e3, 3e3, 5e3, 1e4)))
        is_("whole-guitar", peak, *top(straight(name)))
    is_("whole-guitar", "613.0 4.418", *top(straight("SC", tone=0.0)))
    is_("whole-guitar", "457.3 4.618", *top(straight("HB", tone=0.0)))

    for name, eddy, printed in (("SC", 1e6, "2.77"), ("SC", 500e3, "2.20"), ("HB", 500e3, "3.44"), ("HB", 200e3, "1.63")):
        is_("eddy-loss", printed, top(straight(name, eddy=eddy))[1])
    is_("eddy-loss", "244", top(straight("HB", eddy=200e3))[0] / 10)


def pots():
    for part, source, hz in ((0.5, "125.0", "2546"), (0.15, "63.75", "4993"), (0.10, "45.00", "7074")):
        ohms = part * (1 - part) * 500e3
        is_("volume-half", f"{source} {hz}", ohms / 1e3, 1 / (TAU * ohms * 500e-12))
    is_("volume-half", "−16.48 −17.01", 20 * math.log10(0.15), 20 * math.log10(0.15 / (1 + 63.75e3 / 1e6)))
    for part, at, b in ((0.15, "0.4014", "32.11"), (0.10, "0.3250", "81")):
        base = (1 / part - 1) ** 2
        is_("taper", f"{at} {b}", (base ** 0.75 - 1) / (base - 1), base)
    three = (1e3, 3e3, 5e3)
    for how, printed in (
            ({}, "−17.27 −17.16 −17.22"),
            ({"order": "wiper"}, "−18.06 −17.29 −15.14"),
            ({"bleed": beside(r(150e3), c(1e-9))}, "−7.128 −3.487 −8.587"),
            ({"bleed": chain(r(130e3), c(680e-12))}, "−11.13 −8.547 −11.21")):
        ladder = straight("HB", volume=0.15, **how)
        is_("tone-and-bleed", printed, *(db(ladder, f) for f in three))
    is_("volume-pedal", "4.2 42", *(1 / (TAU * ohms / 4 * 600e-12) / 1e3 for ohms in (250e3, 25e3)))


def several_pickups():
    def resonance(henries, farads):
        return 1 / (TAU * math.sqrt(henries * (farads + 450e-12)))

    for k, printed in ((0, "3183 5584"), (0.2, "2906 5097")):
        is_("two-coils", printed, resonance(2 * 2.5 * (1 + k), 50e-12), resonance(2.5 * (1 + k) / 2, 200e-12))
    scale, hz = 0.6477, 82.4069
    is_("string-comb", "329.6 659.3", 4 * hz, 8 * hz)
    is_("string-comb", "333.6 1334 2669", *(m * hz * scale / x for m, x in ((1, 0.16), (1, 0.04), (2, 0.04))))
    is_("string-comb", "2965", hz * scale / 0.018)
    near, far = (math.sin(6 * math.pi * x / scale) for x in (0.04, 0.16))
    is_("string-comb", "0.040 0.958", abs(near + far) / 2, abs(near - far) / 2)


def leads():
    for name, printed in (("SC", "5033 3805 3183 2792"), ("HB", "3661 2796 2349 2065")):
        _, henries, winding, _ = GUITARS[name]
        is_("lead-length", printed, *(1 / (TAU * math.sqrt(henries * (winding + m * 100e-12))) for m in (3, 6, 9, 12)))
    for core, screen, published, worked, off in (
            (0.032, 0.116, 95.14, "97.20", "2.2"), (0.023, 0.146, 68.90, "67.73", "1.7"),
            (0.019, 0.060, 101.7, "108.9", "7.0")):
        farads = TAU * 8.8541878128e-12 * 2.25 / math.log(screen / core) * 1e12
        is_("coax", f"{worked} {off}", farads, 100 * abs(farads / published - 1))
    is_("coax", "0.2462", 2.25 / 299792458 ** 2 / 101.7e-12 * 1e6)
    v, i = line(10)(TAU * 1e4, 1, 0)
    b, d = line(10)(TAU * 1e4, 0, 1)
    is_("line", "0.9999931 3.770e-5 −7.896e-10 6.283e-5", v.real, v.imag, i.real, i.imag)
    is_("line", "1.200 0.2199 139.3", b.real, b.imag, abs(cmath.sqrt(b / i)))
    assert abs(v * d - b * i - 1) < 1e-12
    lump, spread = straight("SC", 1e-9), guitar("SC") + [line(10), shunt(r(1e6))]
    is_("line", "1.1e-4", max(abs(db(lump, f) - db(spread, f)) for f in (20, 1e3, 3e3, 5e3, 1e4, 2e4)))


def dividers():
    for source, load, printed in ((8e3, 1e6, "−0.06921"), (8e3, 1e5, "−0.6685"), (8e3, 1e4, "−5.105"),
                                  (1e3, 1e4, "−0.8279"), (1e4, 1e4, "−6.021")):
        is_("divider", printed, 20 * math.log10(load / (load + source)))
    is_("divider", "3.52 1.58", 20 * math.log10(1.5), 20 * math.log10(1.2))
    corner = lambda ohms, farads: 1 / (TAU * ohms * farads)
    is_("corner", "159.2 15.92 7.234 1592", corner(1e3, 1e-9) / 1e3, corner(1e4, 1e-9) / 1e3,
        corner(1e6, 22e-9), corner(1e4, 1e-8))
    is_("corner", "0.41 10.61 5.305", 10 * math.log10(1 + (5 / 15.915) ** 2), corner(25e3, 600e-12) / 1e3,
        corner(50e3, 600e-12) / 1e3)
    is_("corner", "3.351 9.095 4.244", corner(25e3, 1.9e-9) / 1e3, corner(25e3, 700e-12) / 1e3,
        corner(62.5e3, 600e-12) / 1e3)
    is_("corner", "1.15 3.44", *(10 * math.log10(1 + (f / 9.0946) ** 2) for f in (5, 10)))


def inputs():
    is_("miller", "99.20 23.59", 1.6 + 1.6 * 61, 1 / (TAU * 68e3 * 99.2e-12) / 1e3)
    into = lambda ohms, farads=500e-12: guitar("HB") + [shunt(c(farads)), shunt(r(ohms))]
    for ohms, printed in ((1e6, "2865 5.806"), (500e3, "2801 4.560"), (200e3, "2522 1.828"), (100e3, "1604 −0.624")):
        is_("input-load", printed, *top(into(ohms)))
    is_("input-load", "1.246 3.978 6.430", *(top(into(1e6))[1] - top(into(ohms))[1] for ohms in (500e3, 200e3, 100e3)))
    is_("input-load", "−5.363 −10.72 −19.04", *(db(into(10e3), f) for f in (100, 1e3, 3e3)))
    hz, level = top(into(100e3))
    is_("input-load", "0.25 0.28", level - db(into(100e3), 20), level - db(into(100e3), 200))
    rises = lambda kilohms: top(into(kilohms * 1e3))[1] - db(into(kilohms * 1e3), 200)
    is_("input-load", "0.490 0.514", rises(109), rises(110))
    # Four inputs of 470 k and an amp of 1 M, against five of 1 M.
    is_("input-load", "2.30", top(into(200e3))[1] - top(into(1 / (4 / 470e3 + 1e-6)))[1])

    hz, level = top(into(1e6))
    is_("input-load", "24.46 17.12", level - db(into(10e3), hz), level - db(into(25e3), hz))

    lead = lambda metres: [shunt(c(10e-12)), line(metres, tan=0.02), shunt(c(10e-12))]
    amp, unit = [shunt(c(100e-12)), shunt(r(1e6))], [shunt(c(20e-12))]
    second, driven = [shunt(r(1e6))], [series(r(100))] + lead(6) + amp
    for source, printed in (([series(r(1e3))], "0.01316"), ([series(r(100))] + lead(0.3) + unit, "0.00089")):
        with_it, without = source + lead(0.3) + second, source + lead(6) + amp
        change = lambda hz: abs(db(with_it, hz) + db(driven, hz) - db(without, hz))
        worst = max((20 * 1000 ** (at / 255) for at in range(230)), key=change)
        is_("second-buffer", printed + " 9.889", change(worst), worst / 1e3)

    # The lead whose peak lies where that of 500 pF into 200 k does, into 1 M.
    place, level = top(into(200e3))
    slope = lambda farads: db(into(1e6, farads), place * 1.0001) - db(into(1e6, farads), place / 1.0001)
    farads = crossing(slope, 300e-12, 2e-9)
    same = into(1e6, farads)
    is_("lead-equivalent", "2522 2.402 6.766 6.48 6.98 4.4", place, level - db(into(200e3), 200),
        db(same, place) - db(same, 200), db(same, place), farads / 100e-12,
        db(same, place) - db(same, 200) - level + db(into(200e3), 200))
    is_("reflected-load", "144 346", 144, 144 * 2.4)


def board():
    farads_off = 500 + 5 * 20 + 4 * 45 + 600 + 100
    is_("tone-jump", "1480 520 960", farads_off, 500 + 20, 4 * 45 + 4 * 20 + 600 + 100)
    for name, jump, peaks in (("SC", "−0.787 −3.439 −0.089 7.915 10.01 9.161", "2433 3684"),
                              ("HB", "−1.568 −3.508 10.05 10.79 9.764 8.604", "1831 2824")):
        off = guitar(name) + [shunt(c(1480e-12)), shunt(r(1e6))]
        first = guitar(name) + [shunt(c(520e-12)), shunt(r(1e6))]
        second = [series(r(1e3)), shunt(c(960e-12)), shunt(r(1e6))]
        is_("tone-jump", jump, *(db(first, f) + db(second, f) - db(off, f) for f in (1e3, 2e3, 3e3, 4e3, 5e3, 8e3)))
        is_("tone-jump", peaks, top(off)[0], top(first)[0])
    is_("dull-board", "14.8 13.8", 14.8, (1480 - 100) / 100)


def pitches():
    def fnv(text):
        found = 0xcbf29ce484222325
        for byte in text.encode():
            found = (found ^ byte) * 0x100000001b3 % 2 ** 64
        return found

    assert (fnv(""), fnv("a"), fnv("foobar")) == (0xcbf29ce484222325, 0xaf63dc4c8601ec8c, 0x85944171f73967e8)
    state, mixed = 1234567, []
    for _ in range(5):
        state = (state + 0x9e3779b97f4a7c15) % 2 ** 64
        z = (state ^ state >> 30) * 0xbf58476d1ce4e5b9 % 2 ** 64
        z = (z ^ z >> 27) * 0x94d049bb133111eb % 2 ** 64
        mixed.append(z ^ z >> 31)
    is_("random-numbers", "6457827717110365317 3203168211198807973 9817491932198370423 4593380528125082431 "
        "16408922859458223821", *mixed)
    note = lambda m: 440 * 2 ** ((m - 69) / 12)
    is_("pitch", "82.41 110.0 146.8 196.0 246.9 329.6", *(note(m) for m in (40, 45, 50, 55, 59, 64)))
    is_("pitch", "41.20 5.9 2.9", note(28), 100 * (2 ** (1 / 12) - 1), 100 * (2 ** (1 / 24) - 1))
    exact = [1000 * 10 ** (n / 10) for n in range(-17, 14)]
    nominal = [20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1e3, 1250, 1600,
               2e3, 2500, 3150, 4e3, 5e3, 6300, 8e3, 1e4, 12500, 16e3, 2e4]
    assert all(abs(a / b - 1) < 0.01 for a, b in zip(exact, nominal, strict=True))
    law = [round(10 ** (n / 24), 1) for n in range(24)]
    e24 = [1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8,
           7.5, 8.2, 9.1]
    assert [b for a, b in zip(law, e24) if a != b] == [2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 8.2]


def wires():
    ohms = lambda n: 17.241 / (math.pi / 4 * (0.127 * 92 ** ((36 - n) / 39)) ** 2)
    is_("gauge", "33.31 52.96 84.21 133.9 212.9", *(ohms(n) for n in (20, 22, 24, 26, 28)))

    def drops(loads):
        volts, found = 0.0, []
        for at in range(6):
            volts += 2 * (0.5 if at == 0 else 0.2) * ohms(24) * 1e-3 * sum(loads[at:])
            found.append(volts)
        return found

    loads = [20, 20, 5, 300, 100, 60]
    along = drops(loads)
    is_("daisy-drop", "42.53 58.87 74.53 90.02 95.41 97.43", *along)
    is_("daisy-drop", "27.45 72.68", (along[5] - along[0]) / 2, drops(loads[::-1])[5])


def loops():
    is_("cyclomatic", "4 0 1 5", 12 - 9 + 1, 12 - 13 + 1, 1, 4 + 1)
    whole = 0.18 + 0.27 + 0.3
    is_("shared-earth", "12 18 20", *(50 * ohms / whole for ohms in (0.18, 0.27, 0.3)))
    is_("shared-earth", "24 36", *(100 * ohms / whole for ohms in (0.18, 0.27)))


def states():
    """How many runs of bypassed units there are, by going through them."""
    for units, printed in ((0, "1"), (1, "3"), (2, "6"), (5, "21"), (8, "45")):
        ends = units + 2
        runs = {(a, b) for a, b in product(range(ends), repeat=2) if a < b}
        is_("state-count", printed, len(runs))
    first = {next((i for i, on in enumerate(state) if on), 5) for state in product((0, 1), repeat=5)}
    is_("state-count", "6 256 18446744073709551616", len(first), 2 ** 8, 2 ** 64)


def contrasts():
    def luminance(colour):
        parts = [colour >> shift & 255 for shift in (16, 8, 0)]
        linear = [p / 255 / 12.92 if p / 255 <= 0.04045 else ((p / 255 + 0.055) / 1.055) ** 2.4 for p in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    pairs = ((0, 0xFFFFFF), (0x777777, 0xFFFFFF), (0x767676, 0xFFFFFF), (0xFF0000, 0xFFFFFF), (0x0000FF, 0xFFFFFF))
    is_("contrast", "21.00 4.48 4.54 4.00 8.59", *((luminance(b) + 0.05) / (luminance(a) + 0.05) for a, b in pairs))


def main():
    for work in (pickups, pots, several_pickups, leads, dividers, inputs, board, pitches, wires, loops, states, contrasts):
        work()
    entries = dict(re.findall(r"^\*\*([a-z0-9-]+)\*\*(.*?)(?=^\*\*[a-z0-9-]+\*\*|^## |\Z)",
                              PAGE.read_text(encoding="utf-8"), re.M | re.S))
    wrong = []
    for key, text, value in FOUND:
        digits, _, exponent = text.replace("−", "-").partition("e")
        allowed = 0.5000001 * 10.0 ** (int(exponent or 0) - len(digits.partition(".")[2]))
        whole = isinstance(value, int) and text.isdigit()
        if value != int(text) if whole else abs(value - float(text.replace("−", "-"))) > allowed:
            wrong.append(f"{key}: printed {text}, worked {value:.7g}")
        if not re.search(rf"(?<![\d.]){re.escape(text)}(?![\d]|\.\d)", entries.get(key, "")):
            wrong.append(f"{key}: {text} isn't on the page")
    print(f"{len(FOUND)} values worked, {len(wrong)} not as on the page")
    sys.exit("\n".join(wrong) or None)


if __name__ == "__main__":
    main()

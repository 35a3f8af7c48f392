"""What the integer program is told of a rig: boxes with outlets, units that want power, and what fits where.

Volts as they are, currents in mA, power in mW. Nothing here knows how the
program under test reckons: it follows the rules as they are stated, on paper.
"""

import json
import math
from typing import NamedTuple

# DC that is safe to touch [standard: IEC 62368-1, ES1; memory].
MOST_DIRECT = 60.0

# 0.1 µA and 0.1 µW: a sum that equals its rating on paper is within it, by a margin that the solver's own
# tolerance of 1e-6 is lost in. It can only make the solver's optimum too good, never hide a better one of ours.
SLACK = 1e-4

# 9 × 0.9 is to be the same as 8.1.
LAST_BIT = 1e-9

SWAPPED = {"CentreNegative": "CentrePositive", "CentrePositive": "CentreNegative"}


class Level(NamedTuple):
    """What an outlet can give: one of its settings, of a passing box with one of the voltages that come in."""

    setting: int
    volts: float
    no_load: float
    form: str
    limit: float
    incoming: tuple | None


class Draw(NamedTuple):
    running: float
    start_up: float


class Outlet:
    """`count` outlets that are alike in all; more than one only where nothing depends on which of them it is."""

    def __init__(self, box, number, told):
        self.box, self.number, self.count = box, number, 1
        self.connector = told["connector"]
        self.zero_volt = "Inlet" if told["zero_volt"] == "Inlet" else told["zero_volt"]["Group"]
        self.parallel, self.chosen, self.settings = told["parallel"], told["chosen"] - 1, told["settings"]
        # Whether its 0 V is its own, joined to no earth and no other outlet.
        self.private = False

    def levels(self, selectors):
        found = []
        for at, told in enumerate(self.settings):
            if not selectors and at != self.chosen:
                continue
            volts = told["volts"]
            no_load = volts if told["no_load"] is None else told["no_load"]
            gives = [(volts, no_load, None)]
            if self.box.passes:
                gives = [(*incoming, incoming) for incoming in self.box.incoming]
            found += [Level(at, v, n, told["form"], told["limit"] * 1e3, i) for v, n, i in gives]
        return found

    def likeness(self):
        """Outlets of a box with the same likeness can stand for each other."""
        limit = self.box.groups.get(self.zero_volt)
        own = ("own", limit) if self.private else self.zero_volt
        return json.dumps([self.settings, self.connector, self.parallel, self.chosen, own])


class Box:
    """A supply, or a module that hangs on another's outlet."""

    def __init__(self, name, power, supply):
        self.name = name
        self.need = power["Low"] if "Low" in power else None
        self.earthed = "Mains" in power and power["Mains"]["earthed"]
        self.efficiency, self.passes = supply["efficiency"], supply["passes"]
        self.total = None if supply["total"] is None else supply["total"] * 1e3
        zero_volt = lambda told: "Inlet" if told == "Inlet" else told["Group"]
        self.groups = {zero_volt(group["zero_volt"]): group["limit"] * 1e3 for group in supply["groups"]}
        self.incoming = []
        self.outlets = [Outlet(self, at + 1, told) for at, told in enumerate(supply["outlets"])]
        for outlet in self.outlets:
            alone = sum(other.zero_volt == outlet.zero_volt for other in self.outlets) == 1
            joined = outlet.zero_volt == "Inlet" and (self.need is not None or self.earthed)
            outlet.private = alone and not joined

    def may_host(self, rows):
        """A module that is fed by a plain plug feeds no other module, unless `rows` of them are asked for."""
        return rows or self.need is None or self.need["connector"] == "Link"

    def merge(self, may):
        """Puts outlets that are alike together, those for which `may` says so."""
        kept = {}
        for outlet in self.outlets:
            key = outlet.likeness() if may(outlet) else outlet.number
            if key in kept:
                kept[key].count += 1
            else:
                kept[key] = outlet
        self.outlets = list(kept.values())


class Type:
    """Units that are alike in all, and how many of them there are."""

    def __init__(self, need, own_outlet, isolated, keep_apart):
        self.need, self.count = need, 0
        # Where nobody is kept apart, digital and analogue may hang on one lead.
        self.positive_ground, self.digital = need["positive_ground"], need["digital"] and keep_apart
        self.alone = self.positive_ground or isolated or (keep_apart and need["apart"] == "Everybody")
        self.solo = self.alone or own_outlet
        self.apart = keep_apart and need["apart"] == "OtherKind"

    @property
    def lead(self):
        """With whom it may hang on one lead: digital and analogue don't, unless nobody is kept apart."""
        if self.alone:
            return "alone"
        return ("solo " if self.solo else "") + ("digital" if self.digital else "analogue")


def types(units, rules):
    found = {}
    for unit in units:
        own, isolated = unit["id"] in rules["own_outlet"], unit["id"] in rules["isolated"]
        key = json.dumps([unit["power"]["Low"], own, isolated], sort_keys=True)
        new = Type(unit["power"]["Low"], own, isolated, rules["keep_apart"])
        found.setdefault(key, new).count += 1
    return list(found.values())


def draw(need, volts, no_load, form, tolerance):
    """What a need takes of a voltage, by the first of its ways that takes that; none if it doesn't stand it."""

    def takes(way, volts):
        low, high = way["least"] * (1 - tolerance), way["most"] * (1 + tolerance)
        return low - LAST_BIT <= volts <= high + LAST_BIT

    if form != "Alternating" and volts > MOST_DIRECT:
        return None
    way = next((way for way in need["ways"] if way["form"] == form and takes(way, volts)), None)
    if way is None or not takes(way, no_load):
        return None
    return Draw(way["running"] * 1e3, way["start_up"] * 1e3)


def microwatts(volts, draw):
    return math.floor(volts * draw.running * 1e3 + 0.5)


def fits(draw, level, used, part=1.0):
    """Whether a draw alone is within an outlet's rating, running with headroom."""
    running, start_up = draw.running * part, draw.start_up * part
    return running <= level.limit * used + SLACK and start_up <= level.limit + SLACK


def plug(need, outlet, rules):
    """How many adapters the plug takes: none, one, or None where that can't be."""
    if need["connector"] == outlet.connector:
        return 0
    link = "Link" in (need["connector"], outlet.connector)
    return 1 if rules["adapters"] and not link else None


def forms(form, rules):
    """A form as it comes, and with its poles swapped by an adapter."""
    yield form, False
    if rules["adapters"] and form in SWAPPED:
        yield SWAPPED[form], True


def hangs(module, outlet, level, rules):
    """What a module draws for itself on an outlet at a level; none if it can't hang there. No adapter is used."""
    if module.need["connector"] != outlet.connector:
        return None
    own = draw(module.need, level.volts, level.no_load, level.form, rules["tolerance"])
    return own if own and fits(own, level, rules["used"]) else None


def let_in(boxes, rules):
    """Which voltages can come into each passing module: to be known before its outlets' levels are."""
    changed = True
    while changed:
        changed = False
        for module in (box for box in boxes if box.need and box.passes):
            for host in (box for box in boxes if box is not module and box.may_host(rules["rows"])):
                for outlet in host.outlets:
                    for level in outlet.levels(rules["selectors"]):
                        gives = (level.volts, level.no_load)
                        if hangs(module, outlet, level, rules) and gives not in module.incoming:
                            module.incoming.append(gives)
                            changed = True

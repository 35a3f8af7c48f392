"""What the integer program is told of a rig: boxes with outlets, units that want power, and what fits where.

Volts as they are, currents in mA, power in mW. Nothing here knows how the
program under test reckons: it follows the rules as they are stated, on paper.
"""

import json
import math
from typing import NamedTuple

# DC that is safe to touch [S: touch-voltage].
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


class Rules:
    """What the rules say, with the weight of each wish: is it held as a must, counted, or nothing?"""

    def __init__(self, told):
        self.told = told
        quiet = told["quiet"]
        must = lambda wish, held: told[wish] == "Must" or (held and told[wish] == "Wish")
        self.apart_must, self.gains_must = must("keep_apart", quiet), must("few_gains", quiet)
        self.apart_counts = told["keep_apart"] == "Wish" and not quiet
        self.gains_count = told["few_gains"] == "Wish" and not quiet
        margin_must = must("margin", told["margin_held"])
        # Of a rating, so much may be used at all, and so much before it counts as tight.
        self.most = told["used"] if margin_must else max(told["used"], 1.0)
        self.easy = self.most if told["margin"] == "Nothing" else told["used"]

    def __getitem__(self, key):
        return self.told[key]

    def is_other(self, in_use, volts):
        """Whether a voltage is further from the one in use than a unit stands anyway."""
        return in_use is not None and abs(volts - in_use) > in_use * self["tolerance"] + LAST_BIT


class Type:
    """Units that are alike in all, and how many of them there are."""

    def __init__(self, unit, in_use, rules):
        self.need, self.count, self.in_use = unit["power"]["Low"], 0, in_use
        need, own = self.need, unit["id"] in rules["own_outlet"]
        self.positive_ground, self.digital = need["positive_ground"], need["digital"]
        self.shares_winding = need["shares_winding"]
        # What it would rather have, as far as that is counted, and what it must.
        self.minds = need["apart"] if rules.apart_counts else "Nobody"
        # What its maker says must be is no matter of the rules.
        held = rules.apart_must or need["apart_must"]
        everybody = held and need["apart"] == "Everybody"
        self.alone = unit["id"] in rules["isolated"] or everybody
        self.solo = self.alone or own
        self.apart = held and need["apart"] == "OtherKind"
        weighs = rules.gains_must or rules.gains_count
        self.stage = weighs and unit["stage"]
        # Tenths of a dB, none below zero.
        self.gain = math.floor(max(unit["level"], 0) * 10 + 0.5) if weighs else 0
        # With whom it may hang on one lead: where it's a must, digital and analogue don't; positive ground
        # hangs with its like alone.
        kind = ("digital" if self.digital else "analogue") if rules.apart_must else "any"
        lead = kind + (" positive" if self.positive_ground else "")
        self.lead = "alone" if self.alone else ("solo " if self.solo else "") + lead

    def owns_winding(self, form):
        """Whether it is on AC that nobody else may be on."""
        return form == "Alternating" and not self.shares_winding


def in_use(unit, tolerance):
    """The volts at which a unit runs as it is drawn; none if nothing feeds it, or what it doesn't take."""
    fed = unit["fed"]
    if fed is None:
        return None

    def takes(way):
        low, high = way["least"] * (1 - tolerance), way["most"] * (1 + tolerance)
        return way["form"] == fed["form"] and low - LAST_BIT <= fed["volts"] <= high + LAST_BIT

    return fed["volts"] if any(takes(way) for way in unit["power"]["Low"]["ways"]) else None


def types(units, rules):
    found = {}
    for unit in units:
        own, isolated = unit["id"] in rules["own_outlet"], unit["id"] in rules["isolated"]
        now = None if unit["id"] in rules["released"] else in_use(unit, rules["tolerance"])
        marks = [unit["power"]["Low"], unit["stage"], unit["level"], own, isolated, now]
        found.setdefault(json.dumps(marks, sort_keys=True), Type(unit, now, rules)).count += 1
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
    # What digital units take at start-up is over in milliseconds, which no rating minds.
    return Draw(way["running"] * 1e3, way["start_up" if need["heaters"] or not need["digital"] else "running"] * 1e3)


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
    return own if own and fits(own, level, rules.most) else None


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

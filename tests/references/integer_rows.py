"""The rules of feeding units from outlets, as rows of an integer program.

Numbers of the model: how many units of a type hang on an outlet at a level;
whether a lead is there, and of which kind; pairs of outlets; which module hangs
where, and how much it takes there; what each shared 0 V is used for.
"""

from integer_noise import Noise
from integer_rig import SLACK, draw, fits, forms, hangs, microwatts, plug
from integer_solver import Sum


class ZeroVolt:
    """A 0 V that several outlets can have. Each is used in one manner at most."""

    def __init__(self):
        self.units, self.alone, self.upper = Sum(), Sum(), Sum()
        self.modes, self.by_mode = {}, {}
        # Units of each type on it.
        self.by_type = {}
        # What can't be here if it is joined to the mains earth.
        self.off_earth, self.earthed = Sum(), None


class Program:
    """Boxes that are there, or may be had, and units that hang on them or go without."""

    def __init__(self, model, boxes, types, rules, hung, choice=()):
        """`hung` says where modules hang that stay there; the boxes of `choice` are to be had or not."""
        self.model, self.types, self.rules = model, types, rules
        self.boxes = [box for box in boxes if box.efficiency > 0]
        self.hung = hung
        self.most = max(rules["most_plugs"], 1)
        self.present = {box.name: model.number(1, 0 if box in choice else 1) for box in self.boxes}
        self.fed = {box.name: Sum() if box.need else Sum({self.present[box.name]: 1}) for box in self.boxes}
        self.let_in, self.use, self.use_by = {}, {}, {}
        self.running, self.start_up, self.zero_volts = {}, {}, {}
        self.units = [Sum() for _ in types]
        self.adapters, self.sharing, self.taken = Sum(), Sum(), Sum()
        self.changed, self.noisy, self.tight = Sum(), Sum(), Sum()
        # Who is on a 0 V that only one outlet has.
        self.private = {}
        self.joins, self.taken_by, self.hosted = {}, {}, []
        apart = any(kind.apart for kind in types)
        free = {kind.digital for kind in types if not kind.apart and not kind.alone and not kind.positive_ground}
        self.modes = {}
        for kind in types:
            own = "digital" if kind.digital else "analogue"
            both = not kind.apart and len(free) == 2
            self.modes[kind] = frozenset(([own] if apart else []) + (["both"] if both or not apart else []))
        self._merge()
        self.outlets = [outlet for box in self.boxes for outlet in box.outlets]
        for outlet in self.outlets:
            self.use[outlet], self.running[outlet], self.start_up[outlet] = Sum(), Sum(), Sum()
        for outlet in self.outlets:
            self._singles(outlet)
        if rules["pairs"]:
            self._pairs()
        self._modules()
        self._limits()
        self._zero_volts()
        Noise(self).count()
        for kind, fed in zip(types, self.units):
            model.keep(fed, most=kind.count)

    def levels(self, outlet):
        """What it may be set to: where a module hangs that stays there, nothing else than it is."""
        fixed = any((outlet.box.name, outlet.number) == host for host in self.hung.values())
        return outlet.levels(self.rules["selectors"] and not fixed)

    def _merge(self):
        """Outlets that can stand for each other become one, where no row depends on which of them it is."""

        def takes_units(outlet):
            return any(plug(kind.need, outlet, self.rules) is not None for kind in self.types)

        def may(outlet):
            named = (outlet.box.name, outlet.number) in self.hung.values()
            limited = outlet.private and outlet.zero_volt in outlet.box.groups
            # With one plug a lead, what fits one of them alone fits each; a module too has one to itself.
            return not named and not limited and (self.most == 1 or not takes_units(outlet))

        for box in self.boxes:
            box.merge(may)

    def zero_volt(self, outlet):
        """The 0 V of an outlet; none where no other outlet can have it."""
        if outlet.private:
            return None
        source = outlet.box.need is None
        key = "earth" if source and outlet.box.earthed and outlet.zero_volt == "Inlet" else None
        return self.zero_volts.setdefault(key or (outlet.box.name, outlet.zero_volt), ZeroVolt())

    def _uses(self, outlet, level, number):
        self.use[outlet].add(number)
        if level.incoming:
            self.use_by.setdefault((outlet, level.incoming), Sum()).add(number)

    def _loads(self, outlet, level, number, draw, part=1.0):
        self.running[outlet].add(number, level.volts * draw.running * part)
        self.start_up[outlet].add(number, level.volts * draw.start_up * part)

    def _costs(self, kind, number, adapters, volts, draw):
        self.units[self.types.index(kind)].add(number)
        if self.rules.is_other(kind.in_use, volts):
            self.changed.add(number)
        self.adapters.add(number, adapters)
        self.taken.add(number, microwatts(volts, draw))

    def _enters(self, outlet, kind, number, lead, form):
        """A number of units of a type have the outlet's 0 V; `lead` is the number of their leads."""
        there = self.zero_volt(outlet)
        if there is None:
            if outlet.count > 1:
                # Each of those outlets has a 0 V of its own, and one plug: nobody is on it with another.
                return
            there = self.private.setdefault(outlet, ZeroVolt())
            there.by_type.setdefault(kind, Sum()).add(number)
            return
        there.by_type.setdefault(kind, Sum()).add(number)
        there.units.add(number)
        if kind.positive_ground or kind.owns_winding(form):
            # One lead of them, and nobody else: as if that lead were one unit that wants to be alone. On AC it
            # is one unit that has the winding.
            there.off_earth[lead] = there.alone[lead] = 1
        elif kind.alone:
            there.alone.add(number)
        elif lead == number:
            there.by_mode.setdefault((outlet, self.modes[kind], 1), Sum()).add(number)
        else:
            # A daisy lead may have units of several types; those that are to be kept apart say more.
            modes = frozenset().union(*(self.modes[other] for other in self.types if other.lead == kind.lead))
            there.by_mode.setdefault((outlet, modes, 1), Sum())[lead] = 1
            there.by_mode.setdefault((outlet, self.modes[kind], self.most), Sum()).add(number)

    def _singles(self, outlet):
        """Units on one outlet: alone there, or on a daisy lead."""
        joined = self.zero_volt(outlet)
        on_earth = joined is not None and joined is self.zero_volts.get("earth")
        for level in self.levels(outlet):
            for form, swap in forms(level.form, self.rules):
                daisies = {}
                for kind in self.types:
                    adapter = plug(kind.need, outlet, self.rules)
                    takes = draw(kind.need, level.volts, level.no_load, form, self.rules["tolerance"])
                    if adapter is None or not takes or not fits(takes, level, self.rules.most):
                        continue
                    if on_earth and (kind.positive_ground or kind.owns_winding(form)):
                        continue
                    if kind.solo or self.most == 1 or kind.owns_winding(form):
                        lead = number = self.model.number(min(kind.count, outlet.count))
                        self._uses(outlet, level, lead)
                        if not fits(takes, level, self.rules.easy):
                            self.tight.add(number)
                    else:
                        number = self.model.number(min(kind.count, self.most))
                        if kind.lead not in daisies:
                            daisies[kind.lead] = self.model.number(), []
                            self._uses(outlet, level, daisies[kind.lead][0])
                        lead, on = daisies[kind.lead]
                        on.append((kind, number, takes))
                        self._shares(outlet, number, 1)
                    self._loads(outlet, level, number, takes)
                    self._costs(kind, number, 1 if swap or adapter else 0, level.volts, takes)
                    self._enters(outlet, kind, number, lead, form)
                for lead, on in daisies.values():
                    self._shares(outlet, lead, -1)
                    self._lead(level, lead, on)

    def _shares(self, outlet, number, factor):
        """Units beyond the first of a lead; the first has the 0 V to itself where no other outlet has it."""
        self.sharing.add(number, factor * (2 if outlet.private else 1))

    def _mixed(self, on):
        """A lead with digital and analogue units is noisy, and none where one of them must be apart."""
        kinds = {digital: Sum({n: 1 for kind, n, _ in on if kind.digital == digital}) for digital in (True, False)}
        musts = [(kind, number) for kind, number, _ in on if kind.apart]
        if not all(kinds.values()) or not (musts or self.rules.apart_counts):
            return
        some = {}
        for digital, numbers in kinds.items():
            some[digital] = self.model.number()
            self.model.keep(Sum(numbers).add(some[digital], -self.most), most=0)
        for kind, number in musts:
            self.model.keep(Sum({number: 1, some[not kind.digital]: self.most}), most=self.most)
        if self.rules.apart_counts:
            both = self.model.number()
            self.model.keep(Sum({number: 1 for number in some.values()}).add(both, -1), most=1)
            self.noisy.add(both)

    def _lead(self, level, lead, on):
        """A daisy lead: so many plugs, so much current; it counts as there only with something on it."""
        plugs, running, start_up = Sum({lead: -self.most}), Sum(), Sum()
        self._mixed(on)
        for kind, number, takes in on:
            plugs.add(number)
            running.add(number, takes.running)
            start_up.add(number, takes.start_up)
            at_most = [min(kind.count, self.most)]
            limits = (level.limit * self.rules.most, takes.running), (level.limit, takes.start_up)
            at_most += [int((limit + SLACK) / each) for limit, each in limits if each > 0]
            self.model.keep(Sum({number: 1, lead: -min(at_most)}), most=0)
        self.model.keep(plugs, most=0)
        self.model.keep(Sum({lead: 1}).plus({number: -1 for _, number, _ in on}), most=0)
        self._keeps(running, level.limit, lead)
        self.model.keep(start_up.add(lead, -(level.limit + SLACK)), most=0)

    def _keeps(self, load, limit, there):
        """A load within what may be used of a rating, where it is there; past what is easily used it counts as tight."""
        most, easy = limit * self.rules.most, limit * self.rules.easy
        self.model.keep(Sum(load).add(there, -(most + SLACK)), most=0)
        if easy < most:
            tight = self.model.number()
            self.model.keep(Sum(load).add(there, -(easy + SLACK)).add(tight, easy - most), most=0)
            self.tight.add(tight)

    def _pairs(self):
        """Units on two outlets, in series or side by side."""
        for at, first in enumerate(self.outlets):
            for to, second in enumerate(self.outlets):
                if first is second and first.count < 2:
                    continue
                if first.box is not second.box and not self.rules["across"]:
                    continue
                # The other way round is the same, where each has a 0 V of its own.
                alike = first.private and second.private and first.connector == second.connector
                if alike and at > to:
                    continue
                for one in self.levels(first):
                    for other in self.levels(second):
                        if not (first is second and one.setting > other.setting):
                            self._pair(first, one, second, other)

    def _pair(self, first, one, second, other):
        """`one` and `other` are the levels of the first and the second outlet."""
        lower, upper = self.zero_volt(first), self.zero_volt(second)
        earth = self.zero_volts.get("earth")
        same = lower is not None and lower is upper
        ways = []
        if not same and (upper is None or upper is not earth) and one.form == other.form != "Alternating":
            ways.append((one.volts + other.volts, one.no_load + other.no_load, 1.0, 1.0, True))
        equal = (one.volts, one.no_load, one.form) == (other.volts, other.no_load, other.form)
        rated = one.limit + other.limit
        if first.parallel and second.parallel and first.box is second.box and equal and rated > 0:
            ways.append((one.volts, one.no_load, one.limit / rated, other.limit / rated, False))
        for volts, no_load, part, rest, series in ways:
            for form, swap in forms(one.form, self.rules):
                for kind in self.types:
                    adapter = plug(kind.need, first, self.rules)
                    takes = draw(kind.need, volts, no_load, form, self.rules["tolerance"])
                    used = self.rules.most
                    if adapter is None or not takes:
                        continue
                    if not fits(takes, one, used, part) or not fits(takes, other, used, rest):
                        continue
                    shuns_earth = kind.positive_ground or kind.owns_winding(form)
                    if shuns_earth and earth is not None and earth in (lower, upper):
                        continue
                    number = self.model.number(min(kind.count, first.count, second.count))
                    self._uses(first, one, number)
                    self._uses(second, other, number)
                    self._loads(first, one, number, takes, part)
                    self._loads(second, other, number, takes, rest)
                    self._costs(kind, number, 1 + (1 if swap or adapter else 0), volts, takes)
                    sides = ((one, part), (other, rest))
                    tight = sum(not fits(takes, level, self.rules.easy, share) for level, share in sides)
                    self.tight.add(number, tight)
                    self._enters(first, kind, number, number, form)
                    if upper is not None and not same:
                        upper.upper.add(number)
                        if series or shuns_earth:
                            upper.off_earth.add(number)

    def _modules(self):
        """Modules on other boxes' outlets, or nowhere."""
        for module in (box for box in self.boxes if box.need):
            taken = Sum(), Sum()
            for outlet in self.outlets:
                if outlet.box is module or not outlet.box.may_host(self.rules["rows"]):
                    continue
                fixed = self.hung.get(module.name)
                if fixed and fixed != (outlet.box.name, outlet.number):
                    continue
                for level in self.levels(outlet):
                    own = hangs(module, outlet, level, self.rules)
                    if own:
                        self._hangs(module, outlet, level, own, taken, fixed)
            self.taken_by[module] = taken
            self.model.keep(Sum(self.fed[module.name]).add(self.present[module.name], -1), most=0)

    def _hangs(self, module, outlet, level, own, taken, fixed):
        number = self.model.number(1, 1 if fixed else 0)
        self._uses(outlet, level, number)
        self._loads(outlet, level, number, own)
        self.fed[module.name].add(number)
        self.let_in.setdefault((module.name, (level.volts, level.no_load)), Sum()).add(number)
        used = self.rules.most
        room = level.limit * used - own.running, level.limit - own.start_up
        for left, took, load in zip(room, taken, (self.running, self.start_up)):
            most = (max(left, 0) + SLACK) * level.volts
            watts = self.model.number(most, whole=False)
            self.model.keep(Sum({watts: 1, number: -most}), most=0)
            took.add(watts)
            load[outlet].add(watts)
            if load is self.running and self.rules.easy < used:
                self._keeps(Sum({watts: 1, number: own.running * level.volts}), level.limit * level.volts, number)
        there = self.zero_volt(outlet)
        if there is not None:
            self.joins.setdefault((module, there), Sum()).add(number)
        self.hosted.append((module, outlet.box, number))

    def _limits(self):
        """Ratings, and what is fed from where."""
        # What a module takes is what hangs on it, through its efficiency.
        for module, taken in self.taken_by.items():
            for took, of in zip(taken, (self.running, self.start_up)):
                row = Sum().plus(took, module.efficiency)
                for outlet in module.outlets:
                    row.plus(of[outlet], -1)
                self.model.keep(row, most=0, least=0)
        for box in self.boxes:
            fed = self.fed[box.name]
            for outlet in box.outlets:
                self.model.keep(Sum(self.use[outlet]).plus(fed, -outlet.count), most=0)
                for incoming in box.incoming:
                    use = self.use_by.get((outlet, incoming), Sum())
                    self.model.keep(Sum(use).plus(self.let_in.get((box.name, incoming), {}), -outlet.count), most=0)
            parts = [(box.outlets, box.total)] if box.total is not None else []
            for zero_volt, limit in box.groups.items():
                parts.append(([outlet for outlet in box.outlets if outlet.zero_volt == zero_volt], limit))
            for outlets, limit in parts:
                running, start_up = Sum(), Sum().plus(fed, -(limit + SLACK))
                for outlet in outlets:
                    running.plus(self.running[outlet])
                    start_up.plus(self.start_up[outlet])
                self.model.keep(start_up, most=0)
                there = self.model.number()
                self.model.keep(Sum({there: 1}).plus(fed, -1), most=0)
                self._keeps(running, limit, there)
        # What feeds a module stands above it: no circles.
        hosted = [(m, host, number) for m, host, number in self.hosted if host.need]
        count = len(self.boxes)
        depth = {box: self.model.number(count, whole=False) for box in self.boxes if box.need} if hosted else {}
        for module, host, number in hosted:
            self.model.keep(Sum({depth[host]: 1, depth[module]: -1, number: count + 1}), most=count)

    def _zero_volts(self):
        """Who may share a 0 V with whom, and who does."""
        model = self.model
        modules = [box for box in self.boxes if box.need and (box.name, "Inlet") in self.zero_volts]
        inlets = {module: self.zero_volts[module.name, "Inlet"] for module in modules}
        joins = {pair: hung for pair, hung in self.joins.items() if pair[0] in inlets}
        every = frozenset().union({"alone"}, *self.modes.values())
        counted, alone, upper = {}, {}, {}
        for there in self.zero_volts.values():
            there.modes = {mode: model.number() for mode in sorted(every)}
            there.earthed = model.number() if there in inlets.values() else None
            counted[there], alone[there], upper[there] = Sum(there.units), Sum(there.alone), Sum(there.upper)
        for (module, host), hung in joins.items():
            self._join(inlets[module], host, hung, counted, alone, upper)
        for there in self.zero_volts.values():
            used = Sum({number: 1 for number in there.modes.values()})
            model.keep(Sum(used).plus(upper[there]), most=1)
            model.keep(Sum(used).plus(counted[there], -1), most=0)
            model.keep(Sum(alone[there]).add(there.modes["alone"], -1), most=0)
            for (outlet, modes, each), on in there.by_mode.items():
                allowed = {there.modes[mode]: -outlet.count * each for mode in modes}
                model.keep(Sum(on).plus(allowed), most=0)
            if there.earthed is not None:
                model.keep(Sum(there.off_earth).add(there.earthed), most=1)
            self.sharing.plus(there.units)
            elsewhere = [hung for (module, _), hung in joins.items() if inlets[module] is there]
            if elsewhere:
                # Joined to its host's 0 V it is counted there.
                counts = model.number()
                model.keep(Sum({counts: 1}).plus(used, -1), most=0)
                for hung in elsewhere:
                    model.keep(Sum(hung).add(counts), most=1)
                used = {counts: 1}
            self.sharing.plus(used, -1)

    def _join(self, there, host, hung, counted, alone, upper):
        """A module's own 0 V is its host's if it hangs there: what uses the one uses the other."""
        model = self.model
        for mode, number in there.modes.items():
            model.keep(Sum(hung).add(number).add(host.modes[mode], -1), most=1)
        for of, sums in (Sum({there.modes["alone"]: 1}), alone), (there.upper, upper):
            carried = model.number()
            model.keep(Sum(hung).plus(of).add(carried, -1), most=1)
            sums[host].add(carried)
        counts = model.number()
        model.keep(Sum({counts: 1}).plus(hung, -1), most=0)
        model.keep(Sum({counts: 1}).plus(there.units, -1), most=0)
        counted[host].add(counts)
        if host is self.zero_volts.get("earth"):
            model.keep(Sum(hung).add(there.earthed, -1), most=0)
        elif host.earthed is not None:
            model.keep(Sum(hung).add(host.earthed).add(there.earthed, -1), most=1)

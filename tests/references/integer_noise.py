"""What is likely noisy on a 0 V, as rows of an integer program.

Counted, as far as the rules weigh it: units that share a 0 V with one that should be apart, both sides of it;
and drives, fuzzes and compressors beyond the second, one at least where units with more than 40 dB together
share it [S: shared-noise]. As a must: none of the latter.
"""

from integer_solver import Sum

# Drives, fuzzes and compressors that may share a 0 V, and tenths of a dB [S: shared-noise].
MOST_STAGES, MOST_GAIN = 2, 400


class Noise:
    def __init__(self, program):
        self.program, self.model = program, program.model
        self.rules = program.rules

    def count(self):
        """Adds it to the program's noise."""
        rules = self.rules
        if not (rules.apart_counts or rules.gains_count or rules.gains_must):
            return
        for units in self._places():
            units = {kind: numbers for kind, numbers in units.items() if numbers}
            if rules.apart_counts:
                self._disturbed(units)
            if rules.gains_count or rules.gains_must:
                self._crowded(units)

    def _places(self):
        """The units on each 0 V, by their types. Those of a module that has its host's 0 V are counted there."""
        program, model = self.program, self.model
        inlets = {
            module: program.zero_volts[module.name, "Inlet"]
            for module, _ in program.joins
            if (module.name, "Inlet") in program.zero_volts
        }
        totals = {there: {kind: Sum(on) for kind, on in there.by_type.items()} for there in program.zero_volts.values()}
        carried = []
        for (module, host), hung in program.joins.items():
            if module not in inlets:
                continue
            for kind in program.types:
                number = model.number(kind.count)
                totals[host].setdefault(kind, Sum()).add(number)
                carried.append((inlets[module], kind, hung, number))
        rest = {there: {kind: Sum(on) for kind, on in kinds.items()} for there, kinds in totals.items()}
        for there, kind, hung, number in carried:
            total = totals[there].get(kind, Sum())
            model.keep(Sum({number: 1}).plus(total, -1), most=0)
            model.keep(Sum({number: 1}).plus(hung, -kind.count), most=0)
            model.keep(Sum({number: -1}).plus(total).plus(hung, kind.count), most=kind.count)
            rest[there].setdefault(kind, Sum()).add(number, -1)
        yield from rest.values()
        for there in program.private.values():
            yield there.by_type

    def _some(self, numbers, most, beyond=0):
        """A number that is 1 where the sum of those is more than `beyond`."""
        some = self.model.number()
        self.model.keep(Sum(numbers).add(some, -most), most=beyond)
        return some

    def _disturbed(self, units):
        every = sum(kind.count for kind in units)
        all_units = Sum()
        for numbers in units.values():
            all_units.plus(numbers)
        of = lambda which: [(kind, numbers) for kind, numbers in units.items() if which(kind)]
        minding = [kind for kind in units if kind.minds != "Nobody"]
        if not minding:
            return
        there = {digital: self._sum(of(lambda kind: kind.digital == digital)) for digital in (True, False)}
        asks = {
            digital: self._sum(of(lambda kind: kind.digital == digital and kind.minds == "OtherKind"))
            for digital in (True, False)
        }
        some = {digital: self._some(numbers, every) for digital, numbers in there.items() if numbers}
        asked = {digital: self._some(numbers, every) for digital, numbers in asks.items() if numbers}
        hermits = self._sum(of(lambda kind: kind.minds == "Everybody"))
        hermit = self._some(hermits, every) if hermits else None
        company = self._some(all_units, every, 1)
        for kind, numbers in units.items():
            disturbed = self.model.number(kind.count)
            self.program.noisy.add(disturbed)

            def where(*causes):
                row = Sum(numbers).add(disturbed, -1)
                for cause in causes:
                    row.add(cause, kind.count)
                self.model.keep(row, most=kind.count * len(causes))

            other = not kind.digital
            if kind.minds == "OtherKind" and other in some:
                where(some[other])
            if other in asked:
                where(asked[other])
            if hermit is not None:
                where(hermit, company)

    @staticmethod
    def _sum(chosen):
        total = Sum()
        for _, numbers in chosen:
            total.plus(numbers)
        return total

    def _crowded(self, units):
        stages, louder, gain = Sum(), Sum(), Sum()
        for kind, numbers in units.items():
            if kind.stage:
                stages.plus(numbers)
            if kind.gain > 0:
                louder.plus(numbers)
                gain.plus(numbers, kind.gain)
        most_gain = sum(kind.count * kind.gain for kind in units)
        every = sum(kind.count for kind in units)
        loud = None
        if most_gain > MOST_GAIN:
            loud = [self._some(gain, most_gain - MOST_GAIN, MOST_GAIN), self._some(louder, every, 1)]
        if self.rules.gains_must:
            self.model.keep(stages, most=MOST_STAGES)
            if loud:
                self.model.keep(Sum({number: 1 for number in loud}), most=1)
            return
        crowd = self.model.number(max(every, 1))
        self.model.keep(Sum(stages).add(crowd, -1), most=MOST_STAGES)
        if loud:
            self.model.keep(Sum({number: 1 for number in loud}).add(crowd, -1), most=1)
        self.program.noisy.add(crowd)

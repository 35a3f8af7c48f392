"""The two searches of power as an integer program, solved by HiGHS.

Reads on standard input what `cargo bench -p rigwright-tests --bench highs` writes,
{"questions": [...]}, and writes {"answers": [...]}. See README.md beside this.
"""

import json
import math
import os
import sys
import time

from integer_rig import Box, Rules, let_in, types
from integer_rows import Program
from integer_solver import Model, Sum, stages


def told(question):
    """The boxes and units of a rig, and where modules hang already."""
    devices = question["devices"]
    boxes = [Box(device["id"], device["power"], device["supply"]) for device in devices if device["supply"]]
    units = [device for device in devices if not device["supply"] and "Low" in device["power"]]
    hung = {one["module"]: (one["supply"], one["outlet"]) for one in question["hung"]}
    return boxes, types(units, Rules(question["rules"])), hung


def allocate(question):
    """The best way to feed units by the order of wishes: fewest unfed, then fewest at another voltage than
    they run at, least noise, fewest places without headroom, adapters, sharing, µW."""
    rules = Rules(question["rules"])
    boxes, kinds, hung = told(question)
    let_in(boxes, rules)
    model = Model()
    program = Program(model, boxes, kinds, rules, hung)
    unfed, count = Sum(), sum(kind.count for kind in kinds)
    for fed in program.units:
        unfed.plus(fed, -1)
    wishes = [unfed, program.changed, program.noisy, program.tight]
    wishes += [program.adapters, program.sharing, program.taken]
    outcome = stages(model, wishes, question["seconds"])
    if outcome["values"]:
        outcome["values"][0] += count
    elif outcome["bound"] is not None:
        outcome["bound"] += count
    return outcome


def feeding(question, counts):
    """A model in which all units are fed from the boxes that are there and some of so many copies of each part.

    Answers it, and of each part the numbers that say which of its copies there are."""
    rules, parts = Rules(question["rules"]), question["parts"]
    boxes, kinds, hung = told(question)

    def box(part, at):
        return Box((part["key"], at), part["power"], part["supply"])

    new = [[box(part, at) for at in range(count)] for part, count in zip(parts, counts)]
    # Copies of a part are alike, so what can come into one can come into all.
    firsts = boxes + [box(part, "any") for part in parts]
    let_in(firsts, rules)
    for first, copies in zip(firsts[len(boxes) :], new):
        for copy in copies:
            copy.incoming = first.incoming
    choice = [box for copies in new for box in copies]
    model = Model()
    program = Program(model, boxes + choice, kinds, rules, hung, choice)
    for kind, fed in zip(program.types, program.units):
        model.keep(fed, least=kind.count)
    present = [[program.present[box.name] for box in copies] for copies in new]
    for numbers in present:
        for one, after in zip(numbers, numbers[1:]):
            model.keep(Sum({after: 1, one: -1}), most=0)
    return model, present


def least(question):
    """Whether our least is the least.

    `order` is what is compared, one list of whole numbers a part each, `ours` what our answer comes to. First:
    do our boxes feed all units? Then, for each number in turn: is there a set with less of this one, and no
    more of those before it? So our own price bounds the number of copies: a set that costs less has no more
    of a part than that buys. Of what costs nothing it has no more than there are units: in a least set each
    box feeds a unit, or hosts one that does. If we have no answer, no number of copies may be one.
    """
    order, ours, bought = question["order"], question["ours"], question["bought"]
    count = sum(kind.count for kind in told(question)[1])
    end = time.perf_counter() + question["seconds"]
    if not question["rules"]["quiet"] and question["quiet_first"]:
        # Ours is no quiet one, so there must be none.
        quiet = {**question, "rules": {**question["rules"], "quiet": True}}
        outcome = feeding(quiet, [count] * len(order[0]))[0].least(Sum(), end - time.perf_counter())
        if outcome.status != "infeasible":
            return {"status": "limit" if outcome.status == "limit" else "a quiet set does", "values": [], "bound": None}
    outcome = feeding(question, bought or [count] * len(order[0]))[0].least(Sum(), end - time.perf_counter())
    if outcome.status == "limit":
        return {"status": "limit", "values": [], "bound": None}
    if (outcome.status == "optimal") != (bought is not None):
        return {"status": "some set does" if bought is None else "ours doesn't", "values": [], "bound": None}
    if bought is None:
        return {"status": "optimal", "values": ours, "bound": None}
    steps = [math.gcd(*prices) or 1 for prices in order]
    for at, step in enumerate(steps):
        limits = [*ours[:at], ours[at] - step]
        counts = [
            max(0, min([count] + [limit // price for limit, price in zip(limits, prices) if price]))
            for prices in zip(*order)
        ]
        model, present = feeding(question, counts)
        # The last of them is the one that is to be less.
        for prices, limit, step_of in zip(order, limits, steps):
            price = Sum({number: each // step_of for numbers, each in zip(present, prices) for number in numbers})
            model.keep(price, most=limit // step_of)
        outcome = model.least(price, end - time.perf_counter())
        if outcome.status == "limit":
            bound = None if outcome.bound is None else outcome.bound * step
            return {"status": "limit", "values": ours[:at], "bound": bound}
        if outcome.status == "optimal":
            return {"status": "less", "values": [*ours[:at], round(outcome.value) * step], "bound": None}
    return {"status": "optimal", "values": ours, "bound": None}


def main():
    # HiGHS greets on standard output, which is for the answer.
    answer_to = os.fdopen(os.dup(1), "w")
    os.dup2(2, 1)
    answers = []
    for question in json.load(sys.stdin)["questions"]:
        start = time.perf_counter()
        answer = {"allocate": allocate, "least": least}[question["what"]](question)
        answers.append({**answer, "seconds": time.perf_counter() - start})
    json.dump({"answers": answers}, answer_to)


main()

"""A plain rule that always answers: walk through time, and give each free machine the most urgent work that fits.

At every moment at which something changes (work ends, a wait ends, a shift begins), the places are visited in the
order of their most urgent waiting work. A free machine takes the first operation for which people with the skill are
at work, free and have enough of their block left. Ovens wait a while for a fuller charge. Nothing is started before
it can be, and nothing already started is moved.
"""

from __future__ import annotations

import random
from bisect import insort
from collections.abc import Iterator
from heapq import heappop, heappush

from bedwright.schedule.bound import bound_of
from bedwright.schedule.moment import CrewNow, Key, PlaceNow, charge_start, run_start
from bedwright.schedule.net import Net, net_of, slowed
from bedwright.schedule.orders import Operation
from bedwright.schedule.plan import Charge, Plan, Slip, finishes_of, objective_of
from bedwright.schedule.problem import Problem
from bedwright.schedule.resources import Oven, WorkPlace
from bedwright.schedule.rules import Pass, Rule
from bedwright.schedule.spans import Interval, Timeline, common, measure, merged, without


def stretch_percent(problem: Problem) -> int:
    """Elapsed seconds per hundred working seconds of the people, on average: how far nights stretch the work."""
    worked = sum(measure(without(person.working, person.absence)) for person in problem.people)
    return max(100, 100 * problem.horizon * len(problem.people) // worked) if worked else 100


class _Walk:
    """One pass of the rule. State lives here; nothing of it leaves but slips and charges."""

    def __init__(self, problem: Problem, net: Net, rule: Rule, seed: int) -> None:
        self.problem, self.net, self.rule = problem, net, rule
        self.pause = problem.longest_pause_seconds
        self.places = {place.code: PlaceNow(place, self.pause) for place in problem.places}
        self.places.update({oven.code: PlaceNow(oven, self.pause) for oven in problem.ovens})
        for operation in problem.operations:
            self.places[operation.place].coming += 1
        self.ordinary = [without(person.working, person.absence) for person in problem.people]
        self.hours = list(self.ordinary)
        if rule.overtime:
            self.hours = [merged((*p.working, *p.overtime)) for p in problem.people]
            self.hours = [without(hours, p.absence) for hours, p in zip(self.hours, problem.people, strict=True)]
        self.time = [Timeline.of(hours, self.pause) for hours in self.hours]
        self.person_free = [0] * len(problem.people)
        self.able = self._able()
        self.crews: dict[tuple[str, tuple[int, ...]], CrewNow] = {}
        self.key = self._keys(seed)
        self.left = [len(names) for names in net.before]
        self.ready = [operation.earliest for operation in problem.operations]
        self.events: list[int] = sorted({0, *self._beginnings()})
        self.arrivals: list[tuple[int, int]] = []
        self.slips: dict[int, Slip] = {}
        self.charges: list[Charge] = []

    def _able(self) -> dict[str | None, list[tuple[int, int]]]:
        """For each skill the people who have it, best first: quick ones, then those who can do little else."""
        people = self.problem.people
        out: dict[str | None, list[tuple[int, int]]] = {}
        for skill in sorted(
            {o.skill for o in self.problem.operations}, key=lambda name: (name is not None, name or "")
        ):
            levels = [(i, person.level(skill)) for i, person in enumerate(people) if person.level(skill)]
            levels.sort(key=lambda pair: (-pair[1], len(people[pair[0]].skills), people[pair[0]].code))
            out[skill] = levels
        return out

    def _keys(self, seed: int) -> list[Key]:
        """Urgency of each operation, the smaller the sooner."""
        orders = {order.id: order for order in self.problem.works_orders}
        rng = random.Random(seed)
        out = []
        for i, operation in enumerate(self.problem.operations):
            order = orders[operation.works_order]
            slack = self.net.latest_end[i] - self.net.best[i]
            moved = rng.randrange(self.rule.shake_seconds) if self.rule.shake_seconds else 0
            if self.rule.by == "slack":
                out.append((slack + moved, -order.priority, order.due, operation.id))
            else:
                out.append((order.due + moved, -order.priority, slack, operation.id))
        return out

    def _beginnings(self) -> list[int]:
        times = [start for hours in self.hours for start, _ in hours]
        return times + [start for place in self.places.values() for start, _ in place.card.working]

    def run(self) -> Pass:
        """Walk until nothing can change any more."""
        for i, count in enumerate(self.left):
            if count == 0:
                self._arrives(i)
        now = -1
        while self.events:
            moment = heappop(self.events)
            if moment == now:
                continue
            now = moment
            while self.arrivals and self.arrivals[0][0] <= now:
                i = heappop(self.arrivals)[1]
                place = self.places[self.problem.operations[i].place]
                insort(place.queue, (self.key[i], i))
                place.coming -= 1
            self._dispatch(now)
        return self._result()

    def _arrives(self, i: int) -> None:
        heappush(self.arrivals, (self.ready[i], i))
        heappush(self.events, self.ready[i])

    def _dispatch(self, now: int) -> None:
        waiting = sorted((place.queue[0], code) for code, place in self.places.items() if place.queue)
        people = [free <= now and self.time[p].at(now) >= 0 for p, free in enumerate(self.person_free)]
        for _, code in waiting:
            place = self.places[code]
            if isinstance(place.card, Oven):
                self._heat(place, place.card, now)
                continue
            while place.queue and self._start_one(place, now, people):
                pass

    def _start_one(self, place: PlaceNow, now: int, people: list[bool]) -> bool:
        """Start one waiting operation at this place now; False where none can."""
        machines = [m for m in place.machines if place.free[m] <= now]
        if not machines:
            return False
        assert isinstance(place.card, WorkPlace)
        nobody: set[tuple[str | None, int]] = set()
        for at, index in self._candidates(place, machines):
            i = place.queue[at][1]
            operation = self.problem.operations[i]
            setup = place.change(index, operation)
            if operation.skill is None and not place.card.needs_person:
                crew: tuple[int, ...] = ()
                level = 100
            else:
                want = (operation.skill, operation.hands)
                if want in nobody:
                    continue
                free = [(p, level) for p, level in self.able[operation.skill] if people[p]][: operation.hands]
                if len(free) < operation.hands:
                    nobody.add(want)
                    continue
                crew, level = tuple(sorted(p for p, _ in free)), free[-1][1]
            stretches = self._lay(place, crew, now, setup + slowed(operation.run_seconds, level))
            if stretches is None and crew:
                found = self._other_crew(place, operation, now, setup, people)
                if found is not None:
                    crew, stretches = found
            if stretches is not None:
                del place.queue[at]
                self._book(place, index, i, crew, setup, stretches)
                for p in crew:
                    people[p] = False
                return True
        return False

    def _candidates(self, place: PlaceNow, machines: list[int]) -> Iterator[tuple[int, int]]:
        """Places in the queue with the machine each would have, in the order in which they are tried."""
        queue = place.queue
        if not place.setup:
            yield from ((at, machines[0]) for at in range(len(queue)))
            return
        reach = queue[0][0][0] + self.rule.setup_window
        far = next((at for at, (key, _) in enumerate(queue) if key[0] > reach), len(queue))
        near = [(*self._machine(place, machines, queue[at][1]), at) for at in range(far)]
        yield from ((at, index) for _, index, at in sorted(near, key=lambda row: (row[0], row[2])))
        yield from ((at, self._machine(place, machines, queue[at][1])[1]) for at in range(far, len(queue)))

    def _machine(self, place: PlaceNow, machines: list[int], i: int) -> tuple[int, int]:
        """The free machine that needs the least set-up for an operation, and how much [s]."""
        cost, index = min((place.change(m, self.problem.operations[i]), m) for m in machines)
        return cost, index

    def _other_crew(
        self, place: PlaceNow, operation: Operation, now: int, setup: int, people: list[bool]
    ) -> tuple[tuple[int, ...], tuple[Interval, ...]] | None:
        """Where the best people's block is too short: one other person whose block is long enough."""
        if operation.hands != 1:
            return None
        for p, level in self.able[operation.skill]:
            if people[p]:
                stretches = self._lay(place, (p,), now, setup + slowed(operation.run_seconds, level))
                if stretches is not None:
                    return (p,), stretches
        return None

    def _lay(self, place: PlaceNow, crew: tuple[int, ...], now: int, need: int) -> tuple[Interval, ...] | None:
        if not crew and place.open is None:
            return ((now, now + need),)
        found = self.crews.get((place.card.code, crew))
        if found is None:
            found = self._crew(place, crew)
            self.crews[(place.card.code, crew)] = found
        return found.time.lay(now, need, need > found.longest)

    def _crew(self, place: PlaceNow, crew: tuple[int, ...]) -> CrewNow:
        """The time that these people share with the place, and their longest ordinary block of it."""
        both: list[tuple[Interval, ...]] = []
        for hours in (self.hours, self.ordinary):
            parts = [hours[p] for p in crew] + ([place.card.working] if place.card.working else [])
            shared = parts[0]
            for part in parts[1:]:
                shared = common(shared, part)
            both.append(shared)
        return CrewNow(Timeline.of(both[0], self.pause), Timeline.of(both[1], self.pause).longest_block)

    def _book(
        self, place: PlaceNow, index: int, i: int, crew: tuple[int, ...], setup: int, stretches: tuple[Interval, ...]
    ) -> None:
        operation = self.problem.operations[i]
        end = stretches[-1][1]
        people = tuple(sorted(self.problem.people[p].code for p in crew))
        start = run_start(stretches, setup)
        self.slips[i] = Slip(operation.id, operation.place, index, people, stretches[0][0], start, end, stretches)
        place.free[index] = end
        place.standing[index].update(operation.setup_keys)
        for p in crew:
            self.person_free[p] = end
        heappush(self.events, end)
        self._released(i, end)

    def _released(self, i: int, end: int) -> None:
        for j in self.net.following[i]:
            self.ready[j] = max(self.ready[j], end + self.net.wait[i])
            self.left[j] -= 1
            if self.left[j] == 0:
                self._arrives(j)

    def _heat(self, place: PlaceNow, oven: Oven, now: int) -> None:
        """Start charges in every free oven of this card, or say when to look again."""
        for index in place.machines:
            if place.free[index] > now or not place.queue:
                continue
            begin = charge_start(place.open, now, oven.length())
            if begin is None:
                return
            if begin > now:
                heappush(self.events, begin)
                return
            load, units = self._load(place, oven)
            patient = min(self.ready[i] for i in load) + self.rule.oven_wait_seconds
            low = units * 100 < oven.capacity * self.rule.fill_percent
            if low and place.coming and now < patient and self._waits(place.open, now, patient, oven.length()):
                return
            self._charge(place, oven, index, now, load, units)

    def _waits(self, hours: Timeline | None, now: int, patient: int, length: int) -> bool:
        """Whether the oven waits for more units; then an event says when to look again."""
        if hours is None or charge_start(hours, patient, length) == patient:
            heappush(self.events, patient)
            return True
        i = hours.at(now)
        last = hours.intervals[hours.block_last[i]][1] - length
        if last > now and charge_start(hours, last, length) == last:
            heappush(self.events, last)
            return True
        return False

    def _load(self, place: PlaceNow, oven: Oven) -> tuple[list[int], int]:
        """The most urgent units that fit together: one heat only in a charge."""
        load: list[int] = []
        units = 0
        operations = self.problem.operations
        heat = sorted(operations[place.queue[0][1]].setup_keys)
        for _, i in place.queue:
            if units + operations[i].rack_units <= oven.capacity and sorted(operations[i].setup_keys) == heat:
                load.append(i)
                units += operations[i].rack_units
        return load, units

    def _charge(self, place: PlaceNow, oven: Oven, index: int, now: int, load: list[int], units: int) -> None:
        end, number = now + oven.length(), len(self.charges)
        operations = [self.problem.operations[i] for i in load]
        names = tuple(sorted(operation.id for operation in operations))
        self.charges.append(Charge(number, oven.code, index, now, now + oven.warm_up_seconds, end, names, units))
        inside = set(load)
        place.queue = [entry for entry in place.queue if entry[1] not in inside]
        place.free[index] = end
        heappush(self.events, end)
        for i, operation in zip(load, operations, strict=True):
            self.slips[i] = Slip(operation.id, oven.code, index, (), now, now, end, ((now, end),), number)
            self._released(i, end)

    def _result(self) -> Pass:
        operations = self.problem.operations
        slips = tuple(sorted(self.slips.values(), key=lambda s: (s.setup_start, s.place, s.index, s.operation)))
        queued = {i for place in self.places.values() for _, i in place.queue}
        unplaced = []
        for i, operation in enumerate(operations):
            if i in queued:
                unplaced.append((operation.id, "the calendar ends before its turn: give more days or more hours"))
            elif i not in self.slips:
                unplaced.append((operation.id, "it waits for an operation that is not in the plan"))
        ready: dict[str, int | None] = {order.id: 0 for order in self.problem.works_orders}
        for i, operation in enumerate(operations):
            so_far = ready[operation.works_order]
            if i not in self.slips:
                ready[operation.works_order] = None
            elif so_far is not None:
                ready[operation.works_order] = max(so_far, self.slips[i].end + self.net.wait[i])
        finishes = finishes_of(self.problem, ready)
        objective = objective_of(self.problem, slips, finishes)
        return Pass(self.rule, slips, tuple(self.charges), finishes, tuple(sorted(unplaced)), objective)


def walk(problem: Problem, rule: Rule, seed: int = 0, net: Net | None = None) -> Pass:
    """One pass of the rule over a problem; the seed matters only where the rule shakes."""
    return _Walk(problem, net or net_of(problem, stretch_percent(problem)), rule, seed).run()


def simple(problem: Problem, rule: Rule | None = None) -> Plan:
    """The plan of one plain rule (default: earliest cut-off, then slack), with its bound. Always answers."""
    done = walk(problem, rule or Rule("earliest cut-off"))
    return planned(problem, done, "the rule was walked through once", passes=1, placed=len(done.slips))


def planned(problem: Problem, done: Pass, why_stopped: str, passes: int, placed: int) -> Plan:
    """A pass with the bound of its problem beside it."""
    bound = bound_of(problem)
    return Plan(
        done.slips, done.charges, done.finishes, done.unplaced, done.objective, bound, why_stopped, passes, placed,
        done.rule.name,
    )  # fmt: skip

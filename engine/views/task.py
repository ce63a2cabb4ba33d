"""One line of the board: an act, a look, or standing work."""

from __future__ import annotations

from datetime import date, timedelta

from engine.farm.model import Standing
from engine.protocols.roles import Role
from engine.reading.frozen import dataclass
from engine.schedule.plan import Plan
from engine.schedule.states import State

FAR = date(9999, 1, 1)
"""Stands for no end."""


@dataclass(frozen=True, slots=True)
class Task:
    """One line of the board: an act, a look, or standing work. Dates are None where nothing bounds them."""

    kind: str
    lot: str
    species: str
    plant: str
    method: str
    step: str
    place: str
    under_cover: bool
    count: int
    state: State
    opens: date | None = None
    closes: date | None = None
    earliest: date | None = None
    aim: date | None = None
    latest: date | None = None
    best_until: date | None = None
    hours: float | None = None
    days: tuple[date, ...] = ()
    """For looks and standing work: the days of the week on which it is due."""
    often: str = ""
    plan: Plan | None = None
    index: int = 0
    standing: Standing | None = None

    def waits_for_its_aim(self, today: date) -> bool:
        """Whether it may be done, but is meant for a later week."""
        return self.kind == "act" and self.state == State.OPEN and self.aim is not None and (self.aim - today).days > 7

    def over(self, today: date) -> int:
        """Days by which an act is overdue, held or not; 0 where it is not."""
        if self.kind != "act" or self.plan is None or self.state not in (State.OVERDUE, State.HELD):
            return 0
        now = today.toordinal()
        return now - self.plan.due(self.index, now) if self.plan.overdue(self.index, now) else 0

    def put_off_to(self, today: date) -> date:
        """To which day an act is put off where no other is said: by a week, not past its last day unless late."""
        week_on = today + timedelta(7)
        return min(week_on, self.latest) if self.latest and not self.over(today) else week_on

    @property
    def urged(self) -> bool:
        """Whether it is an act that radicles have made due."""
        return self.state in (State.OVERDUE, State.CLOSING, State.HELD) and self.radicles

    @property
    def radicles(self) -> bool:
        """Whether it follows what radicles were seen in."""
        return self.kind == "act" and self.plan is not None and self.plan.radicles(self.index) is not None

    @property
    def collects(self) -> bool:
        """Whether it takes from the plants that are kept for it."""
        return self.kind == "act" and self.plan is not None and self.plan.step(self.index).role is Role.COLLECT

    @property
    def ends(self) -> date:
        """What closes first stands first."""
        if self.state in (State.MISSED, State.OVERDUE):
            return date.min
        ends = [d for d in (self.latest, self.best_until) if d is not None]
        return min(ends, default=FAR)


def begins_its_season(task: Task, start: date) -> bool:
    """Whether a plant's work of this season begins in the week from `start`, so that what is to be known of it is said.

    Seasons begin with March, June, September and December. In the first week of one it is said of all; later in it, of
    a lot of which nothing was done or meant since it began. Once a season: nobody reads it every week.
    """
    first = max(date(start.year - (month > start.month), month, 1) for month in (3, 6, 9, 12))
    if first > start - timedelta(days=7):
        return True
    if task.kind != "act" or task.plan is None:
        return False
    plan = task.plan
    days = [plan.lot.done[s.do].day.toordinal() for s in plan.chain.protocol.steps if s.do in plan.lot.done]
    days += [aim for k, aim in enumerate(plan.now.aims) if aim is not None and not plan.done(k)]
    return not any(first.toordinal() <= day < start.toordinal() for day in days)

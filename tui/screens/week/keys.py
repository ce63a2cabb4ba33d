"""The keys of the week."""

from __future__ import annotations

from textual.binding import Binding, BindingType

from tui.screens.radicles_mould_keys import look_keys

KEYS: list[BindingType] = [
    Binding("d", "record('done')", "done: how many went in, or are alive", id="done", tooltip="record the task done"),
    *look_keys("look: dry"),
    Binding("p", "record('pot_run')", "pot what has sprouted: radicles before the bed is open", id="pot_run"),
    Binding("k", "record('count')", "count them: how many are alive today", id="count"),
    Binding("h", "record('hold')", "hold it, with a reason; again: go on", id="hold"),
    Binding("l", "record('later')", "not now: a later day within its window", id="later"),
    Binding("a", "record('accept')", "accept the next window for what was missed", id="accept"),
    Binding("i", "record('instead')", "instead of what was missed: another way still open", id="instead"),
    Binding("x", "record('drop')", "drop the task, or the whole lot", id="drop"),
    Binding("t", "record('note')", "write a note on the lot", id="note"),
    Binding("s", "record('saw')", "seen: a mark of the season", id="saw"),
    Binding("f", "tonight", "frost tonight, heat, a gale, a power cut: what stands exposed", id="tonight"),
    Binding("left", "week(-1)", "the week before", id="week_before"),
    Binding("right", "week(1)", "the week after", id="week_after"),
    Binding("w", "this_week", "back to this week", id="this_week"),
    Binding("c", "cover", "wet day: only what is under cover; again: all", id="cover"),
    Binding("b", "spare", "spare time: what fits into it, the most pressing first", id="spare"),
    Binding("enter", "details", "open: the whole batch", id="details", show=False),
]

KEYS_OF = {
    "act": "d done  k count  h hold  l later  x drop  t note",
    "missed": "i another way  a next window  d done  x drop  t note",
    "overdue": "d done: today, or when you did  l later  x drop  t note",
    "held": "h go on  d done  x drop  t note",
    "done": "e correct  t note",
    "look": "n nothing  r radicles  m mould  y dry  k count  t note",
    "looks": "Enter open them  n nothing in all",
    "standing": "d done today",
    "send": "Enter the parcel: packed, sent",
}
"""What the foot says of the keys, by the state of a line, else by what it is."""

ONLY = {
    "hold": "h: only for a task still to do",
    "later": "l: only for a task still to do",
    "accept": "a: only where a window was missed",
    "instead": "i: only where a window was missed",
    "drop": "x: only for a task still to do",
}
"""For which tasks alone a key is."""

"""Lines of the tiny farm's board by their keys, and what stands in a form and in the journal."""

from __future__ import annotations

from textual.widgets import Input

from tests.tui.shed import Shed
from tui.forms.form import FormScreen

SOAK = "act Z1 soak potting shed"
COLD = "act Z1 stratify cold cold store"
MISSED = "act M1 collect stock beds"
LOOKS = "looks cold store"
SWEEP = "standing  sweep the floor potting shed"
LOOK_Z2 = "look Z2 look: stratify cold cold store"


def values(form: FormScreen) -> dict[str, str]:
    return {field.id or "": field.value for field in form.query(Input)}


def data(shed: Shed) -> list[tuple[str, dict[str, object]]]:
    return [(entry.kind, dict(entry.data)) for entry in shed.entries()]

"""Every kind of task of a worksheet: name → what sets it, in the order in which they stand on the paper."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from builder.lessons.task import Setter, Task
from builder.lessons.tasks import arrows, count_up, explain, label, mistake, order, say, worked

TASKS: dict[str, Callable[[Setter], Iterator[Task | None]]] = {
    "label": label.tasks,
    "count_up": count_up.tasks,
    "arrows": arrows.tasks,
    "worked": worked.tasks,
    "mistake": mistake.tasks,
    "order": order.tasks,
    "say": say.tasks,
    "explain": explain.tasks,
}

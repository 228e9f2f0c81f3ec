"""Of several ways to tell one thing just one must be told."""

from __future__ import annotations

from builder.ground.faults import Complaint, Refused
from builder.ground.part import Part


def not_once(asked: Part, *fields: str) -> list[Complaint]:
    """The complaint where none of the fields is told, or more than one."""
    told = [field for field in fields if getattr(asked, field) is not None]
    if len(told) == 1:
        return []
    value = " and ".join(told) or "nothing"
    advice = "Leave all but one out." if told else "Give one of them."
    return [Complaint((fields[0],), value, f"just one of {', '.join(fields)}", advice)]


def refuse(found: list[Complaint]) -> None:
    """Raises Refused with all complaints, if there are any."""
    if found:
        raise Refused(found)


def cannot(field: str, value: str, allowed: str, advice: str) -> Refused:
    """The refusal of one field."""
    return Refused([Complaint((field,), value, allowed, advice)])

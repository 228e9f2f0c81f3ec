"""Where the pages of a repair lie, as a movement's own pages lead to them."""

from __future__ import annotations

FOLDER = "repairs"


def customer_page(day: str) -> str:
    """For the customer."""
    return f"{day}.html"


def bench_page(day: str) -> str:
    """For the workshop."""
    return f"{day}-bench.html"

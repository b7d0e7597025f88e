"""Reads the TOML tables that lie beside this file, each once and only when it is asked for."""

from __future__ import annotations

from functools import cache
from typing import Any


@cache
def table(name: str) -> dict[str, Any]:
    """The table of that name as plain dicts and lists; shared, so never to be changed.

    Args:
        name: File name without its ending, such as "alloys". [-]

    Returns:
        What the TOML file holds.
    """
    import tomllib  # both here: they cost more than the rest of the room at start-up
    from importlib.resources import files

    return tomllib.loads(files(__package__).joinpath(f"{name}.toml").read_text(encoding="utf-8"))

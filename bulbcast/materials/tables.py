"""Reads the TOML tables beside this file, each once and only when it is needed."""

from __future__ import annotations

import pkgutil
from functools import cache
from typing import Any


@cache
def table(name: str) -> dict[str, Any]:
    """The table of that name as plain dicts and lists; shared, so never change it.

    Args:
        name: File name without its ending, such as "alloys". [-]

    Returns:
        The contents of the TOML file.
    """
    import tomllib  # here: it costs more than the rest of the room at start-up

    # Not importlib.resources, which loads archives and temporary files with it.
    held = pkgutil.get_data(__package__, f"{name}.toml")
    if held is None:
        raise FileNotFoundError(f"{name}.toml is missing beside {__name__}")
    return tomllib.loads(held.decode("utf-8"))

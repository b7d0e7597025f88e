"""Reads the TOML tables next to this file. Each is read only once, when it is first needed."""

from __future__ import annotations

import pkgutil
from functools import cache
from typing import Any


@cache
def table(name: str) -> dict[str, Any]:
    """Return a table as plain dicts and lists. The result is shared, so never change it.

    Args:
        name: File name without its extension, such as "alloys". [-]

    Returns:
        The contents of the TOML file.
    """
    import tomllib  # imported here because it costs more at start-up than the rest of this package

    # Not importlib.resources, which loads archives and temporary files with it.
    held = pkgutil.get_data(__package__, f"{name}.toml")
    if held is None:
        raise FileNotFoundError(f"{name}.toml is missing from the folder of {__name__}")
    return tomllib.loads(held.decode("utf-8"))

"""Every rule there is, whichever room declares it and whether or not a plan has triggered it."""

from __future__ import annotations

import importlib
import pkgutil

import bulbcast
from bulbcast.findings import Rule, rules

_NO_SUBJECT = ("bulbcast.cli", "bulbcast.bundle", "bulbcast.__main__")
"""Rooms that declare no finding; `bundle` also has a module that needs the CAD kernel."""


def every_rule() -> tuple[Rule, ...]:
    """Every rule by code; loads all modules of the subjects."""
    for module in pkgutil.walk_packages(bulbcast.__path__, "bulbcast."):
        if not module.name.startswith(_NO_SUBJECT):
            importlib.import_module(module.name)
    return rules()

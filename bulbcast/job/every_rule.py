"""Every rule in the program, whether or not it applies to a plan."""

from __future__ import annotations

import importlib
import pkgutil

import bulbcast
from bulbcast.findings import Rule, rules

_NO_SUBJECT = ("bulbcast.cli", "bulbcast.bundle", "bulbcast.__main__")
"""Packages without findings; `bundle` also has a module that needs the CAD kernel."""


def every_rule() -> tuple[Rule, ...]:
    """Return all rules, sorted by code. This imports every module that declares one."""
    for module in pkgutil.walk_packages(bulbcast.__path__, "bulbcast."):
        if not module.name.startswith(_NO_SUBJECT):
            importlib.import_module(module.name)
    return rules()

"""Every finding is declared once, as a rule, and what is withheld follows from the findings alone."""

from __future__ import annotations

import ast
import importlib
import pkgutil
from pathlib import Path

import pytest

import bulbcast
from bulbcast.findings import Rule, Severity, Step, rules

PACKAGE = Path(bulbcast.__file__).parent

for _module in pkgutil.walk_packages(bulbcast.__path__, "bulbcast."):
    # The CAD kernel that bundle/cad.py wants is optional.
    if not _module.name.endswith(("__main__", "bundle.cad")):
        importlib.import_module(_module.name)


def test_findings_are_made_by_rules_alone():
    makers = [
        path.relative_to(PACKAGE).as_posix()
        for path in sorted(PACKAGE.rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Finding"
    ]
    assert makers == ["findings.py"]


def test_a_rule_is_declared_at_the_top_of_a_module_and_not_while_a_plan_is_worked_out():
    """Otherwise, whether a code exists would depend on which plans had been read before."""
    inside = [
        (path.relative_to(PACKAGE).as_posix(), node.lineno)
        for path in sorted(PACKAGE.rglob("*.py"))
        if "from bulbcast.findings import" in (text := path.read_text(encoding="utf-8"))  # not Simpson's Rule
        for function in ast.walk(ast.parse(text))
        if isinstance(function, ast.FunctionDef)
        for node in ast.walk(function)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id in ("Rule", "melt_rule")
    ]
    assert inside == []


def test_there_are_as_many_rules_as_there_were_checks():
    assert len(rules()) > 150


def test_what_a_finding_withholds_follows_from_its_severity_and_rule():
    """A stop withholds everything that is made; a hold withholds the steps named by its rule, in the order of the work."""
    wrong = []
    for rule in rules():
        due = {Severity.STOP: tuple(Step), Severity.HOLD: rule.holds}
        for severity in rule.severities:
            end = "x" if rule.family else ""
            withheld = rule(where="here", message="m", remedy="r", severity=severity, end=end).withholds
            ruled = withheld == due.get(severity, ()) and bool(withheld) is (severity in due)
            ordered = withheld == tuple(step for step in Step if step in withheld)
            poured_unmelted = Step.MELT in withheld and Step.POUR not in withheld
            if not ruled or not ordered or poured_unmelted:
                wrong.append((rule.code, severity, withheld))
    assert wrong == []


def test_a_code_cannot_be_declared_twice_nor_a_hold_without_what_it_withholds():
    with pytest.raises(ValueError, match='the finding "wall-thin" is declared twice'):
        Rule("wall-thin", Severity.STOP)
    with pytest.raises(ValueError, match="only a hold may"):
        Rule("never-declared", Severity.HOLD)
    with pytest.raises(ValueError, match="only a hold may"):
        Rule("never-declared", Severity.NOTE, holds=(Step.POUR,))
    assert "never-declared" not in {rule.code for rule in rules()}


def test_no_other_list_of_codes_stands_anywhere():
    """A list of codes kept by hand would soon be out of date."""
    codes = {rule.code for rule in rules()}
    lists = {
        path.relative_to(PACKAGE).as_posix(): sorted(found)
        for path in sorted(PACKAGE.rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Set | ast.Tuple | ast.List | ast.Dict)
        and len(found := {one.value for one in _parts(node) if isinstance(one, ast.Constant)} & codes) > 1
    }
    assert lists == {}


def _parts(node: ast.Set | ast.Tuple | ast.List | ast.Dict) -> list[ast.expr]:
    return [key for key in node.keys if key is not None] if isinstance(node, ast.Dict) else node.elts

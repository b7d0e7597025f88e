"""Every key states its meaning and how to find its value, every word its meaning, and every finding why it matters."""

from __future__ import annotations

import ast
import importlib
import pkgutil
import re
from pathlib import Path

import bulbcast
from bulbcast.findings import rules
from bulbcast.plan.key import Kind
from bulbcast.plan.keys import KEYS

for _module in pkgutil.walk_packages(bulbcast.__path__, "bulbcast."):
    # The CAD kernel that bundle/cad.py wants is optional.
    if not _module.name.endswith(("__main__", "bundle.cad")):
        importlib.import_module(_module.name)


def is_said(text: str) -> bool:
    """Whether a text consists of whole sentences and has at least three words."""
    return len(text.split()) >= 3 and text[0].isupper() and text.endswith(".") and text == text.strip()


def test_every_key_says_how_it_is_found():
    """If this fails, add find="Measure the thickest part with calipers." to the key()."""
    assert [key.name for key in KEYS.values() if not (is_said(key.find) and key.about.strip())] == []


def test_every_word_of_a_choice_says_what_it_means():
    """If this fails, add means={"cut": "milled into the finished casting"} to the key(); an acceptance sentence does
    not need it."""
    lacking = {
        key.name: words
        for key in KEYS.values()
        if key.kind is Kind.CHOICE and not key.acceptance
        if (words := [word for word in key.choices if not key.means.get(word, "").strip()])
    }
    assert lacking == {}


def test_every_finding_says_why_it_matters():
    """If this fails, add why="Lead that is too thin does not fill well." to the Rule, in two sentences at most."""
    assert [rule.code for rule in rules() if not is_said(rule.why)] == []


def test_no_two_findings_say_the_same():
    """A text that fits two findings explains neither. Only "limit-" findings, which are one family, may share one."""
    said: dict[str, list[str]] = {}
    for rule in rules():
        said.setdefault(rule.why, []).append(rule.code)
    doubled = [codes for codes in said.values() if len(codes) > 1]
    assert [codes for codes in doubled if not all(code.startswith("limit-") for code in codes)] == []


FIELD = re.compile(r"\{[a-z_]+[.(\[]")
"""The start of a field with an attribute, a call or an index, which only an f-string fills in."""


def unfilled(source: str) -> list[int]:
    """Lines of plain strings with a field that is never filled in."""
    tree = ast.parse(source)
    formatted = {
        id(part) for one in ast.walk(tree) if isinstance(one, ast.JoinedStr) for part in ast.walk(one)
    }
    return [
        one.lineno
        for one in ast.walk(tree)
        if isinstance(one, ast.Constant)
        and isinstance(one.value, str)
        and id(one) not in formatted
        and FIELD.search(one.value)
    ]


def test_no_text_shows_the_name_of_a_figure_in_place_of_the_figure():
    """If this fails, a string on each line listed lacks its f prefix."""
    assert unfilled('x = "{shown.mass(y)} of lead"\ny = f"{shown.mass(y)} of lead"') == [1]
    files = sorted(Path(bulbcast.__file__).parent.rglob("*.py"))
    found = {one.name: unfilled(one.read_text(encoding="utf-8")) for one in files}
    assert {name: lines for name, lines in found.items() if lines} == {}

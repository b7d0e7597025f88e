"""Every key says what it means and how to find it, every word what it means, and every finding why it matters."""

from __future__ import annotations

import importlib
import pkgutil

import bulbcast
from bulbcast.findings import rules
from bulbcast.plan.key import Kind
from bulbcast.plan.keys import KEYS

for _module in pkgutil.walk_packages(bulbcast.__path__, "bulbcast."):
    # The CAD kernel that bundle/cad.py wants is optional.
    if not _module.name.endswith(("__main__", "bundle.cad")):
        importlib.import_module(_module.name)


def is_said(text: str) -> bool:
    """Whether a text is made of whole sentences with enough words."""
    return len(text.split()) >= 3 and text[0].isupper() and text.endswith(".") and text == text.strip()


def test_every_key_says_how_it_is_found():
    """If this fails, give its key() find="Caliper the thickest place."."""
    assert [key.name for key in KEYS.values() if not (is_said(key.find) and key.about.strip())] == []


def test_every_word_of_a_choice_says_what_it_means():
    """If this fails, give the key() means={"cut": "milled into the finished casting"}; a sentence of acceptance needs
    none."""
    lacking = {
        key.name: words
        for key in KEYS.values()
        if key.kind is Kind.CHOICE and not key.acceptance
        if (words := [word for word in key.choices if not key.means.get(word, "").strip()])
    }
    assert lacking == {}


def test_every_finding_says_why_it_matters():
    """If this fails, give the Rule why="Lead that is too thin does not fill well.", in two sentences at most."""
    assert [rule.code for rule in rules() if not is_said(rule.why)] == []


def test_no_two_findings_say_the_same():
    """A text that fits two findings explains neither; the limits of a builder's rule count as one family."""
    said: dict[str, list[str]] = {}
    for rule in rules():
        said.setdefault(rule.why, []).append(rule.code)
    doubled = [codes for codes in said.values() if len(codes) > 1]
    assert [codes for codes in doubled if not all(code.startswith("limit-") for code in codes)] == []

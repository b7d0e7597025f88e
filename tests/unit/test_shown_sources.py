"""Sources of figures are given briefly in the report, and unverified ones are mentioned once."""

import re

from bulbcast.plan.keys import KEYS
from bulbcast.report.markup import sources
from bulbcast.report.sources import notes_on, shown_source


def test_a_source_from_memory_bears_a_star_and_the_list_says_once_what_that_means():
    named = [
        "timber handbooks, from memory",
        "common practice, no source: epoxy",
        "ISO 4762",
        "steel; from memory",
    ]
    assert [shown_source(one) for one in named] == [
        "timber handbooks*",
        "common practice: epoxy",
        "ISO 4762",
        "steel*",
    ]
    listed = sources(named)
    assert listed.count("Unverified: ") == 1
    assert listed.count("Common practice: ") == 1
    assert "from memory, " not in listed.partition("Unverified")[0]


def test_a_list_without_either_has_no_notes():
    assert notes_on(["ISO 4762"]) == ""
    assert "Unverified" not in sources(["ISO 4762"])


def test_no_default_is_shown_with_the_words_that_the_notes_say():
    shown = [shown_source(one.source) for one in KEYS.values() if one.source]
    assert shown
    assert not [one for one in shown if re.search("from memory|no source", one)]

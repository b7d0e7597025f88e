"""Materials: alloys, water, pattern materials, shop rules, pure lead, each figure with its source.

The figures are in TOML files beside the code. A row names its source, or says "from memory", "common practice, no
source" or "judgement". Nothing is read before it is needed.
"""

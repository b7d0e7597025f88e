"""Materials: alloys, water, pattern materials, shop rules and pure lead. Each figure has its source.

The figures are in TOML files next to the code. Each row names its source or says "from memory", "common practice, no
source" or "judgement". No file is read before it is needed.
"""

"""Under sail: righting arms, wind, leeway, other sizes, deeper or heavier."""

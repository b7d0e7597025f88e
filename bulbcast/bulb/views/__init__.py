"""The bulb's drawings: side, plan, sections across, the fin's tip, fairness, the bars of masses."""

"""Drawings of the bulb: side view, plan view, sections across, the fin's tip, fairness and bars of masses."""

"""Drawings of the bulb: side view, plan view, cross sections, the fin's tip, fairness and bar charts of masses."""

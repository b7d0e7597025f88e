"""Strength of the fin and of its joint with the bulb: screws, washers, threads and limits."""

"""Fin and joint under their loads: screws, washers, threads, limits."""

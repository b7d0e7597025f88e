"""Plan a cast-lead ballast bulb, from the weigh-in to the float test."""

__version__ = "0.1.0"

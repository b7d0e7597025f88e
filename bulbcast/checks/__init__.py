"""Checks, one file a subject: plain results in, findings out; comparison only, no arithmetic of its own."""

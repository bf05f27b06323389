"""Verdicts and peaks of a finished run."""

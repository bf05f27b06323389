"""Sparse and dense factorisation."""

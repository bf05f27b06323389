"""Tapered clamping sleeves: hand calculation and axisymmetric contact simulation side by side."""

"""The collet as a designer sees it."""

"""Answers -> Pages, one module a tab; siblings do not know each other."""

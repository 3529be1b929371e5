"""Looks ahead over everything: findings, fixes, contradictions."""
